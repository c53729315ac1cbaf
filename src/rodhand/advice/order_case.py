"""A box of rods and what each place of the next bore takes, and what an order of it costs.

The cost of a rod in a place is its chance to break there times what a break costs; rods lifted and
laid cost too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rodhand.advice.box_hands import BoxKind, LoadingList, Rows, make_list

Floats = NDArray[np.float64]
FORBIDDEN = 1e3
"""Breaks a rod in a place it must not stand in counts as, so that it is a last resort. [breaks]"""
How = Literal["as_it_lies", "lead_moved", "rows_turned", "planned"]


@dataclass(frozen=True, eq=False)
class OrderCase:
    """A box, what each place of the next bore takes, and what things cost.

    Parameters
    ----------
    kind : BoxKind
        How the box is reached.
    box : tuple of tuple of str
        The box as it lies, without the rods that stay out.
    beside : tuple of str
        Rods that may come in from beside the box.
    capacity : int
        Rods a row has room for.
    chance : (rods, places) array of float
        Chance that each rod breaks at each place of the bore, the lead first; rods of the box row
        by row, then those beside it. [-]
    worn : (rods, places) array of float
        Life each rod would have used after each place, for ties. [-]
    forbidden : (rods, places) array of bool
        Where a rod must not stand.
    break_cost, move_cost : float
        Of one break and of moving one rod, in the same money.
    """

    kind: BoxKind
    box: Rows
    beside: tuple[str, ...]
    capacity: int
    chance: Floats
    worn: Floats
    forbidden: NDArray[np.bool_]
    break_cost: float
    move_cost: float

    @property
    def rods(self) -> tuple[str, ...]:
        """Rods in the order of the rows of ``chance``."""
        return (*(rod for row in self.box for rod in row), *self.beside)


@dataclass(frozen=True)
class Arranged:
    """One way to order the rods.

    Parameters
    ----------
    how : {"as_it_lies", "lead_moved", "rows_turned", "planned"}
        Which way.
    todo : LoadingList
        What hands do.
    box : tuple of tuple of str
        The box after that.
    breaks : float
        Expected breaks in the bore. [breaks]
    cost : float
        Breaks and rods moved, lifted ones too, in money.
    against : int
        Rods in places they must not stand in.
    bound : float
        No order of this box costs less; NaN where it was not worked out.
    """

    how: How
    todo: LoadingList
    box: Rows
    breaks: float
    cost: float
    against: int = 0
    bound: float = float("nan")

    @property
    def brought(self) -> int:
        """Rods brought in from beside the box. [rods]"""
        out = {step.rod for step in self.todo.steps if step.what == "out"}
        return len({step.rod for step in self.todo.steps} - out)

    @property
    def gap(self) -> float:
        """How far its cost may stand above the least, as a share of it. [-]"""
        return (self.cost - self.bound) / self.bound if self.bound > 0.0 else 0.0


def told(case: OrderCase, how: How, box: Rows, rows: Sequence[int]) -> Arranged:
    """Cost of one arrangement of a box.

    Parameters
    ----------
    case : OrderCase
        The box as it lies.
    how : {"as_it_lies", "lead_moved", "rows_turned", "planned"}
        Which way it was found.
    box : tuple of tuple of str
        The box as it would lie.
    rows : sequence of int
        Rows in order of use.
    """
    todo = make_list(case.kind, case.box, box, rows)
    number = {rod: k for k, rod in enumerate(case.rods)}
    places = case.chance.shape[1]
    who = np.array([number[rod] for rod in todo.order[:places]], dtype=int)
    at = np.arange(len(who))
    breaks = float(case.chance[who, at].sum())
    against = int(case.forbidden[who, at].sum())
    cost = case.break_cost * breaks + case.move_cost * todo.lifted
    return Arranged(how, todo, box, breaks, cost, against)


def weighed(case: OrderCase, way: Arranged) -> float:
    """Cost of an arrangement, rods in places they must not stand in counted as breaks."""
    return way.cost + FORBIDDEN * case.break_cost * way.against
