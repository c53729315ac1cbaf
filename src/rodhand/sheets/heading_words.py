"""Take a foreign heading apart: its words, its unit, and the fields it may mean."""

from __future__ import annotations

import difflib
import re
import tomllib
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from rodhand.sheets.foreign_units import our_suffix
from rodhand.sheets.recipes import FIELDS, FOLDER

ONLY_BEHIND = frozenset(
    ("m", "in", "min", "n", "s", "h", "t", "to", "grad", "std", "c", "f", "l", "v")
)
"""Unit words that are words or letters of other meaning unless they stand last or in brackets."""

_RUN_TOGETHER = re.compile(r"(?<=[a-zà-ÿ]{3})(?=[A-ZÀ-Þ][a-zà-ÿ])")
_UNIT_RUN_ON = re.compile(r"(?<=[a-zà-ÿ]{3})(?=(?:[kK]?N[mM]?|M|MM|CM)$)")  # torqueKNm, lengthM
_SPELLINGS = (
    (r"\b(?:u|1|tr|rev|r|t|omw)\s*/\s*min\b|\bmin\s*\^?-1|\bu\.?p\.?m\b", " rpm "),
    (r"(\bk)?\s*\b(?:ft|foot)[\s.·⋅*×_-]*(?:lb|lbs|lbf|pounds?)\b", r" \1ftlb "),
    (r"(\bk)?\s*\b(?:lbf?|lbs)[\s.·⋅*×_-]*ft\b", r" \1ftlb "),
    (r"\bkft[\s.·⋅*×_-]*lbf?s?\b", " kftlb "),
    (r"\b(k|da)?n[\s.·⋅*×_-]+m\b", r" \1nm "),
    (r"\bn\s*[°º]|№", " no "),
    (r"°", " deg "),
    (r"%", " pct "),
    (r"‰", " permille "),
    (r"[\"”″]\s*[\])]?\s*$", " in "),
    (r"['’′]\s*[\])]?\s*$", " ft "),
    (r"#", " no "),
)  # fmt: skip


@dataclass(frozen=True)
class Heading:
    """A foreign heading taken apart.

    Parameters
    ----------
    words : tuple of str
        Its words in small letters without accents, the unit left out.
    unit : str
        The unit as a recipe writes it; ``foreign`` for one no field of a log has; empty when
        the heading says none.
    """

    words: tuple[str, ...]
    unit: str


@dataclass(frozen=True)
class Meaning:
    """One field a heading may mean, and how well its words say so (longer and exacter is more)."""

    field: str
    score: float


@cache
def _vocabulary() -> Mapping[str, Mapping[str, tuple[str, ...]]]:
    text = (FOLDER / "words" / "headings.toml").read_text(encoding="utf-8")
    return {
        part: {key: tuple(words) for key, words in table.items()}
        for part, table in tomllib.loads(text).items()
    }


@cache
def _unit_of_word() -> Mapping[str, str]:
    return {word: unit for unit, words in _vocabulary()["units"].items() for word in words}


def plain_words(text: str) -> list[str]:
    """Words of a heading in small letters without accents; run-together words are cut.

    Examples
    --------
    >>> plain_words("Pitch_End [%]")
    ['pitch', 'end', 'pct']
    >>> plain_words("LängeStange (m)")
    ['lange', 'stange', 'm']
    """
    text = _UNIT_RUN_ON.sub(" ", _RUN_TOGETHER.sub(" ", text)).replace("_", " ").casefold()
    for pattern, put in _SPELLINGS:
        text = re.sub(pattern, put, text)
    bare = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    return re.findall(r"[^\W\d_]+", bare)


def take_apart(heading: str) -> Heading:
    """Words and unit of a heading.

    Parameters
    ----------
    heading : str
        As typed.

    Returns
    -------
    Heading
        Its parts; the unit in brackets counts first, then one at the end, then a long unit
        word anywhere.
    """
    units = _unit_of_word()
    bracketed = re.search(r"[\[(]([^\[\]()]*)[\])]?\s*$", heading)
    words = plain_words(heading)
    if bracketed:
        inside = plain_words(bracketed[1] + (")" if bracketed[1][-1:] in "\"'″′" else ""))
        known = [word for word in inside if word in units]
        if known and len(inside) <= 2:
            before = plain_words(heading[: bracketed.start()])
            extra = [word for word in inside if word not in units]
            return Heading((*before, *extra), units[known[0]])
    if len(words) > 1 and words[-1] in units:
        return Heading(tuple(words[:-1]), units[words[-1]])
    for place, word in enumerate(words):
        if word in units and word not in ONLY_BEHIND and (len(words) > 1 or units[word] == "rpm"):
            rest = (*words[:place], *words[place + 1 :]) or ("rpm",)
            return Heading(tuple(rest), units[word])
    return Heading(tuple(words), "")


def unit_alone(text: str) -> bool:
    """Whether a cell holds a unit and nothing else, as in a row of units under the headings."""
    words = plain_words(text)
    return len(words) == 1 and words[0] in _unit_of_word()


def modifiers(heading: Heading) -> frozenset[str]:
    """What a heading's words say beside the field: start, end, mean, down, left, not_read, ..."""
    return frozenset(
        name
        for name, known in _vocabulary()["modifiers"].items()
        for word in heading.words
        if any(word == each or (len(each) > 5 and _likeness(word, each) >= 0.7) for each in known)
    )


def meanings(heading: Heading) -> list[Meaning]:
    """Fields a heading may mean whose unit fits, the likeliest first."""
    best: dict[str, float] = {}
    for part, worth in (("fields", 1.0), ("weaker", 0.5)):
        for field, phrases in _vocabulary()[part].items():
            if not _unit_fits(field, heading.unit):
                continue
            score = worth * max(_phrase_score(heading.words, phrase) for phrase in phrases)
            if score > best.get(field, 0.0):
                best[field] = score
    if heading.unit == "rpm":
        best["rpm"] = best.get("rpm", 0.0) + 1.0
    return sorted((Meaning(*pair) for pair in best.items()), key=lambda m: -m.score)


def _unit_fits(field: str, unit: str) -> bool:
    if not unit:
        return True
    if field == "rpm":
        return unit == "rpm"
    known = FIELDS[field]
    return known.type == "quantity" and our_suffix(known.dimension, unit) is not None


def _phrase_score(words: tuple[str, ...], phrase: str) -> float:
    """How much of a heading a phrase explains; 0 unless each word of the phrase is there."""
    parts = phrase.split()
    likeness = [max((_likeness(word, part) for word in words), default=0.0) for part in parts]
    if not all(likeness):
        return 0.0
    return sum(likeness) - 0.05 * (len(words) - len(parts))


@cache
def _likeness(word: str, known: str) -> float:
    """1 for the same word, less for compounds, abbreviations and slips of the pen, else 0."""
    if word == known:
        return 1.0
    if len(known) >= 5 and (word.startswith(known) or word.endswith(known)):
        return 0.85
    if len(word) >= 3 and len(known) >= 5 and known.startswith(word):
        return 0.7
    if len(known) >= 5 and difflib.SequenceMatcher(None, word, known).ratio() >= 0.82:
        return 0.75
    return 0.0
