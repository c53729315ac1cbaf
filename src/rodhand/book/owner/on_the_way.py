"""A rod on its way through booked bores: what each takes of it, whether it crosses a line."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rodhand.book.bore.bore_page import life_figure
from rodhand.book.bore.expected_wear import Expected, anywhere
from rodhand.book.tasks.standings import recorded_sums
from rodhand.book.work.rod_history import RodHistory
from rodhand.units import Figure, Standing
from rodhand.wear.life_used import Contribution, Sums, add_up, life_of_sums

Floats = NDArray[np.float64]
NOT_TAKEN = ("set aside", "scrap")


@dataclass
class OnTheWay:
    """One rod on its way through the booked work.

    Parameters
    ----------
    history : RodHistory
        What it did.
    taken : bool
        Whether it takes part: not set aside, not scrapped.
    place : int or None
        Its place in the string by the box now; None where that is not known.
    used : Sums
        Life used with the bores taken so far, a declared past with it.
    recorded, hard : numpy.ndarray
        Design of recorded and booked work by section; as the hardest past bore takes. [-]
    past_line : str
        The booked bore it crosses the retire line in.
    """

    history: RodHistory
    taken: bool
    place: int | None
    used: Sums
    recorded: Floats
    hard: Floats
    past_line: str = ""

    def takes(self, part: Contribution, hard: Contribution) -> None:
        """Add what a bore takes; the width stays that of the work done, never narrower."""
        self.used = replace(
            self.used, design=self.used.design + part.design, low=self.used.low + part.low,
            best=self.used.best + part.best, high=self.used.high + part.high,
            assumed=self.used.assumed + part.best,
        )  # fmt: skip
        self.recorded = self.recorded + part.design
        self.hard = self.hard + hard.design

    def crosses(self, line: float, hard: bool = False) -> bool:
        """Whether recorded and booked work alone pass a line; a declared past never does."""
        factors = np.array([each.factor for each in self.history.classes])
        return bool(np.max(factors * (self.hard if hard else self.recorded)) >= line)

    def life(self, key: str, standing: Standing) -> Figure:
        """Life used with the bores taken so far."""
        history = self.history
        found = life_of_sums(
            self.used, history.slopes, history.unknown_before, classes=history.classes
        )
        return life_figure(key, found.worst, standing)


def on_the_way(history: RodHistory, standing: str, place: int | None) -> OnTheWay:
    """A rod before the first booked bore."""
    recorded = recorded_sums(history).design
    return OnTheWay(
        history, standing not in NOT_TAKEN, place, add_up(history.contributions), recorded, recorded
    )


def take_bore(rod: OnTheWay, expected: Expected, need: int, rods: int) -> None:
    """Add what a bore takes of a rod: of its place, of any place, or nothing beyond the string."""
    if not rod.taken:
        return
    if rod.place is None:
        rod.takes(anywhere(expected.places, rods), anywhere(expected.hard, rods))
    elif rod.place <= need:
        rod.takes(expected.places[rod.place - 1], expected.hard[rod.place - 1])
