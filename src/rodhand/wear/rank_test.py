"""Whether rods that broke stood high in their set by life used: the test a ranking must pass."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from scipy.stats import binom

TOP = 4
"""The skill asked for: to be in the top one of so many. [-]"""


@dataclass(frozen=True)
class Place:
    """Where one broken rod stood in its set.

    Parameters
    ----------
    place, of : int
        Place by life used from the top, ties counted against the ranking; how many rods.
    """

    place: int
    of: int

    @property
    def chance(self) -> float:
        """Chance of this place or a better one with no skill. [-]"""
        return self.place / self.of

    @property
    def in_top(self) -> bool:
        """Whether it stood in the top quarter."""
        return TOP * self.place <= self.of


def place_of(rod: str, life_used: Mapping[str, float]) -> Place:
    """Place of a rod among the rods of its set.

    Parameters
    ----------
    rod : str
        Its key.
    life_used : mapping of str to float
        Life used by key, of the whole set. [-]

    Returns
    -------
    Place
        1 for the most used. Raises KeyError if the rod is not among them.
    """
    own = life_used[rod]
    return Place(sum(1 for each in life_used.values() if each >= own), len(life_used))


def chance_of_as_many(places: Sequence[Place]) -> float:
    """Chance that as many or more stood in the top quarter with no skill.

    Parameters
    ----------
    places : sequence of Place
        Of all broken rods, taken as independent. [-]

    Returns
    -------
    float
        Chance, by the exact sum over rods whose sets differ in size; 1 for none. [-]

    Notes
    -----
    In a set of n rods the top quarter holds floor(n/4), so each has its own chance.
    """
    found = sum(each.in_top for each in places)
    counts = [1.0]
    for each in places:
        own = binom.pmf([0, 1], 1, each.of // TOP / each.of)
        counts = [
            (counts[k] * own[0] if k < len(counts) else 0.0)
            + (counts[k - 1] * own[1] if k > 0 else 0.0)
            for k in range(len(counts) + 1)
        ]
    return float(sum(counts[found:]))
