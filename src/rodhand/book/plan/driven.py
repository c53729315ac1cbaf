"""The hole driven so far against the plan's path: how far off, rod by rod."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.work.bore_done import front_of
from rodhand.book.work.hole_of import Hole, hole_of
from rodhand.hole.planned_path import PlannedPath
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.steel.rod_type import RodType
from rodhand.units import Figure, Standing

C = Standing.COMPUTED
NEAR = 0.05
"""Nearer than this the hole is said to lie on the plan's line (ours). [m]"""
Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Driven:
    """What was driven of a planned bore.

    Parameters
    ----------
    told : tuple of Sentence
        How far off the last rod is, and the most so far.
    rods : mapping of int to dict of Figure
        By rod: ``read`` (pitch), ``off`` (below the plan's line, negative above), and ``aside``
        (right of the line, negative left) where headings from the line were read.
    side_m, above_m : tuple of (float, float)
        Level from the entry, and up from it or right of the line; the second empty without
        headings. [m]
    """

    told: tuple[Sentence, ...]
    rods: dict[int, dict[str, Figure]]
    side_m: Points
    above_m: Points


def driven_against(
    book: Book, bore: Bore | None, rod_type: RodType | None, path: PlannedPath | None, key: str
) -> Driven | None:
    """The pilot of a bore against a path planned for it.

    Parameters
    ----------
    book : Book
        The book read back.
    bore : Bore or None
        The bore of the plan's name.
    rod_type : RodType or None
        Its rods.
    path : PlannedPath or None
        The path shown.
    key : str
        First part of the figures' keys.

    Returns
    -------
    Driven or None
        None before a pitch was read. Off the line is told at the same level distance from the
        entry, up to the plan's exit; it holds as well as the pitches it is added up from.
    """
    pilot = bore.pass_of("pilot") if bore is not None else None
    if pilot is None or bore is None or rod_type is None or path is None:
        return None
    front = front_of(book, bore)
    hole = hole_of(pilot, rod_type.length, front.length, front.bit_to_sensor, bore.rig_pitch)
    if hole is None or hole.path is None:
        return None
    edges = hole.rods.edges[1:]
    edges = edges[edges <= hole.path.edges[-1] + 1e-6]
    north, east, down = (
        np.interp(edges, hole.path.edges, column) for column in hole.path.positions.T
    )
    sideways = _from_the_line(hole)
    level = north if sideways else np.hypot(north, east)
    below = down + np.interp(level, path.across, path.height)
    rods = {}
    for k, station in enumerate(hole.rods.station[: len(edges)]):
        if level[k] > path.across[-1]:
            break
        own = f"{key}.{station}"
        rods[int(station)] = {"off": Figure(f"{own}.off", float(below[k]), "length", C)}
        if sideways:
            rods[int(station)]["aside"] = Figure(f"{own}.aside", float(east[k]), "length", C)
    read = {row.station: row.pitch for row in hole.rows}
    for rod, figures in rods.items():
        pitch = read.get(rod)
        standing = Standing.UNKNOWN if pitch is None else Standing.MEASURED
        figures["read"] = Figure(f"{key}.{rod}.read", pitch, "slope", standing)
    return Driven(
        _told(rods, key), rods,
        tuple(zip([0.0, *level.tolist()], [0.0, *(-down).tolist()], strict=True)),
        tuple(zip([0.0, *north.tolist()], [0.0, *east.tolist()], strict=True)) if sideways else (),
    )  # fmt: skip


def side_of_line(below: float) -> str:
    """On the plan's line, below or above it, by how far below a hole lies. [m]"""
    return "on" if abs(below) < NEAR else "below" if below > 0.0 else "above"


def _from_the_line(hole: Hole) -> bool:
    """Whether headings were read from the line of the bore, not from north."""
    given = [row for row in hole.rows if row.heading is not None]
    return bool(given) and all(row.heading_ref == "relative" for row in given)


def _told(rods: dict[int, dict[str, Figure]], key: str) -> tuple[Sentence, ...]:
    if not rods:
        return ()
    off = {rod: figures["off"].value or 0.0 for rod, figures in rods.items()}
    last, most = max(off), max(off, key=lambda rod: abs(off[rod]))
    found = []
    for code, rod in (("driven", last), ("driven_most", most)):
        side = side_of_line(off[rod])
        apart = Figure(f"{key}.{code}", abs(off[rod]), "length", C)
        found.append(Sentence(f"plan.{code}_{side}", {"rod": str(rod), "off": apart}))
    return tuple(found)
