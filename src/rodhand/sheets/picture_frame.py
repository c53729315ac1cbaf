"""Where things of a bore lie on the sheet: along, down and stretched.

The side view keeps the length along the hole true to one scale and draws depth stretched by a
printed whole factor, because a bore is tens of times longer than deep.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

from rodhand.book.views import Picture

STRETCHES = (1, 2, 3, 4, 5)
Point = tuple[float, float]


def interpolate(at: float, places: Sequence[float], values: Sequence[float]) -> float:
    """Value at a place between given ones; straight on beyond the first and the last.

    Parameters
    ----------
    at : float
        Place asked for.
    places : sequence of float
        Places in rising order, at least one.
    values : sequence of float
        Values there.

    Returns
    -------
    float
        The value.
    """
    if len(places) == 1:
        return values[0]
    right = min(max(bisect_right(places, at), 1), len(places) - 1)
    width = places[right] - places[right - 1]
    if width == 0:
        return values[right]
    share = (at - places[right - 1]) / width
    return values[right - 1] + share * (values[right] - values[right - 1])


def stretch_for(span: float, scale: float, room: float) -> int:
    """Largest printed stretch that keeps a span within the room for it.

    Parameters
    ----------
    span : float
        Depth or sideways span. [m]
    scale : float
        Pixels of one metre along. [px/m]
    room : float
        Height there is. [px]
    """
    fitting = [factor for factor in STRETCHES if span * scale * factor <= room]
    return fitting[-1] if fitting else STRETCHES[0]


@dataclass(frozen=True)
class Frame:
    """The scale of one side view.

    Parameters
    ----------
    picture : Picture
        The bore.
    first, last : float
        Ends of what is shown, along the hole. [m]
    left : float
        Where ``first`` stands. [px]
    scale : float
        Pixels of one metre along. [px/m]
    stretch : int
        How much depth is drawn larger than length.
    entry_y : float
        Where entry level stands. [px]
    """

    picture: Picture
    first: float
    last: float
    left: float
    scale: float
    stretch: int
    entry_y: float

    def x(self, measured: float) -> float:
        """Across the sheet, of a place along the hole. [px]"""
        start = interpolate(self.first, self.picture.measured, self.picture.along)
        here = interpolate(measured, self.picture.measured, self.picture.along)
        return self.left + (here - start) * self.scale

    def y(self, measured: float) -> float:
        """Down the sheet, of a place along the hole. [px]"""
        down = interpolate(measured, self.picture.measured, self.picture.down)
        return self.entry_y + down * self.scale * self.stretch

    def at(self, along: float, down: float) -> Point:
        """On the sheet, of a point beside the path: level from the entry, below it. [m] to [px]"""
        start = interpolate(self.first, self.picture.measured, self.picture.along)
        x = self.left + (along - start) * self.scale
        return x, self.entry_y + down * self.scale * self.stretch

    def run(self, start: float, end: float) -> list[Point]:
        """The path's points between two places along the hole, both ends included."""
        between = [place for place in self.picture.measured if start < place < end]
        return [(self.x(place), self.y(place)) for place in (start, *between, end)]

    def band(self, start: float, end: float, low: float, high: float) -> list[Point]:
        """Outline of a strip beside the path, from ``low`` to ``high`` above it. [px]"""
        path = self.run(start, end)
        normals = [_normal(path, position) for position in range(len(path))]
        lower = [
            (x + low * nx, y + low * ny) for (x, y), (nx, ny) in zip(path, normals, strict=True)
        ]
        upper = [
            (x + high * nx, y + high * ny) for (x, y), (nx, ny) in zip(path, normals, strict=True)
        ]
        return [*lower, *reversed(upper)]


def _normal(path: Sequence[Point], position: int) -> Point:
    """Unit vector square to the path on the sheet, toward the sky."""
    (x1, y1) = path[max(position - 1, 0)]
    (x2, y2) = path[min(position + 1, len(path) - 1)]
    length = math.hypot(x2 - x1, y2 - y1)
    return ((y2 - y1) / length, -(x2 - x1) / length) if length else (0.0, -1.0)


def finite(values: Sequence[float]) -> list[float]:
    """The values that are known."""
    return [value for value in values if math.isfinite(value)]
