"""Every language says the same: the same keys, with the same values put in."""

from __future__ import annotations

import re
import string

import pytest

from rodhand.record.kinds import KINDS
from rodhand.words import ENGLISH, LANGUAGES, catalogue, has, trade_words

OTHERS = [language for language in LANGUAGES if language != ENGLISH]
RIG_WORDS_AT_MOST = 12
RIG_KEYS = ("rig.", "rig_", "pull.", "shift.", "utility_strike.")
"""What stands on the rig's screens, read between two rods."""
STANDINGS = {"unchecked", "ticked"}


def fields(text: str) -> set[str]:
    """Names of the values a text takes."""
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


@pytest.mark.parametrize("language", OTHERS)
def test_every_language_has_the_keys_of_english_and_no_other(language: str) -> None:
    told, english = set(catalogue(language)), set(catalogue())
    assert (sorted(told - english), sorted(english - told)) == ([], [])


@pytest.mark.parametrize("language", OTHERS)
def test_a_text_takes_the_same_values_in_every_language(language: str) -> None:
    english = catalogue()
    told = catalogue(language)
    both = told.keys() & english.keys()
    differ = {key: told[key] for key in both if fields(told[key]) != fields(english[key])}
    assert not differ


@pytest.mark.parametrize("language", OTHERS)
def test_trade_words_are_told_and_say_how_far_they_are_checked(language: str) -> None:
    rows = trade_words(language)
    assert rows
    assert {row["standing"] for row in rows} <= STANDINGS
    assert all(row["term"] and row["told"] for row in rows)
    assert len({row["term"] for row in rows}) == len(rows)


def test_fields_of_a_text() -> None:
    assert fields("{a} of {b} at {{c}}") == {"a", "b"}


def sentences(text: str) -> list[str]:
    """Sentences of a text; a value put in counts as one word."""
    return [each for each in re.split(r"(?<=[.!?:;])\s+", text) if each]


def words_of(sentence: str) -> int:
    """Words of a sentence; signs alone are none."""
    return len([word for word in sentence.split() if re.search(r"\w", word)])


@pytest.mark.parametrize("language", LANGUAGES)
def test_sentences_on_the_rig_are_short(language: str) -> None:
    long = [
        f"{key}: {sentence}"
        for key, text in catalogue(language).items()
        if key.startswith(RIG_KEYS)
        for sentence in sentences(text)
        if words_of(sentence) > RIG_WORDS_AT_MOST
    ]
    assert not long, "\n".join(long)


def test_words_of_a_sentence() -> None:
    told = sentences("Set to {torque}: the maker's figure. Never above {highest}!")
    assert [words_of(each) for each in told] == [3, 3, 3]


def test_every_field_and_every_choice_of_an_entry_has_words() -> None:
    fields_there = [field for kind in KINDS.values() for field in kind.fields]
    lacking = {field.name for field in fields_there if not has(f"field.{field.name}")}
    lacking |= {
        choice
        for field in fields_there
        for choice in field.choices
        if not has(f"choice.{choice.replace(' ', '_').replace('-', '_')}".replace("'", ""))
    }
    assert not lacking
