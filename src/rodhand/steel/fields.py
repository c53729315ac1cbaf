"""Read named values with their unit in the key, collecting every fault instead of the first."""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterable, Mapping

from rodhand.faults import BadInputError, Fault
from rodhand.units import SUFFIXES, from_si, to_si


class FieldReader:
    """Takes values out of a mapping one by one and remembers what was wrong.

    Parameters
    ----------
    fields : mapping
        Key to value as written; a value of None or "" counts as not given.
    source : str
        Name of the file or form, for the error.
    """

    def __init__(self, fields: Mapping[str, object], source: str) -> None:
        self._fields = {str(k): v for k, v in fields.items() if v is not None and v != ""}
        self._source = source
        self._known: list[str] = []
        self.faults: list[Fault] = []

    def _fault(self, code: str, column: str, found: object = "", **values: str) -> None:
        self.faults.append(Fault(code, found=str(found), column=column, values=values))

    def given(self, name: str, dimension: str) -> list[str]:
        """Keys of one quantity that are given, of all its unit twins."""
        keys = [f"{name}_{suffix}" for suffix in SUFFIXES[dimension] if suffix]
        self._known += keys
        return [key for key in keys if key in self._fields]

    def number(
        self, name: str, dimension: str, low: float, high: float, required: bool = False
    ) -> float | None:
        """One quantity under any of its unit twins, in base SI; None if absent or faulty.

        Parameters
        ----------
        name : str
            Name without unit.
        dimension : str
            Key of `rodhand.units.SUFFIXES`.
        low, high : float
            Range outside which the number or its unit must be wrong. [SI]
        required : bool
            Whether absence is a fault.

        Returns
        -------
        float or None
            Value. [SI]
        """
        keys = self.given(name, dimension)
        if not keys:
            if required:
                twins = " / ".join(f"{name}_{s}" for s in SUFFIXES[dimension])
                self._fault("field_missing", name, twins=twins)
            return None
        if len(keys) > 1:
            self._fault("field_doubled", keys[1], self._fields[keys[1]], twins=" / ".join(keys))
            return None
        key, suffix = keys[0], keys[0][len(name) + 1 :]
        typed = self._typed_number(key)
        if typed is None:
            return None
        value = to_si(typed, dimension, suffix)
        if not low <= value <= high:
            limits = [f"{from_si(end, dimension, suffix):.4g}" for end in (low, high)]
            self._fault("field_out_of_range", key, typed, low=limits[0], high=limits[1])
            return None
        return value

    def plain(self, key: str, low: float, high: float) -> float | None:
        """A number whose key has no unit twin; None if absent or faulty."""
        self._known.append(key)
        if key not in self._fields:
            return None
        typed = self._typed_number(key)
        if typed is not None and not low <= typed <= high:
            self._fault("field_out_of_range", key, typed, low=f"{low:g}", high=f"{high:g}")
            return None
        return typed

    def _typed_number(self, key: str) -> float | None:
        raw = self._fields[key]
        try:
            if isinstance(raw, bool) or not isinstance(raw, (int, float, str)):
                raise ValueError
            typed = float(raw)
        except ValueError:
            self._fault("field_not_a_number", key, raw)
            return None
        if not math.isfinite(typed):
            self._fault("field_not_a_number", key, raw)
            return None
        return typed

    def choice(self, key: str, options: Iterable[str], default: str) -> str:
        """One of a few words; the default when absent."""
        self._known.append(key)
        allowed = tuple(options)
        raw = self._fields.get(key, default)
        word = " ".join(str(raw).strip().lower().split())
        if word not in allowed:
            self._fault("field_not_a_choice", key, raw, options=" / ".join(allowed))
            return default
        return word

    def text(self, key: str, default: str) -> str:
        """A free text; the default when absent."""
        self._known.append(key)
        return str(self._fields.get(key, default)).strip()

    def finish(self) -> None:
        """Add a fault for every key nobody asked for, then raise if there is any fault.

        Raises
        ------
        BadInputError
            With every fault found.
        """
        for key in self._fields:
            if key not in self._known:
                near = difflib.get_close_matches(key, self._known, n=1)
                known = ", ".join(sorted(self._known))
                self._fault("field_unknown", key, key, nearest=near[0] if near else known)
        if self.faults:
            raise BadInputError(self.faults, self._source)
