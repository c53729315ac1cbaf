"""Read what was typed into SI values, and tell everything that is wrong with it at once."""

from __future__ import annotations

import difflib
import math
import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache, partial

from rodhand.faults import BadInputError, Fault
from rodhand.record.kinds import KINDS, Field, Kind
from rodhand.record.marks import MarksError, expand_marks
from rodhand.record.moment import read_moment
from rodhand.steel.rod_type import RodType, rod_type_from_fields
from rodhand.units import to_si

Value = float | int | str | tuple[str, ...]

LONGEST_NAME = 200
LONGEST_TEXT = 20_000
LARGEST_NUMBER = 1e9
MOST_OF_ANYTHING = 1_000_000
STEEP_PERCENT = 60.0
STEEP_DEGREES = 30.0

SIGNED = frozenset({"offset", "depth", "fast_by", "pitch", "heading", "azimuth", "rig_pitch"})
"""Fields that may be below zero; anything else below zero is a slip."""
ASKED_IF_STEEP = frozenset({"pitch", "rig_pitch"})
DEFINES_NAME = frozenset(
    {("thing", "thing"), ("mark", "mark"), ("set", "set"), ("set", "marks_start")}
)
"""Kind and field that give a thing its name; such a name must fit into a list of marks."""

_DECIMAL_COMMA = re.compile(r"[+-]?\d+(,\d+)+(\.\d+)?")
_WHOLE = re.compile(r"\d{1,20}")
_NAME_BREAKERS = re.compile(r"[,;\n]|\.\.")


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


class _RefusedError(Exception):
    """One value that cannot be read; carries its fault without the column."""

    def __init__(self, code: str, **values: str) -> None:
        self.code = code
        self.values = values


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
        except _RefusedError as refused:
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
    if abs(_number(text)) <= limit:
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
        read = lru_cache(maxsize=4096)(_reader(KINDS[kind], field, suffix))
        readers[column] = (field.name, read)
    return readers | {_spellings(kind)[column]: reader for column, reader in readers.items()}


def _reader(kind: Kind, field: Field, suffix: str) -> Callable[[str], Value]:
    if field.type == "quantity":
        return partial(_quantity, field, suffix)
    if field.type == "number":
        return partial(_plain, field)
    if field.type == "choice":
        return partial(_choice, {_folded(word): word for word in field.choices})
    if field.type == "name":
        return partial(_name, (kind.name, field.name) in DEFINES_NAME)
    plain: Mapping[str, Callable[[str], Value]] = {
        "whole": _whole, "marks": _marks, "date": _date, "text": _text,
    }  # fmt: skip
    return plain[field.type]


def _number(text: str) -> float:
    try:
        number = float(text)
    except ValueError:
        plain = text.strip().replace("−", "-")  # the minus sign word processors put in
        if _DECIMAL_COMMA.fullmatch(plain):
            raise _RefusedError("entry_decimal_comma") from None
        try:
            number = float(plain)
        except ValueError:
            raise _RefusedError("entry_not_a_number") from None
    if not -LARGEST_NUMBER <= number <= LARGEST_NUMBER:  # also catches nan and the infinities
        raise _RefusedError("entry_not_finite" if not math.isfinite(number) else "entry_too_large")
    if "_" in text:
        raise _RefusedError("entry_not_a_number")
    return number


def _plain(field: Field, text: str) -> float:
    number = _number(text)
    if number < 0.0 and field.name not in SIGNED:
        raise _RefusedError("entry_negative")
    return number


def _quantity(field: Field, suffix: str, text: str) -> float:
    number = _plain(field, text)
    if field.dimension in ("slope", "angle") and suffix == "deg":
        largest = 90.0 if field.dimension == "slope" else 360.0
        if abs(number) > largest:
            raise _RefusedError("entry_angle", largest=f"{largest:g}")
    return to_si(number, field.dimension, suffix)


def _whole(text: str) -> int:
    plain = text.strip()
    if not (_WHOLE.fullmatch(plain) and plain.isascii()):
        raise _RefusedError("entry_not_whole")
    number = int(plain)
    if number > MOST_OF_ANYTHING:
        raise _RefusedError("entry_whole_too_large", largest=f"{MOST_OF_ANYTHING}")
    return number


def _folded(word: str) -> str:
    return re.sub(r"[\s_-]+", " ", word.strip()).casefold()


def _choice(words: Mapping[str, str], text: str) -> str:
    word = words.get(text) or words.get(_folded(text))
    if word is None:
        raise _RefusedError("entry_choice", choices=", ".join(words.values()))
    return word


def _marks(text: str) -> tuple[str, ...]:
    _printable(text)
    try:
        return expand_marks(text)
    except MarksError as error:
        raise _RefusedError(error.code, part=error.found) from None


def _date(text: str) -> str:
    try:
        return read_moment(text).start[:10]
    except ValueError:
        raise _RefusedError("entry_date") from None


def _name(defines: bool, text: str) -> str:
    _printable(text)
    name = " ".join(text.split())
    if len(name) > LONGEST_NAME:
        raise _RefusedError("entry_name_too_long", largest=f"{LONGEST_NAME}")
    if defines and _NAME_BREAKERS.search(name):
        raise _RefusedError("entry_name_comma")
    return name


def _text(text: str) -> str:
    _printable(text)
    if len(text) > LONGEST_TEXT:
        raise _RefusedError("entry_text_too_long", largest=f"{LONGEST_TEXT}")
    return text.strip()


def _printable(text: str) -> None:
    """Refuse characters that no store, sheet and screen keep alike."""
    if text.isascii() and text.isprintable():
        return
    for character in text:
        if unicodedata.category(character) in ("Cc", "Cs") and character not in "\n\t\r":
            raise _RefusedError("entry_not_printable")
