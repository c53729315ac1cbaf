"""Which rods led: how often the same ones did, and what turning the rows would have given.

Replays a crew's own bores: what each place of each string took is known, so the same bores can be
worked through with the rods kept in order and with the rows turned.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FEWEST_BORES = 5
"""With fewer bores of one's own nothing is said about the gain."""
LEADS_ALWAYS_FROM = 0.8
"""Share of bores led by the same rods from which they are named (this project's proposal)."""
LEADERS = 3
"""The rods next to the tool that are called leading rods."""


@dataclass(frozen=True)
class Leading:
    """Things that led ``led`` of the last ``bores`` bores in their rig."""

    things: tuple[str, ...]
    led: int
    bores: int


def leading(orders: Sequence[Sequence[str]]) -> Leading | None:
    """The rods that lead nearly every bore, or None when the lead changes.

    Parameters
    ----------
    orders : sequence of sequences of str
        For each bore the keys of its rods from the tool; empty where nobody knows.

    Returns
    -------
    Leading or None
        None with fewer than `FEWEST_BORES` known orders.
    """
    known = [tuple(order[:LEADERS]) for order in orders if len(order) >= LEADERS]
    if len(known) < FEWEST_BORES:
        return None
    counts = {lead: known.count(lead) for lead in set(known)}
    lead, led = max(counts.items(), key=lambda item: (item[1], item[0]))
    return Leading(lead, led, len(known)) if led >= LEADS_ALWAYS_FROM * len(known) else None


@dataclass(frozen=True)
class Replay:
    """Own bores worked again, in order kept and with rows turned after each bore.

    Parameters
    ----------
    bores : int
        How many bores were replayed.
    worst_same, worst_turned : float
        Life used of the worst rod on the design curve over these bores. [1]
    leader_same, leader_turned : float
        The same, of the rod that leads first. [1]
    """

    bores: int
    worst_same: float
    worst_turned: float

    @property
    def gain(self) -> float:
        """How many times as far the worst rod goes when rows are turned. [1]"""
        return self.worst_same / self.worst_turned if self.worst_turned > 0 else float("nan")


def _worked(damage: Sequence[NDArray[np.float64]], rods: int, shift: int) -> float:
    """Largest sum over rods when the order moves by ``shift`` rods after each bore."""
    total = np.zeros(rods)
    for bore, by_place in enumerate(damage):
        used = min(len(by_place), rods)
        rod_at_place = (np.arange(used) + bore * shift) % rods
        np.add.at(total, rod_at_place, by_place[:used])
    return float(total.max())


def replay(damage: Sequence[NDArray[np.float64]], rods: int, row: int) -> Replay | None:
    """Replay one rig's bores with the rows kept and with one row moved to the back each bore.

    Parameters
    ----------
    damage : sequence of (places,) arrays
        Life used at each place of each bore's string, on the design curve. [1]
    rods : int
        Rods in the box.
    row : int
        Rods in a row; that many move to the back after each bore.

    Returns
    -------
    Replay or None
        None with fewer than `FEWEST_BORES` bores.

    Raises
    ------
    ValueError
        If ``rods`` or ``row`` is not greater than zero.
    """
    if rods <= 0 or row <= 0:
        raise ValueError(f"rods and row must be greater than 0, got {rods} and {row}")
    if len(damage) < FEWEST_BORES:
        return None
    return Replay(len(damage), _worked(damage, rods, 0), _worked(damage, rods, row))
