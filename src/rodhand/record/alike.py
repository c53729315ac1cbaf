"""Whether two typed texts say the same of a field of a reading, as far as each was read."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from rodhand.record.kind import Field
from rodhand.record.kinds import KINDS
from rodhand.record.marks import fold
from rodhand.units import to_si

_COLUMNS: Mapping[str, tuple[Field, str]] = KINDS["reading"].columns()


def columns_of(typed: Mapping[str, str]) -> Mapping[str, tuple[str, ...]]:
    """Fields of a reading and the columns they were typed in."""
    return _columns(tuple(typed))


@lru_cache(maxsize=256)  # a crew fills in the same few columns rod after rod
def _columns(typed: tuple[str, ...]) -> Mapping[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for column in typed:
        if column.lower() in _COLUMNS:
            name = _COLUMNS[column.lower()][0].name
            found[name] = (*found.get(name, ()), column)
    return MappingProxyType(found)


def alike(
    name: str, value: Any, typed: Mapping[str, str], other: Any, others: Mapping[str, str]
) -> bool:
    """Whether two entries say the same of a field.

    Values typed in one unit are alike only when they are equal. Typed in two units they are when
    they lie within half of the last digit of the coarser one. Marks are compared without case.

    Parameters
    ----------
    name : str
        The field.
    value, other : Any
        What each says. [SI; angles in rad]
    typed, others : mapping of str to str
        The columns of each as typed.
    """
    if value == other:
        return True
    if name == "rod":
        return fold(value) == fold(other)
    own, theirs = columns_of(typed).get(name, ()), columns_of(others).get(name, ())
    if not own or not theirs or own == theirs:
        return False
    half = max(_half_a_step(typed[own[0]], own[0]), _half_a_step(others[theirs[0]], theirs[0]))
    return bool(abs(value - other) <= half)


def _half_a_step(text: str, column: str) -> float:
    """Half of the last digit of a typed number. [SI]"""
    field, suffix = _COLUMNS[column.lower()]
    plain = text.strip().replace("−", "-")
    number, half = float(plain), 0.5 * 10.0 ** -len(plain.partition(".")[2])
    at = to_si(number, field.dimension, suffix)
    return abs(to_si(number + half, field.dimension, suffix) - at)
