"""What a rig's make-up gauge shows at a torque: from that rig's own table and nothing else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from rodhand.advice.suspects import GaugeLook, gauge_faults
from rodhand.book.work.days import day_of
from rodhand.record.book import Book
from rodhand.record.marks import fold
from rodhand.record.rig_day import GaugePoint


@dataclass(frozen=True)
class GaugeShows:
    """The gauge for one gear and circuit at a torque.

    Parameters
    ----------
    gear, circuit : str
        As the rig's table has them.
    pressure : float or None
        What the gauge shows; None where the table does not say. [Pa]
    why : {"", "outside", "disorder", "off"}
        Why there is no reading: the torque lies outside the table, its rows do not rise together,
        or the gauge was found out of tolerance after they were entered.
    rows : int
        Rows of the table in use.
    """

    gear: str
    circuit: str
    pressure: float | None
    why: str
    rows: int


def gauge_off_since(book: Book, rig: str) -> str:
    """ISO day a rig's make-up gauge was last found out of tolerance; empty when it is not off."""
    looks: dict[str, list[GaugeLook]] = {}
    for each in book.comparisons:
        if fold(each.rig) == fold(rig):
            look = GaugeLook(day_of(each.origin.happened.start), each.shown, each.reference)
            looks.setdefault(fold(each.gauge), []).append(look)
    off = [faults[-1].when for rows in looks.values() if (faults := gauge_faults(rows))
           and not faults[-1].mended]  # fmt: skip
    return max(off, default="")


def gauge_shows(book: Book, rig: str, torque: float) -> tuple[GaugeShows, ...]:
    """What the gauge shows at a torque, for each gear and circuit of the rig's own table.

    Parameters
    ----------
    book : Book
        The book.
    rig : str
        The rig.
    torque : float
        Torque wanted. [N m]

    Returns
    -------
    tuple of GaugeShows
        In the order the gears were entered; empty where the rig has no table.

    Notes
    -----
    Between two rows a straight line, as a motor's torque rises with its pressure; never beyond
    the first or last row. A row entered again for the same pressure replaces the one before.
    """
    off = gauge_off_since(book, rig)
    tables: dict[tuple[str, str], dict[float, GaugePoint]] = {}
    for each in book.gauge_tables:
        if fold(each.rig) == fold(rig):
            rows = tables.setdefault((fold(each.gear), fold(each.circuit)), {})
            rows[each.pressure] = each
    return tuple(_shows([*rows.values()], torque, off) for rows in tables.values())


def _shows(table: Sequence[GaugePoint], torque: float, off: str) -> GaugeShows:
    named = table[0]
    rows = [each for each in table if not off or day_of(each.origin.happened.start) > off]
    rows.sort(key=lambda each: each.pressure)
    pressure, why = None, ""
    if not rows:
        why = "off"
    elif any(after.torque <= before.torque for before, after in pairwise(rows)):
        why = "disorder"
    else:
        pressure = _between(rows, torque)
        why = "outside" if pressure is None else ""
    return GaugeShows(named.gear, named.circuit, pressure, why, len(rows))


def _between(rows: Sequence[GaugePoint], torque: float) -> float | None:
    """Pressure at a torque on the straight lines between rows; None beyond them. [Pa]"""
    for row in rows:
        if row.torque == torque:
            return row.pressure
    for low, high in pairwise(rows):
        if low.torque < torque < high.torque:
            share = (torque - low.torque) / (high.torque - low.torque)
            return low.pressure + share * (high.pressure - low.pressure)
    return None
