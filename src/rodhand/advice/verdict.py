"""A sentence with its numbers, and a verdict that cannot be given without its five parts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from rodhand.units import Figure

Voice = Literal["stop", "note", "price"]
"""*stop*: stop and look; *note*: once, quiet; *price*: a figure and no more."""


@dataclass(frozen=True)
class Sentence:
    """A text of the catalogue with what goes into it.

    Parameters
    ----------
    key : str
        Key in the catalogue of words.
    values : mapping of str to (str or Figure)
        Names and numbers the text names; numbers are Figures so that each keeps its unit and
        standing wherever it is printed.
    """

    key: str
    values: Mapping[str, str | Figure] = field(default_factory=dict)

    def figures(self) -> tuple[Figure, ...]:
        """The numbers in the sentence."""
        return tuple(value for value in self.values.values() if isinstance(value, Figure))


@dataclass(frozen=True)
class Verdict:
    """What to do about something, and why.

    Parameters
    ----------
    voice : Voice
        How loudly it is said.
    what, why, do : Sentence
        The finding, the reason and the action; the reason holds at least one Figure.
    source : str
        Where the limit or rule comes from.
    caution : Sentence
        The caution that stands beside the action.
    standing : str
        Standing it asks for at worst; empty when it asks for none.

    Raises
    ------
    ValueError
        If a part is missing or the reason holds no number with a standing.
    """

    voice: Voice
    what: Sentence
    why: Sentence
    do: Sentence
    source: str
    caution: Sentence
    standing: str = ""

    def __post_init__(self) -> None:
        """Refuse a verdict without a number, an action, a source or a caution."""
        if not self.why.figures():
            raise ValueError(f"verdict {self.what.key!r} has no number in its reason")
        if not (self.what.key and self.do.key and self.source and self.caution.key):
            raise ValueError(f"verdict {self.what.key!r} lacks an action, a source or a caution")
