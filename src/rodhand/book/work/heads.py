"""Front assemblies by name or file, for a log checked without a book."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from rodhand.book.work.bore_work import Front
from rodhand.book.work.tables import data_text
from rodhand.faults import BadInputError, CannotReadError, Fault
from rodhand.units import to_si

FIELDS = ("length", "bit_to_sensor", "limit_radius")


@cache
def built_in_heads() -> Mapping[str, Front]:
    """The invented heads that come with the program, by name."""
    table = tomllib.loads(data_text("heads.toml"))
    return {name: _front(name, fields, name) for name, fields in table.items()}


def load_head(name_or_path: str) -> Front:
    """A built-in head by name, or the head in a TOML file.

    Parameters
    ----------
    name_or_path : str
        A built-in name (free of case), or a path ending in .toml with ``length_m`` or ``_ft``,
        ``bit_to_sensor_m`` or ``_ft`` and, where the maker gives one, ``limit_radius_m`` or
        ``_ft``.

    Returns
    -------
    Front
        The front assembly.

    Raises
    ------
    BadInputError
        If the name is not known or the file's content is faulty, with every fault.
    CannotReadError
        If the file cannot be read.
    """
    typed = name_or_path.strip()
    built_in = built_in_heads()
    if typed.casefold() in built_in:
        return built_in[typed.casefold()]
    if not typed.casefold().endswith(".toml"):
        raise BadInputError(
            [Fault("head_not_known", typed, values={"names": ", ".join(built_in)})], typed
        )
    try:
        fields = tomllib.loads(Path(typed).read_text(encoding="utf-8-sig"))
    except OSError as error:
        raise CannotReadError(typed, error.strerror or str(error)) from error
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        fault = Fault("head_not_toml", values={"reason": str(error)})
        raise BadInputError([fault], typed) from error
    return _front(Path(typed).stem, fields, typed)


def _front(name: str, fields: Mapping[str, Any], source: str) -> Front:
    known = {f"{field}_{unit}": (field, unit) for field in FIELDS for unit in ("m", "ft")}
    faults = []
    values: dict[str, float] = {}
    for key, typed in fields.items():
        if key == "name":
            continue
        if key not in known:
            faults.append(Fault("head_key", key, column=key, values={"keys": ", ".join(known)}))
        elif isinstance(typed, bool) or not isinstance(typed, (int, float)) or not _sane(typed):
            faults.append(Fault("head_number", str(typed), column=key))
        elif known[key][0] in values:
            faults.append(Fault("head_twice", str(typed), column=key))
        else:
            field, unit = known[key]
            values[field] = to_si(float(typed), "length", unit)
    if faults:
        raise BadInputError(faults, source)
    return Front(
        name, values.get("length"), values.get("bit_to_sensor"), values.get("limit_radius")
    )


def _sane(value: float) -> bool:
    return math.isfinite(value) and value >= 0
