"""A box, the bores booked for it, and one way to order the rods through all of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.advice.box_hands import BoxKind, Rows
from rodhand.advice.order_case import Arranged, Floats, How


@dataclass(frozen=True, eq=False)
class BookedBore:
    """A booked bore: its name, what it takes of each place, cost of a break, places not allowed.

    Parameters
    ----------
    name : str
        Its name.
    added : (places, 5) array of float
        Damage on the mean curve it adds at each place. [-]
    break_cost : float
        Of one break in it.
    forbidden : (rods, places) array of bool
        Where a rod must not stand.
    """

    name: str
    added: Floats
    break_cost: float
    forbidden: NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class BookedCase:
    """A box and the bores booked for it, in their order.

    Parameters
    ----------
    kind, box, beside, capacity
        As of `OrderCase`.
    means : (rods, 5) array of float
        Damage of every rod so far, rods of the box row by row, then those beside it. [-]
    spread : (5,) array of float
        Of ln life by section. [-]
    bores : tuple of BookedBore
        First to come first.
    move_cost : float
        Of moving one rod, in the money of the breaks.
    """

    kind: BoxKind
    box: Rows
    beside: tuple[str, ...]
    capacity: int
    means: Floats
    spread: Floats
    bores: tuple[BookedBore, ...]
    move_cost: float

    @property
    def rods(self) -> tuple[str, ...]:
        """Rods in the order of the rows of ``means``."""
        return (*(rod for row in self.box for rod in row), *self.beside)


@dataclass(frozen=True)
class BookedWay:
    """One way to order the rods through all the bores.

    Parameters
    ----------
    how : str
        Which way.
    boxes : tuple of tuple of tuple of str
        The box as each bore finds it.
    ways : tuple of Arranged
        What is done before each bore; their ``bound`` is not worked out.
    bound : float
        No way costs less; NaN where it was not worked out.
    """

    how: How
    boxes: tuple[Rows, ...]
    ways: tuple[Arranged, ...]
    bound: float = float("nan")

    @property
    def cost(self) -> float:
        """Breaks and rods moved, of all bores."""
        return sum(way.cost for way in self.ways)

    @property
    def breaks(self) -> float:
        """Expected breaks, each on condition that the rod has not broken yet. [breaks]"""
        return sum(way.breaks for way in self.ways)

    @property
    def lifted(self) -> int:
        """Rods lifted before all bores. [rods]"""
        return sum(way.todo.lifted for way in self.ways)

    @property
    def against(self) -> int:
        """Rods in places they must not stand in. [rods]"""
        return sum(way.against for way in self.ways)

    @property
    def gap(self) -> float:
        """How far its cost may stand above the least, as a share of it. [-]"""
        return (self.cost - self.bound) / self.bound if self.bound > 0.0 else float("inf")
