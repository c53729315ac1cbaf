"""A notable bend as a row: how far over, and which rods passed, are in it or will pass."""

from __future__ import annotations

import math
from collections.abc import Callable

from rodhand.advice.verdict import Sentence
from rodhand.book.telling import names_in_words
from rodhand.book.views import OverSteerRow
from rodhand.book.work.moments import Moment, concerned
from rodhand.book.work.names_then import GROUPS, NamesThen
from rodhand.book.work.over_limits import LimitedBend
from rodhand.units import Figure, Standing
from rodhand.words import word


def over_row(
    moment: Moment,
    bend: LimitedBend,
    name_of: Callable[[int], str],
    key: str,
    names: NamesThen | None = None,
) -> OverSteerRow:
    """One bend with its figures and the rods it concerns at a moment.

    Parameters
    ----------
    moment : Moment
        The bore at the moment.
    bend : LimitedBend
        A bend over, likely over or within reading error of its limit.
    name_of : callable
        Name of the rod in a place.
    key : str
        First part of the figures' keys.
    names : NamesThen, optional
        Names of a book's bore, for where the rods lay and what was written on them since.

    Returns
    -------
    OverSteerRow
        With its sentence.
    """
    places = concerned(moment, bend)
    groups: dict[str, tuple[int, ...]] = {name: getattr(places, name) for name in GROUPS}
    named = {name: tuple(map(name_of, group)) for name, group in groups.items()}
    everyone = [place for group in groups.values() for place in group]
    own = f"{key}.bend.{bend.station}.{bend.what.replace(' ', '_')}"
    computed = Standing.COMPUTED
    figures = {
        "share": Figure(f"{own}.share", bend.share, "share", computed),
        "radius": Figure(f"{own}.radius", bend.radius, "radius", computed),
        "bend_percent": Figure(f"{own}.bend_percent", math.atan(bend.angle), "slope", computed),
        "bend": Figure(f"{own}.bend", bend.angle, "angle", computed),
        "length": Figure(f"{own}.length", bend.end - bend.start, "length", computed),
    }
    sentence = Sentence(
        f"bore.over.{bend.verdict}",
        {
            "station": f"{bend.station}",
            "what": word("over_what", bend.what),
            "percent": figures["bend_percent"],
            "length": figures["length"],
            "share": figures["share"],
            "radius": figures["radius"],
            **{name: names_in_words(names) for name, names in named.items()},
        },
    )
    return OverSteerRow(
        float(bend.station), bend.verdict, bend.what, sentence, named["passed"], named["in_it"],
        named["to_come"], bend.start, bend.end, figures,
        names.in_box(groups) if names else None, names.marked_since(everyone) if names else None,
        _not_known(moment, everyone, names) if names else (),
        _given_all(moment, bend, own),
    )  # fmt: skip


def _given_all(moment: Moment, bend: LimitedBend, key: str) -> Sentence | None:
    """A rod's bend given all readings of the bore, with its 90 % band; nothing for other bends."""
    points = moment.work.hole.best_bend(bend.start, bend.end)
    if points is None or bend.what != "rod":
        return None
    low, middle, high = (
        Figure(f"{key}.best_{name}", math.atan(value), "slope", Standing.COMPUTED)
        for name, value in zip(("low", "middle", "high"), points, strict=True)
    )
    return Sentence("bore.given_all", {"best": middle, "low": low, "high": high})


def _not_known(moment: Moment, places: list[int], names: NamesThen) -> tuple[Sentence, ...]:
    """What nobody knows of the rods in these places, and of the bend sideways."""
    who = names.not_known(places)
    sideways = moment.work.hole.readings.has_heading
    return tuple(filter(None, (who, None if sideways else Sentence("bore.not_known.sideways"))))
