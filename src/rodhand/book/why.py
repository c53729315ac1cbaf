"""Why a number is what it is: its value, its inputs with their standing, whence each comes."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.advice.verdict import Sentence
from rodhand.units import Figure, Standing


@dataclass(frozen=True)
class WhyInput:
    """One input of a number.

    Parameters
    ----------
    code : str
        What it is; its words are ``why.input_<code>``.
    source : Sentence
        Where it comes from.
    figure : Figure or None
        Its value with unit and standing; None where it is a word.
    said : str
        The word, as the record has it.
    standing : str
        Standing of a word; a figure carries its own.
    entry : str
        Id of the entry it was typed in; empty where there is none.
    change : str
        Page on which it is entered; empty where nobody can change it.
    """

    code: str
    source: Sentence
    figure: Figure | None = None
    said: str = ""
    standing: str = Standing.COMPUTED.value
    entry: str = ""
    change: str = ""

    @property
    def known_as(self) -> str:
        """Standing in one word; unknown where the figure has no value."""
        if self.figure is None:
            return self.standing
        if self.figure.value is None and self.figure.low is None:
            return Standing.UNKNOWN.value
        return self.figure.standing.value
