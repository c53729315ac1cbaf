"""One typed text to one value: numbers, quantities, choices, marks, dates, names."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable, Mapping
from functools import partial

from rodhand.record.kind import Field, Kind
from rodhand.record.marks import MarksError, expand_marks
from rodhand.record.moment import read_moment
from rodhand.units import to_si

Value = float | int | str | tuple[str, ...]

LONGEST_NAME = 200
LONGEST_TEXT = 20_000
LARGEST_NUMBER = 1e9
MOST_OF_ANYTHING = 1_000_000

SIGNED = frozenset(
    {
        "offset", "depth", "fast_by", "pitch", "heading", "azimuth", "rig_pitch", "entry_pitch",
        "exit_pitch", "exit_height", "stations",
    }
)  # fmt: skip
"""Fields that may be below zero; anything else below zero is a slip."""
DEFINES_NAME = frozenset(
    {("thing", "thing"), ("mark", "mark"), ("set", "set"), ("set", "marks_start")}
)
"""Kind and field that give a thing its name; such a name must fit into a list of marks."""

_DECIMAL_COMMA = re.compile(r"[+-]?\d+(,\d+)+(\.\d+)?")
_WHOLE = re.compile(r"\d{1,20}")
_NAME_BREAKERS = re.compile(r"[,;\n]|\.\.")


class RefusedError(Exception):
    """One value that cannot be read; carries its fault without the column."""

    def __init__(self, code: str, **values: str) -> None:
        self.code = code
        self.values = values


def value_reader(kind: Kind, field: Field, suffix: str) -> Callable[[str], Value]:
    """How the text of one column is read; the function raises `RefusedError`."""
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


def read_number(text: str) -> float:
    """A number typed with a decimal point. Raises RefusedError if it is none."""
    try:
        number = float(text)
    except ValueError:
        plain = text.strip().replace("−", "-")  # the minus sign word processors put in
        if _DECIMAL_COMMA.fullmatch(plain):
            raise RefusedError("entry_decimal_comma") from None
        try:
            number = float(plain)
        except ValueError:
            raise RefusedError("entry_not_a_number") from None
    if not -LARGEST_NUMBER <= number <= LARGEST_NUMBER:  # also catches nan and the infinities
        raise RefusedError("entry_not_finite" if not math.isfinite(number) else "entry_too_large")
    if "_" in text:
        raise RefusedError("entry_not_a_number")
    return number


def _plain(field: Field, text: str) -> float:
    number = read_number(text)
    if number < 0.0 and field.name not in SIGNED:
        raise RefusedError("entry_negative")
    return number


def _quantity(field: Field, suffix: str, text: str) -> float:
    number = _plain(field, text)
    if field.dimension in ("slope", "angle") and suffix == "deg":
        largest = 90.0 if field.dimension == "slope" else 360.0
        if abs(number) > largest:
            raise RefusedError("entry_angle", largest=f"{largest:g}")
    return to_si(number, field.dimension, suffix)


def _whole(text: str) -> int:
    plain = text.strip()
    if not (_WHOLE.fullmatch(plain) and plain.isascii()):
        raise RefusedError("entry_not_whole")
    number = int(plain)
    if number > MOST_OF_ANYTHING:
        raise RefusedError("entry_whole_too_large", largest=f"{MOST_OF_ANYTHING}")
    return number


def _folded(word: str) -> str:
    return re.sub(r"[\s_-]+", " ", word.strip()).casefold()


def _choice(words: Mapping[str, str], text: str) -> str:
    word = words.get(text) or words.get(_folded(text))
    if word is None:
        raise RefusedError("entry_choice", choices=", ".join(words.values()))
    return word


def _marks(text: str) -> tuple[str, ...]:
    _printable(text)
    try:
        return expand_marks(text)
    except MarksError as error:
        raise RefusedError(error.code, part=error.found) from None


def _date(text: str) -> str:
    try:
        return read_moment(text).start[:10]
    except ValueError:
        raise RefusedError("entry_date") from None


def _name(defines: bool, text: str) -> str:
    _printable(text)
    name = " ".join(text.split())
    if len(name) > LONGEST_NAME:
        raise RefusedError("entry_name_too_long", largest=f"{LONGEST_NAME}")
    if defines and _NAME_BREAKERS.search(name):
        raise RefusedError("entry_name_comma")
    return name


def _text(text: str) -> str:
    _printable(text)
    if len(text) > LONGEST_TEXT:
        raise RefusedError("entry_text_too_long", largest=f"{LONGEST_TEXT}")
    return text.strip()


def _printable(text: str) -> None:
    """Refuse characters that no store, sheet and screen keep alike."""
    if text.isascii() and text.isprintable():
        return
    for character in text:
        if unicodedata.category(character) in ("Cc", "Cs") and character not in "\n\t\r":
            raise RefusedError("entry_not_printable")
