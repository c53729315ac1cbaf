"""What a reading of the rod card cannot be, and what is kept and asked about.

Impossible: the sizes of the same rod leave no room for it. Unlikely: kept as typed and told, since
a rod may be odd and a record may not. The shares are this project's proposals.
"""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.advice.card import NewSizes, Taken, bow_of

DIAMETERS = ("joint-od", "tube-od", "box-swell")
MOST_STRETCH = 0.005
"""No pin holds together with its lead so far out over 2 in (proposal). [m]"""


@dataclass(frozen=True)
class Doubt:
    """Why a reading is refused or asked about: a code, the reading, what it was held against."""

    code: str
    number: float
    against: float | None = None


def _between(
    code: str, numbers: tuple[float, ...], low: float | None, high: float | None
) -> Doubt | None:
    for number in numbers:
        if low is not None and number <= low:
            return Doubt(f"{code}_small", number, low)
        if high is not None and number >= high:
            return Doubt(f"{code}_large", number, high)
    return None


def _times(size: float | None, factor: float) -> float | None:
    return None if size is None else size * factor


def impossible(item: str, taken: Taken, new: NewSizes) -> Doubt | None:
    """Why a reading cannot be; None when it can.

    Parameters
    ----------
    item : str
        As the record names it.
    taken : Taken
        Its readings. [m]
    new : NewSizes
        Of the rod when new; what is unknown refuses nothing.

    Returns
    -------
    Doubt or None
        The first reason found.
    """
    numbers, bore = taken.readings, new.joint_bore
    tube_bore = None if new.tube_od is None or new.wall is None else new.tube_od - 2.0 * new.wall
    if taken.error is not None and numbers and item in DIAMETERS and taken.error >= min(numbers):
        return Doubt("error_large", taken.error, min(numbers))
    if item == "joint-od":
        inner = max((size for size in (bore, new.counterbore) if size is not None), default=None)
        return _between("od", numbers, inner, _times(new.joint_od, 1.25))
    if item == "box-swell":
        return _between("counterbore", numbers, bore, new.joint_od)
    if item == "tube-od":
        return _between("tube", numbers, tube_bore, new.joint_od and new.joint_od * 1.25)
    if item == "tube-wall":
        return _between("wall", numbers, None, _times(new.tube_od, 0.5))
    if item == "pin-lead":
        return _between("lead", numbers, None, MOST_STRETCH)
    if item == "shoulder":
        return _between("depth", numbers, None, new.joint_length)
    if item == "jaw-bite":
        return _between("jaw", numbers, None, _times(new.length, 0.5))
    if item == "straightness" and taken.span is not None:
        if not taken.span > 0.0:
            return Doubt("span_small", taken.span, 0.0)
        if new.length is not None and taken.span > new.length * 1.1:
            return Doubt("span_large", taken.span, new.length)
        return _between("gap", numbers, None, taken.span / 4.0)
    return None


def unlikely(
    item: str, taken: Taken, new: NewSizes, before: Taken | None = None
) -> tuple[Doubt, ...]:
    """What about a reading is asked; it is kept as typed.

    Parameters
    ----------
    item, taken, new
        As for `impossible`.
    before : Taken, optional
        The last readings of the same item and end.

    Returns
    -------
    tuple of Doubt
        Empty when nothing is out of the ordinary.
    """
    numbers = taken.readings
    if not numbers:
        return ()
    found = []
    new_size = {"joint-od": new.joint_od, "tube-od": new.tube_od, "tube-wall": new.wall,
                "box-swell": new.counterbore}.get(item)  # fmt: skip
    if new_size is not None:
        thick = {"tube-wall": 1.125, "box-swell": 1.05}.get(item, 1.01)
        thin = {"tube-wall": 0.5, "box-swell": 0.99}.get(item, 0.8)
        if max(numbers) > thick * new_size:
            found.append(Doubt("above_new", max(numbers), new_size))
        if min(numbers) < thin * new_size:
            found.append(Doubt("far_below_new", min(numbers), new_size))
    if item in ("joint-od", "tube-od") and max(numbers) - min(numbers) > 0.05 * max(numbers):
        found.append(Doubt("far_apart", max(numbers) - min(numbers)))
    if before is not None and before.readings and item in ("tube-od", "tube-wall"):
        error = (taken.error or 0.0) + (before.error or 0.0)
        if min(numbers) - min(before.readings) > max(error, 0.0005):
            found.append(Doubt("grew_back", min(numbers), min(before.readings)))
    bow = bow_of(taken) if item == "straightness" else None
    if bow is not None and bow.share > 0.05:
        found.append(Doubt("bow_large", bow.height))
    return tuple(found)
