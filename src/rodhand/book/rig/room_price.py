"""What the end of the rod being drilled costs: on the plan, on the long-life line, at the limit."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.opening import book_in, open_bore
from rodhand.book.plan.planned import plan_named
from rodhand.book.rig.over_steer_choices import life_if
from rodhand.book.rig.pilot_stand import PilotStand, pilot_stand
from rodhand.book.rig.way_plan import plan_at
from rodhand.book.rig.way_search import Worked, worked_way
from rodhand.book.rig.way_utilities import known_of
from rodhand.book.work.assess import Assessment
from rodhand.book.work.in_force import is_invented
from rodhand.book.work.prices import owner_prices
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.units import Figure, Standing

MOST_RODS = 12
"""Rods in which a way back onto the plan is looked for, at most."""
C, U = Standing.COMPUTED, Standing.UNKNOWN
Figures = dict[str, Figure]


@dataclass(frozen=True)
class PriceRow:
    """One end of this rod: figures ``end`` (pitch); ``dearest`` and ``together``, life more than
    straight on, of the rod that takes the most more and of all (below 0 where it spares them, as a
    bend back after a sharp one may); ``money`` of all rods, unknown without the owner's price."""

    code: str
    figures: Figures

    @property
    def spares(self) -> bool:
        """Whether it takes less of all rods together than straight on."""
        return (self.figures["together"].value or 0.0) < 0.0


@dataclass(frozen=True)
class PriceView:
    """What ends of the rod being drilled cost.

    Parameters
    ----------
    told : tuple of Sentence
        The end that stays on the plan and its cost in one line, or what is not known.
    rows : tuple of PriceRow
        On the plan, straight on, on the long-life line, at the limit; empty where how many rods
        follow is unknown.
    to_drill : int or None
        Rods still to drill, this one among them: typed, or those of the plan; None unknown.
    """

    name: str
    rig: str
    invented: bool
    told: tuple[Sentence, ...]
    rows: tuple[PriceRow, ...]
    currency: str
    to_drill: int | None = None
    station: int | None = None


def price_view(folder: Path, name: str, to_drill: int | None = None) -> PriceView:
    """What the end of the rod being drilled costs every rod.

    Parameters
    ----------
    folder : Path
        The book's folder.
    name : str
        Bore.
    to_drill : int or None
        Rods still to drill, this one among them; as the plan has it when None.

    Returns
    -------
    PriceView
        Each end is worked as the whole bore would be, straight on after this rod, to its end and
        back; told is what it takes more than straight on, design value. The end on the plan is
        the first of the way back onto it in the fewest rods inside the long-life line, else
        inside the room.

    Raises
    ------
    NoSuchBoreError
        If there is no such bore.
    """
    book = book_in(folder)
    bore = book.bores.get(name)
    if bore is None:
        raise NoSuchBoreError(name)
    key = f"price.{name}"
    stand = pilot_stand(book, bore, key)
    view = PriceView(name, bore.rig, is_invented(book), (), (), "")
    if isinstance(stand, Sentence):
        return replace(view, told=(stand,))
    view = replace(view, station=stand.station + 1)
    plan = plan_named(book, name)
    targets = len(plan.target_pitches) if plan is not None else 0
    if to_drill is None and targets:
        to_drill = max(targets - stand.station, 1)
    if to_drill is None:
        return replace(view, told=(Sentence("price.rods_unknown"),))
    onto = _onto_plan(book, name, stand) if targets else None
    assessment = open_bore(folder, name)
    rows = _rows(assessment, bore, stand, to_drill, onto[1] if onto else None, key)
    currency = owner_prices(assessment).currency
    told = _told(rows, onto, bool(targets), currency, key)
    return replace(view, told=told, rows=rows, to_drill=to_drill, currency=currency)


def _onto_plan(book: Book, name: str, stand: PilotStand) -> tuple[int, Worked] | None:
    """The way onto the plan in the fewest rods: inside the long-life line, else inside the room."""
    room = min(stand.room, stand.across)
    if room <= 0.0:
        return None
    easy, sharp = _long_change(stand) / room, None
    for rods in range(1, MOST_RODS + 1):
        wanted = plan_at(book, name, stand.rod_type, stand.station + rods)
        if wanted is None:
            break
        if not stand.sideways:
            wanted = replace(wanted, offset=0.0, heading=0.0)
        way = worked_way(
            stand.here, wanted, rods, stand.rod_type.length, room, known_of(stand.in_way),
            stand.sideways,
        )  # fmt: skip
        if way is None or not way.reached:
            continue
        sharp = sharp or (rods, way)
        if float(way.bend.max()) / room <= easy:
            return rods, way
    return sharp


def _long_change(stand: PilotStand) -> float:
    """Change of pitch in one rod on the long-life line; 0 where it is not told. [rad]"""
    far = stand.figures.get("long_to")
    return 0.0 if far is None else (far.value or 0.0) - stand.here.pitch


def _ends(stand: PilotStand, onto: Worked | None) -> dict[str, float]:
    """Pitch at the end of this rod by code; limits on the side the plan lies. [rad]"""
    now = stand.here.pitch
    up = onto is None or float(onto.pitch[0]) >= now
    ends = {} if onto is None else {"plan": float(onto.pitch[0])}
    ends["straight"] = now
    limit = stand.figures["to" if up else "from"].value or 0.0
    line = stand.figures.get("long_to" if up else "long_from")
    if line is not None and line.value is not None:
        ends["long"] = min(line.value, limit) if up else max(line.value, limit)
    return {**ends, "limit": limit}


def _rows(
    assessment: Assessment, bore: Bore, stand: PilotStand, to_drill: int, onto: Worked | None,
    key: str,
) -> tuple[PriceRow, ...]:  # fmt: skip
    straight = life_if(assessment, bore, np.full(to_drill, stand.here.pitch), None)
    rows = []
    for code, end in _ends(stand, onto).items():
        heading = None
        if code == "plan" and onto is not None and onto.heading is not None:
            heading = np.full(to_drill, float(onto.heading[0]))
        life = life_if(assessment, bore, np.full(to_drill, end), heading)
        more = {rod: life[rod] - straight.get(rod, 0.0) for rod in life}
        rows.append(PriceRow(code, _figures(assessment, more, end, f"{key}.{code}")))
    return tuple(rows)


def _figures(assessment: Assessment, more: dict[str, float], end: float, key: str) -> Figures:
    prices = owner_prices(assessment)
    of_rods = [prices.rod(assessment.histories[rod].rod_type.name) for rod in more]
    money = None
    if more and all(each is not None for each in of_rods):
        money = sum(
            life * (price or 0.0) for life, price in zip(more.values(), of_rods, strict=True)
        )
    known = C if more else U
    return {
        "end": Figure(f"{key}.end", end, "slope", C),
        "dearest": Figure(
            f"{key}.dearest", max(more.values()) if more else None, "part_of_life", known
        ),
        "together": Figure(
            f"{key}.together", sum(more.values()) if more else None, "part_of_life", known
        ),
        "money": Figure(f"{key}.money", money, "money", U if money is None else C),
    }


def _told(
    rows: tuple[PriceRow, ...], onto: tuple[int, Worked] | None, planned: bool, currency: str,
    key: str,
) -> tuple[Sentence, ...]:  # fmt: skip
    if onto is None:
        most = Figure(f"{key}.most", float(MOST_RODS), "count", C)
        return (
            Sentence("price.not_reached", {"rods": most}) if planned
            else Sentence("price.no_plan"),
        )  # fmt: skip
    figures = rows[0].figures
    rods = Figure(f"{key}.rods", float(onto[0]), "count", C)
    code = "end_one" if onto[0] == 1 else "end"
    found = [Sentence(f"price.{code}", {"pitch": figures["end"], "rods": rods})]
    if figures["together"].value is None:
        return (*found, Sentence("price.life_unknown"))
    found.append(_compared(figures["together"], key))
    money = figures["money"].value
    if money is None:
        found.append(Sentence("price.money_unknown"))
    else:
        saved = "_saved" if money < 0.0 else ""
        shown = Figure(f"{key}.money{saved}", abs(money), "money", C)
        found.append(Sentence(f"price.money{saved}", {"money": shown, "currency": currency}))
    return tuple(found)


def _compared(together: Figure, key: str) -> Sentence:
    """What it takes, or spares, of all rods together."""
    more = together.value or 0.0
    if more >= 0.0:
        return Sentence("price.costs", {"together": together})
    spared = Figure(f"{key}.spared", -more, together.quantity, together.standing)
    return Sentence("price.spared", {"together": spared})
