"""What the page of a way back shows."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.advice.verdict import Sentence
from rodhand.book.views import OverSteerRow
from rodhand.units import Figure, Standing

Figures = dict[str, Figure]
Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class WayRow:
    """One rod of the way: figures ``pitch``, ``change``, ``depth`` at its end, and where sideways
    is known ``heading`` and ``offset``."""

    station: int
    figures: Figures


@dataclass(frozen=True)
class RodOfChoices:
    """One rod: figures by code of the choice, life used in this bore."""

    name: str
    figures: Figures


@dataclass(frozen=True)
class PassingRow:
    """A utility a choice comes by: figures ``depth`` of the hole there, ``offset`` where sideways
    is known, ``left`` beyond the distance to keep (negative too near; unknown with its depth)."""

    name: str
    too_near: bool
    figures: Figures


@dataclass(frozen=True)
class ChoiceRow:
    """One choice: figures worst, together; at_end (depth), pitch_at_end, last (depth at its end),
    and where sideways is known offset_at_end and offset_last.

    ``near`` says what is left to the nearest utility on its way; None where none was entered.
    """

    code: str
    told: Sentence
    reached: bool | None
    figures: Figures
    near: Sentence | None = None
    passed: tuple[PassingRow, ...] = ()

    @property
    def too_near(self) -> bool:
        """Whether it does not keep, or may not keep, its distance from a utility."""
        return any(each.too_near for each in self.passed)


@dataclass(frozen=True)
class WayDrawing:
    """The picture: level from the entry; up from it, or right of the line. [m]

    Parameters
    ----------
    drilled_m, plan_m, way_m : Points
        The hole, its plan, and the ends of the rods of the way, the tool first; empty where there
        is none.
    old_m : tuple of Points
        Holes left behind, from where each was left.
    drilled_aside_m, plan_aside_m, way_aside_m, old_aside_m
        The same from above; empty where sideways is not known.
    utilities_m : tuple
        Name, from, to, height of its middle (None unknown), half its size, what is to keep, and
        how far right of the line (None: across, or nobody knows).
    exit_m : tuple of float or None
        The exit of the plan.
    stations : tuple of int
        Rods of the way.
    """

    drilled_m: Points
    way_m: Points
    stations: tuple[int, ...]
    plan_m: Points = ()
    old_m: tuple[Points, ...] = ()
    drilled_aside_m: Points = ()
    way_aside_m: Points = ()
    plan_aside_m: Points = ()
    old_aside_m: tuple[Points, ...] = ()
    utilities_m: tuple[tuple[str, float, float, float | None, float, float, float | None], ...] = ()
    exit_m: tuple[float, float] | None = None


@dataclass(frozen=True)
class WayView:
    """The page of a way back.

    Parameters
    ----------
    told : Sentence
        What to do, or what is missing.
    rows : tuple of WayRow
        Empty until an end is asked for.
    cautions : tuple of Sentence
        What it does not know.
    figures : dict
        now, depth, room; with a way cost, sharpest, at_end, missed, pitch_missed.
    over : tuple of OverSteerRow
        The last bend over or likely over its limit, with the rods it concerns.
    choices : tuple of ChoiceRow
        What may be done now and what each costs; empty until somebody says how much is left to
        drill. Carrying on is never first.
    rods : tuple of RodOfChoices
        Every rod's cost by choice, the dearest first.
    drilled : int
        Rods drilled.
    planned : bool
        Whether a plan with targets is on the book, to come back onto.
    back : int or None
        Rods to pull back, asked for or worked out.
    drawing : WayDrawing or None
        None before a path is known.
    """

    name: str
    invented: bool
    rig: str
    told: Sentence
    reached: bool | None
    rows: tuple[WayRow, ...]
    cautions: tuple[Sentence, ...]
    figures: Figures
    over: tuple[OverSteerRow, ...] = ()
    choices: tuple[ChoiceRow, ...] = ()
    rods: tuple[RodOfChoices, ...] = ()
    drilled: int = 0
    planned: bool = False
    back: int | None = None
    drawing: WayDrawing | None = None


def depth_figures(key: str, name: str, depth: float) -> Figures:
    """A depth below the entry; where it lies above also how far, under ``NAME_above``. [m]"""
    found = {name: Figure(f"{key}.{name}", depth, "length", Standing.COMPUTED)}
    if depth < 0.0:
        above = Figure(f"{key}.{name}_above", -depth, "length", Standing.COMPUTED)
        found[f"{name}_above"] = above
    return found


def aside_figures(key: str, name: str, offset: float) -> Figures:
    """How far right of the line; where it lies left also how far, under ``NAME_left``. [m]"""
    found = {name: Figure(f"{key}.{name}", offset, "length", Standing.COMPUTED)}
    if offset < 0.0:
        found[f"{name}_left"] = Figure(f"{key}.{name}_left", -offset, "length", Standing.COMPUTED)
    return found
