"""Every language says the same: the same keys, with the same values put in."""

from __future__ import annotations

import string

import pytest

from rodhand.words import ENGLISH, LANGUAGES, catalogue, trade_words

OTHERS = [language for language in LANGUAGES if language != ENGLISH]
RIG_WORDS_AT_MOST = 12
STANDINGS = {"unchecked", "ticked"}


def fields(text: str) -> set[str]:
    """Names of the values a text takes."""
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


@pytest.mark.parametrize("language", OTHERS)
def test_no_language_has_a_key_that_english_lacks(language: str) -> None:
    assert not set(catalogue(language)) - set(catalogue())


@pytest.mark.parametrize("language", OTHERS)
def test_a_text_takes_the_same_values_in_every_language(language: str) -> None:
    english = catalogue()
    told = catalogue(language)
    differ = {key: text for key, text in told.items() if fields(text) != fields(english[key])}
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
