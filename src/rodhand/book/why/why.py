"""Why a number is what it is: its value, its inputs with their standing, whence each comes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from rodhand.advice.verdict import Sentence
from rodhand.units import Figure, Standing


@dataclass(frozen=True)
class WhyInput:
    """One input of a number, or one result.

    Parameters
    ----------
    code : str
        What it is; its words are ``why.input_<code>``.
    source : Sentence or None
        Where it comes from.
    figure : Figure or None
        Its value with unit and standing; None where it is a word.
    said : Sentence or None
        The word.
    standing : str
        Standing of a word; a figure carries its own.
    entry : str
        Id of the entry it was typed in; empty where there is none.
    change : str
        Page on which it is entered; empty where nobody can change it there.
    see : str
        Page that says why this input is what it is; empty where there is none.
    """

    code: str
    source: Sentence | None = None
    figure: Figure | None = None
    said: Sentence | None = None
    standing: str = Standing.COMPUTED.value
    entry: str = ""
    change: str = ""
    see: str = ""

    @property
    def known_as(self) -> str:
        """Standing in one word; unknown where the figure has no value."""
        if self.figure is None:
            return self.standing
        value = self.figure.value
        if (value is None or math.isnan(value)) and self.figure.low is None:
            return Standing.UNKNOWN.value
        return self.figure.standing.value


@dataclass(frozen=True)
class WhyPart:
    """One number: its results, how they follow, and the inputs they follow from."""

    title: Sentence
    results: tuple[WhyInput, ...]
    how: tuple[Sentence, ...]
    inputs: tuple[WhyInput, ...]


@dataclass(frozen=True)
class WhyView:
    """The page of one number or of several that belong together.

    Parameters
    ----------
    title : Sentence
        What is explained.
    invented : bool
        Whether the book says of itself that it is invented.
    parts : tuple of WhyPart
        One for each number.
    back : str
        Page it stands on.
    back_to : Sentence
        Words of the link to it.
    """

    title: Sentence
    invented: bool
    parts: tuple[WhyPart, ...]
    back: str
    back_to: Sentence


class NoSuchNumberError(LookupError):
    """There is no such number in the book: no such place, pass, or nothing worked out."""


def text(words: str) -> Sentence:
    """Words of the record as a sentence: a name, a code as typed."""
    return Sentence("why.text", {"text": words})
