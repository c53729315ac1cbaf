"""The way back of a bore: from where the pilot stands to a depth and a pitch some rods ahead."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.assess import is_invented, rod_type_of_bore
from rodhand.book.bore_page import NoSuchBoreError
from rodhand.book.opening import book_in
from rodhand.book.this_rod import pilot_and_room
from rodhand.book.verdicts import caution
from rodhand.faults import BadInputError, Fault
from rodhand.hole.way_back import STEEPEST, WayBack, way_back
from rodhand.units import Figure, Standing

MOST_RODS = 60
C = Standing.COMPUTED


@dataclass(frozen=True)
class WayRow:
    """One rod of the way: figures ``pitch``, ``change``, ``depth`` at its end."""

    station: int
    figures: dict[str, Figure]


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
    """

    name: str
    invented: bool
    rig: str
    told: Sentence
    reached: bool | None
    rows: tuple[WayRow, ...]
    cautions: tuple[Sentence, ...]
    figures: dict[str, Figure]


def way_view(
    folder: Path, name: str, depth: float | None, pitch: float | None, rods: int | None
) -> WayView:
    """Rod by rod back to a depth and a pitch, inside the limits of rod and head.

    Parameters
    ----------
    folder : Path
        The book's folder.
    name : str
        Bore.
    depth : float or None
        Wanted below the entry point, down positive. [m]
    pitch : float or None
        Wanted at the end, up positive. [rad]
    rods : int or None
        Rods to do it in.

    Returns
    -------
    WayView
        Without rows where no end is asked for, or the last rods went unread.

    Raises
    ------
    NoSuchBoreError
        If there is no such bore.
    BadInputError
        If the wanted end cannot be worked.
    """
    book = book_in(folder)
    bore = book.bores.get(name)
    if bore is None:
        raise NoSuchBoreError(name)
    key = f"way.{name}"
    hole, room = pilot_and_room(book, bore, key)
    across = "way.sideways" if "heading" in room.figures else "way.sideways_unknown"
    cautions = (Sentence("way.no_utilities"), Sentence(across), caution("rotating"))
    rod_type = rod_type_of_bore(book, bore)

    def page(
        told: Sentence, figures: dict[str, Figure],
        reached: bool | None = None, rows: tuple[WayRow, ...] = (),
    ) -> WayView:  # fmt: skip
        return WayView(name, is_invented(book), bore.rig, told, reached, rows, cautions, figures)

    if any(each.what != "pilot" for each in bore.passes):
        return page(Sentence("this_rod.pilot_done"), {})
    if hole is None or hole.path is None or rod_type is None or "room" not in room.figures:
        return page(room.told if "room" not in room.figures else Sentence("way.no_path"), {})
    now, left = room.figures["last"].value or 0.0, room.figures["room"].value or 0.0
    ahead = hole.length - float(hole.path.edges[-1])
    here = float(hole.path.positions[-1, 2]) - ahead * math.sin(now)
    figures = {
        "now": room.figures["last"],
        "depth": Figure(f"{key}.depth", here, "length", C),
        "room": Figure(f"{key}.room", left, "angle", C),
    }
    if depth is None or pitch is None or rods is None:
        return page(Sentence("way.ask"), figures)
    _check(pitch, rods, depth)
    if left <= 0.0:
        return page(Sentence("way.no_room"), figures)
    way = way_back(now, pitch, depth - here, rods, rod_type.length, left)
    station = len(hole.stations) - 1
    figures["missed"] = Figure(f"{key}.missed", abs(way.missed), "length", C)
    figures["pitch_missed"] = Figure(f"{key}.pitch_missed", abs(way.pitch_missed), "angle", C)
    figures["cost"] = Figure(f"{key}.cost", way.cost, "life", C)
    changes = np.abs(np.diff(np.concatenate(([now], way.pitch))))
    sharpest = float(changes.max()) / left
    figures["sharpest"] = Figure(f"{key}.sharpest", sharpest, "share", C)
    figures["at_end"] = Figure(f"{key}.at_end", here + float(way.depth[-1]), "length", C)
    return page(_told(way, figures), figures, way.reached, _rows(way, now, here, station, key))


def _told(way: WayBack, figures: dict[str, Figure]) -> Sentence:
    if way.reached:
        return Sentence("way.reached", {"share": figures["sharpest"]})
    return Sentence("way.nearest", {"missed": figures["missed"], "pitch": figures["pitch_missed"]})


def _rows(way: WayBack, now: float, here: float, station: int, key: str) -> tuple[WayRow, ...]:
    rows: list[WayRow] = []
    before = now
    for at, (pitch, gained) in enumerate(zip(way.pitch, way.depth, strict=True), station + 1):
        own = f"{key}.{at}"
        rows.append(
            WayRow(
                at,
                {
                    "pitch": Figure(f"{own}.pitch", float(pitch), "slope", C),
                    "change": Figure(f"{own}.change", float(pitch) - before, "angle", C),
                    "depth": Figure(f"{own}.depth", here + float(gained), "length", C),
                },
            )
        )
        before = float(pitch)
    return tuple(rows)


def _check(pitch: float, rods: int, depth: float) -> None:
    faults = []
    if not 1 <= rods <= MOST_RODS:
        faults.append(Fault("way_rods", str(rods), column="rods"))
    if not abs(pitch) < STEEPEST:
        faults.append(Fault("way_pitch", f"{pitch}", column="pitch_pct"))
    if not math.isfinite(depth):
        faults.append(Fault("not_a_number", str(depth), column="depth"))
    if faults:
        raise BadInputError(faults)
