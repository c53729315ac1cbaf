"""This week: the findings of a book put in the order a crew should act on them, at most seven."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rodhand.advice.verdict import Verdict

AT_MOST = 7
VOICES = ("stop", "note", "price")


@dataclass(frozen=True)
class Task:
    """One thing to do: a verdict, the things it is about, where they stand and how long it takes.

    Parameters
    ----------
    rank : int
        Place among tasks of one voice; smaller comes first.
    who : str
        Role that does it: driller, yard hand, foreman, mechanic.
    things : tuple of str
        Names of the things.
    where : str
        Rig or set they belong to.
    minutes : float
        How long it takes in all. [min]
    link : str
        Page that shows more.
    """

    rank: int
    who: str
    things: tuple[str, ...]
    where: str
    verdict: Verdict
    minutes: float
    link: str


def in_order(tasks: Sequence[Task]) -> tuple[Task, ...]:
    """Tasks loudest first, then by rank, then by name so that the order never depends on chance."""
    return tuple(
        sorted(
            tasks, key=lambda t: (VOICES.index(t.verdict.voice), t.rank, t.where, t.things, t.link)
        )
    )
