"""The words catalogue: every text a person reads, one folder of TOML files per language.

All files of a language are merged; nested tables become dotted keys, so
`[fault.not_a_number]` with `needed = "..."` is the key `fault.not_a_number.needed`.
"""

from __future__ import annotations

import csv
import logging
import tomllib
from collections.abc import Callable, Hashable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache, lru_cache, wraps
from pathlib import Path
from typing import Any, ParamSpec, TypeVar

from rodhand.faults import SHOWN_AT_MOST, BadInputError, Fault

FOLDER = Path(__file__).parent
ENGLISH = "en"
LANGUAGES = ("en", "es")
"""Folders of words; English is the one that is whole by definition."""
IN_FORCE = ""
"""Names the language in force, where a language may be given."""
log = logging.getLogger(__name__)
_in_force: ContextVar[str] = ContextVar("language", default=ENGLISH)
P = ParamSpec("P")
T = TypeVar("T")


def language_in_force() -> str:
    """Language that texts are told in now: of this request or this command."""
    return _in_force.get()


def use_language(language: str) -> None:
    """Tell everything after this in one language; ValueError if there is no such language."""
    if language not in LANGUAGES:
        raise ValueError(f"language must be one of {LANGUAGES}, got {language!r}")
    _in_force.set(language)


@contextmanager
def in_language(language: str) -> Iterator[None]:
    """Tell everything inside in one language; ValueError if there is no such language."""
    before = _in_force.set(_in_force.get())
    try:
        use_language(language)
        yield
    finally:
        _in_force.reset(before)


def kept_by_language(maxsize: int) -> Callable[[Callable[P, T]], Callable[P, T]]:
    """`functools.lru_cache` for what holds finished texts: each language has its own."""

    def decorate(work: Callable[P, T]) -> Callable[P, T]:
        @lru_cache(maxsize=maxsize * len(LANGUAGES))
        def kept(_language: str, *args: Hashable, **values: Hashable) -> T:
            return work(*args, **values)  # type: ignore[arg-type]

        @wraps(work)
        def asked(*args: P.args, **values: P.kwargs) -> T:
            return kept(language_in_force(), *args, **values)  # type: ignore[arg-type]

        return asked

    return decorate


@cache
def catalogue(language: str = "en") -> Mapping[str, str]:
    """All texts of one language, by dotted key.

    Parameters
    ----------
    language : str, optional
        Name of the language's folder.

    Returns
    -------
    mapping of str to str
        Dotted key to text; the text may hold `str.format` fields.

    Raises
    ------
    KeyError
        If there is no such language.
    ValueError
        If two files give the same key, or a value is not a text.
    """
    return read_catalogue(FOLDER / language)


def read_catalogue(folder: Path) -> Mapping[str, str]:
    """Merge the TOML files of one folder; see `catalogue`."""
    files = sorted(folder.glob("*.toml"))
    if not files:
        raise KeyError(f"no words for language {folder.name!r}")
    texts: dict[str, str] = {}
    for file in files:
        for key, text in _flatten(tomllib.loads(file.read_text(encoding="utf-8"))):
            if key in texts:
                raise ValueError(f"{file.name}: {key} stands in another file too")
            if not isinstance(text, str):
                raise ValueError(f"{file.name}: {key} is not a text")
            texts[key] = text
    return texts


@cache
def trade_words(language: str) -> tuple[dict[str, str], ...]:
    """Words of the trade as a language tells them: `term`, `told` and `standing` of each.

    The standing is *unchecked* until a person who speaks the trade's language ticks it. English
    has no such table: its terms are the trade's own.
    """
    file = FOLDER / language / "trade_words.csv"
    if not file.exists():
        return ()
    return tuple(csv.DictReader(file.read_text(encoding="utf-8").splitlines()))


def _flatten(table: Mapping[str, Any], prefix: str = "") -> Iterator[tuple[str, Any]]:
    for key, value in table.items():
        if isinstance(value, dict):
            yield from _flatten(value, f"{prefix}{key}.")
        else:
            yield f"{prefix}{key}", value


def has(key: str, language: str = IN_FORCE) -> bool:
    """Tell whether there is a text under this key, in the language or else in English."""
    return key in catalogue(language or language_in_force()) or key in catalogue(ENGLISH)


@cache
def _note_missing(key: str, language: str) -> None:
    """Note once that a text was told in English for want of another."""
    log.warning("no text %s in the words for %s: told in English", key, language)


def say(key: str, /, language: str = IN_FORCE, **values: object) -> str:
    """Text under a key with its values put in.

    Parameters
    ----------
    key : str
        Dotted key.
    language : str, optional
        Language of the text; the one in force when not given. A text the language lacks is
        told in English, and its key is noted in the log.
    **values
        What the text's fields name, already printed with their units.

    Returns
    -------
    str
        The finished text.

    Raises
    ------
    KeyError
        If the key is in no catalogue, or its text names a value that was not given.
    """
    language = language or language_in_force()
    texts = catalogue(language)
    if key not in texts:
        texts = catalogue(ENGLISH)
        if key not in texts:
            raise KeyError(f"no text {key!r} in the words for {language!r}")
        _note_missing(key, language)
    try:
        return texts[key].format(**values)
    except KeyError as missing:
        raise KeyError(f"text {key!r} needs the value {missing}") from missing


def render_fault(fault: Fault, language: str = IN_FORCE) -> str:
    """One line that tells where a fault is, what was found and needed, and what to do.

    The texts `fault.<code>.needed` and `.do` may name `found`, `line`, `column` and the
    fault's own values.
    """
    values = {"found": fault.found, "line": fault.line, "column": fault.column, **fault.values}
    places = []
    if fault.line is not None:
        places.append(say("fault_line.line", language, line=fault.line))
    if fault.column is not None:
        places.append(say("fault_line.column", language, column=fault.column))
    found = "fault_line.found" if fault.found else "fault_line.found_nothing"
    told = say(
        "fault_line.told",
        language,
        found=say(found, language, found=fault.found),
        needed=_needed(fault, language, values),
        do=say(f"fault.{fault.code}.do", language, **values),
    )
    return f"{', '.join(places)}: {told}" if places else told


def _needed(fault: Fault, language: str, values: Mapping[str, object]) -> str:
    # The sentence goes on after this text, so a full stop at its end would stand in the middle.
    return say(f"fault.{fault.code}.needed", language, **values).rstrip(". ")


def word(table: str, code: str) -> str:
    """Words for a code of the record or the mechanics; the code itself where there are none."""
    key = f"{table}.{code.replace(' ', '_').replace('-', '_')}".replace("'", "")
    return say(key) if has(key) else code


def render_faults(error: BadInputError, language: str = IN_FORCE) -> str:
    """All faults of an input, one a line: the source and count first, those not shown counted."""
    count = len(error.faults)
    source = error.source or say("fault_line.input", language)
    head = "fault_line.head_one" if count == 1 else "fault_line.head_many"
    lines = [say(head, language, source=source, count=count)]
    lines += [render_fault(fault, language) for fault in error.faults[:SHOWN_AT_MOST]]
    if count > SHOWN_AT_MOST:
        lines.append(say("fault_line.more", language, count=count - SHOWN_AT_MOST))
    return "\n".join(lines)
