"""Read what was typed into SI values, and tell everything that is wrong with it at once."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache

from rodhand.faults import BadInputError, Fault
from rodhand.record.kind import Field
from rodhand.record.kinds import KINDS
from rodhand.record.plan_checks import booked_faults, plan_faults, price_faults, utility_faults
from rodhand.record.values import RefusedError, Value, read_number, value_reader
from rodhand.steel.rod_type import RodType, rod_type_from_fields

STEEP_PERCENT = 60.0
STEEP_DEGREES = 30.0
_BOW_READINGS = {
    "line": ("reading", "span"),
    "rolled": ("reading", "second_reading", "span"),
    "three gaps": ("reading", "second_reading", "third_reading", "span"),
}
_SHA256 = re.compile(r"[0-9a-fA-F]{64}")
ASKED_IF_STEEP = frozenset({"pitch", "rig_pitch", "entry_pitch", "exit_pitch"})


@dataclass(frozen=True)
class PayloadRead:
    """What a payload says.

    Parameters
    ----------
    values : mapping
        Field name to value. [SI; angles in rad]
    faults : tuple of Fault
        Why it cannot be taken; empty if it can.
    flags : tuple of Fault
        What is kept as typed but should be asked about.
    """

    values: Mapping[str, Value]
    faults: tuple[Fault, ...]
    flags: tuple[Fault, ...]


def read_payload(kind: str, payload: Mapping[str, str]) -> PayloadRead:
    """Read a payload into SI values, with all faults.

    Parameters
    ----------
    kind : str
        Kind of entry.
    payload : mapping of str to str
        Column name, in any case, to the text as typed; an empty text is not given.

    Returns
    -------
    PayloadRead
        Values of the columns that can be read, faults and flags.
    """
    if kind not in KINDS:
        return PayloadRead({}, (unknown_kind(kind),), ())
    readers = _readers(kind)
    values: dict[str, Value] = {}
    faults: list[Fault] = []
    flags: list[Fault] = []
    columns: dict[str, str] = {}
    for column, text in payload.items():
        if not text or text.isspace():
            continue
        reader = readers.get(column) or readers.get(column.strip().lower())
        if reader is None:
            faults.append(_unknown_column(kind, column, text))
            continue
        name, read = reader
        if name in columns:
            faults.append(
                Fault("entry_column_doubled", text, column=column, values={"other": columns[name]})
            )
            continue
        columns[name] = column
        try:
            values[name] = read(text)
        except RefusedError as refused:
            faults.append(Fault(refused.code, _short(text), column=column, values=refused.values))
            continue
        if name in ASKED_IF_STEEP:
            flags += _steep(column, text)
    faults += [
        Fault("entry_missing", column=" / ".join(field.columns()), values={"kind": kind})
        for field in _required(kind)
        if field.name not in columns
    ]
    if kind == "rod-type":
        faults += _rod_type_faults(payload)
    if kind == "emergency":
        faults += _telephone_faults(values)
    if kind == "check":
        faults += _bow_faults(values, columns)
    if kind == "past":
        faults += _past_faults(columns)
    if kind in ("plan", "utility"):
        wrong, odd = (plan_faults if kind == "plan" else utility_faults)(values, columns)
        faults += wrong
        flags += odd
    if kind in ("booked-bore", "price"):
        faults += (booked_faults if kind == "booked-bore" else price_faults)(values, columns)
    if kind == "photo" and not _SHA256.fullmatch(str(values.get("sha256", "0" * 64))):
        faults.append(Fault("photo_sha256", _short(str(values["sha256"])), column="sha256"))
    return PayloadRead(values, tuple(faults), tuple(flags))


def canonical(kind: str, payload: Mapping[str, str]) -> dict[str, str]:
    """The payload with column names as `KINDS` spells them and blank columns left out.

    The texts stay exactly as typed. Call it on a payload without faults.
    """
    spelled = _spellings(kind)
    return {
        spelled[column.strip().lower()]: text
        for column, text in payload.items()
        if text and not text.isspace()
    }


def rod_type_from_payload(payload: Mapping[str, str]) -> RodType:
    """The rod type a ``rod-type`` payload describes.

    Raises
    ------
    BadInputError
        With every fault of the sizes.
    """
    fields = {column.strip(): text for column, text in canonical("rod-type", payload).items()}
    fields.pop("note", None)
    return rod_type_from_fields(fields, "rod-type")


def unknown_kind(kind: str) -> Fault:
    """The fault of a kind of entry there is not."""
    near = difflib.get_close_matches(kind, KINDS, n=1)
    return Fault("entry_kind", kind, values={"kinds": ", ".join(near or KINDS)})


def _rod_type_faults(payload: Mapping[str, str]) -> list[Fault]:
    """Impossible sizes; what `read_payload` tells by itself is left out."""
    told = (
        "field_missing",
        "field_unknown",
        "field_doubled",
        "field_not_a_number",
        "field_not_a_choice",
    )
    try:
        known = {c: t for c, t in payload.items() if c.strip().lower() in _spellings("rod-type")}
        rod_type_from_payload(known)
    except BadInputError as error:
        return [fault for fault in error.faults if fault.code not in told]
    return []


def _past_faults(columns: Mapping[str, str]) -> list[Fault]:
    """A past without hours must say that nobody knows them: silence would read as none."""
    if ("rotating_time" in columns) != ("hours" in columns):
        return []
    return [Fault("past_hours", column=columns.get("rotating_time", "rotating_time"))]


def _bow_faults(values: Mapping[str, Value], columns: Mapping[str, str]) -> list[Fault]:
    """A bow needs as many readings as its method takes, and the length they were read over."""
    needed = _BOW_READINGS.get(str(values.get("method", "")), ())
    return [
        Fault("bow_reading", column=name, values={"method": str(values["method"])})
        for name in needed
        if name not in columns
    ]


def _telephone_faults(values: Mapping[str, Value]) -> list[Fault]:
    """A number to call that has no digit cannot be called."""
    typed = str(values.get("telephone", "0"))
    if any(sign.isdigit() for sign in typed):
        return []
    return [Fault("emergency_telephone", _short(typed), column="telephone")]


def _short(text: str) -> str:
    return text if len(text) <= 60 else text[:59] + "…"


def _unknown_column(kind: str, column: str, text: str) -> Fault:
    known = _spellings(kind)
    near = difflib.get_close_matches(column.strip().lower(), known, n=3, cutoff=0.5)
    with_unit = [name for name in known if name.rpartition("_")[0] == column.strip().lower()]
    offered = with_unit or near or list(known)
    return Fault(
        "entry_column_unknown",
        _short(text),
        column=column,
        values={"kind": kind, "columns": ", ".join(known[name] for name in offered)},
    )


@lru_cache(maxsize=4096)
def _steep(column: str, text: str) -> tuple[Fault, ...]:
    limit = STEEP_PERCENT if column.lower().endswith("pct") else STEEP_DEGREES
    if abs(read_number(text)) <= limit:
        return ()
    return (Fault("entry_steep", text, column=column, values={"limit": f"{limit:g}"}),)


@cache
def _required(kind: str) -> tuple[Field, ...]:
    return tuple(field for field in KINDS[kind].fields if field.required)


@cache
def _spellings(kind: str) -> Mapping[str, str]:
    """Lower-case column name -> column name as `KINDS` spells it."""
    return {column.lower(): column for field in KINDS[kind].fields for column in field.columns()}


@cache
def _readers(kind: str) -> Mapping[str, tuple[str, Callable[[str], Value]]]:
    """Column name, lower-case and as spelled -> (field name, how to read its text)."""
    readers = {}
    for column, (field, suffix) in KINDS[kind].columns().items():
        # A season types the same few numbers and names thousands of times.
        read = lru_cache(maxsize=4096)(value_reader(KINDS[kind], field, suffix))
        readers[column] = (field.name, read)
    return readers | {_spellings(kind)[column]: reader for column, reader in readers.items()}
