"""What the page of events past a limit shows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rodhand.advice.verdict import Sentence, Verdict
from rodhand.units import Figure


@dataclass(frozen=True)
class LimitRow:
    """One event.

    Parameters
    ----------
    when : str
        ISO day it may last have been; empty unknown.
    bore : str
        The bore; empty for a bow, which nobody saw happen.
    verdict : Verdict
        What it was, why it counts, what to look at.
    things : tuple of str
        Names of the rods and other things it concerns.
    left : tuple of str
        Of those still in use, the ones without a full look since.
    cost : tuple of Sentence
        What an over-steer cost; nothing for the others.
    """

    when: str
    bore: str
    verdict: Verdict
    things: tuple[str, ...]
    left: tuple[str, ...]
    cost: tuple[Sentence, ...] = ()


@dataclass(frozen=True)
class LimitGroup:
    """Events of one kind, newest first; kind is overload, over_torque or over_steer.

    figures: limit_events, how many.
    """

    kind: str
    figures: Mapping[str, Figure]
    rows: tuple[LimitRow, ...]


@dataclass(frozen=True)
class LimitsView:
    """Events past a limit, told apart."""

    as_of: str
    invented: bool
    groups: tuple[LimitGroup, ...]
