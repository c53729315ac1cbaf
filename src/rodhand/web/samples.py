"""Made-up views for the page of building blocks: every block in every state, no book needed.

Nothing here is computed by the mechanics; the figures only have to look like figures.
"""

from __future__ import annotations

import math
from itertools import accumulate
from typing import Any

from rodhand.book.telling import names_in_words
from rodhand.book.views import (
    BendShare,
    BoreShare,
    BoreView,
    HistoryLine,
    OfficeBore,
    OfficeSet,
    OfficeView,
    OverSteerRow,
    PassRow,
    Picture,
    RodRow,
    SectionRow,
    StationRow,
    ThingView,
    WeekLine,
    WeekView,
    YardRod,
    YardRow,
    YardView,
)
from rodhand.sheets.shown import Sentence, Verdict
from rodhand.units import Figure, Standing
from rodhand.web.forms import Form, FormField, field_label, kind_label
from rodhand.words import say

STANDINGS = ("not looked at", "fit", "watch", "dress", "set aside", "scrap")
LENGTH = 3.048
COUNT = 36
LIMIT = math.radians(3.95)
LONG_LIFE = math.radians(2.4)
# Change of pitch in each rod [degrees], up positive: entry curve with one over-steer, a level
# run that wanders, and an exit curve.
CHANGES_TYPED = (
    "0 2.2 2.3 5.4 2.2 .5 -.4 .8 -.2 .2 -.6 .1 .3 -.4 .5 .9 -.2 -.7 .5 .9 -.1 .9 -.1 -.7 .2 "
    "1.8 1.9 2 2.3 1.7 1.9 1.8 .7 .1 0 .2"
)
CHANGES = tuple(map(float, CHANGES_TYPED.split()))
UNREAD = {17, 18}


def figure(
    key: str,
    value: float | None,
    quantity: str,
    standing: Standing = Standing.COMPUTED,
    spread: float = 0.0,
) -> Figure:
    """A figure whose band is the value over and times ``1 + spread``."""
    if value is None or not spread:
        return Figure(key, value, quantity, standing)
    return Figure(key, value, quantity, standing, value / (1 + spread), value * (1 + spread))


def _pitches() -> list[float]:
    return [math.radians(-14.0 + turn) for turn in accumulate(CHANGES)]


def _picture(tool: float, heading: bool) -> Picture:
    pitches = _pitches()
    along = [0.0, *accumulate(LENGTH * math.cos(pitch) for pitch in pitches)]
    down = [0.0, *accumulate(-LENGTH * math.sin(pitch) for pitch in pitches)]
    bends = [math.nan if n in UNREAD else math.radians(abs(c)) for n, c in enumerate(CHANGES)]
    return Picture(
        measured=tuple(n * LENGTH for n in range(COUNT + 1)),
        along=tuple(along),
        down=tuple(down),
        right=tuple(0.9 * math.sin(n / 7) for n in range(COUNT + 1)) if heading else (),
        bend_edges=tuple(n * LENGTH for n in range(COUNT + 1)),
        bend=tuple(bends),
        bend_low=tuple(max(bend - math.radians(0.35), 0.0) for bend in bends),
        bend_high=tuple(bend + math.radians(0.35) for bend in bends),
        limit=LIMIT,
        long_life=LONG_LIFE,
        rod_length=LENGTH,
        tool=tool,
        drilled=COUNT * LENGTH,
        head_name="H-1",
    )


def _rod(place: int, tool: float) -> RodRow:
    end = tool - (place - 1) * LENGTH
    key, unknown = f"rod.{place}", place == 13
    used = None if unknown else 0.62 * max(0.0, end / (COUNT * LENGTH)) ** 1.5
    share = Standing.ASSUMED if place % 7 == 0 else Standing.COMPUTED
    return RodRow(
        key=key,
        name=f"M1-{place:02d}",
        place=place,
        who=("marked", "by row", "set only", "unknown")[place % 4],
        in_hole=end > 0,
        start=end - LENGTH,
        end=end,
        standing=STANDINGS[place % 6],
        mostly_assumed=place % 7 == 0,
        figures={
            "place": figure(f"{key}.place", float(place), "count"),
            "turns": figure(f"{key}.turns", max(0.0, end) * 140, "turns", spread=0.1),
            "life_used": figure(f"{key}.life_used", used and used / 9, "life", share, 1.0),
            "life_used_all": figure(f"{key}.life_used_all", used, "life", share, 1.0),
            "assumed_share": figure(f"{key}.assumed_share", place / 50, "share"),
            "turns_tighter_30": figure(f"{key}.turns_tighter_30", 0.0, "turns"),
            "turns_tighter_50": figure(f"{key}.turns_tighter_50", max(0.0, end) * 3, "turns"),
            "turns_tighter_100": figure(f"{key}.turns_tighter_100", max(0.0, end) * 20, "turns"),
            "turns_tighter_200": figure(f"{key}.turns_tighter_200", max(0.0, end) * 20, "turns"),
            "turns_tighter_500": figure(f"{key}.turns_tighter_500", max(0.0, end) * 60, "turns"),
        },
    )


def _station(number: int) -> StationRow:
    key, pitches, read = f"station.{number}", _pitches(), number - 1 not in UNREAD
    bend = math.radians(abs(CHANGES[number - 1])) if read else None
    down = -LENGTH * sum(math.sin(pitch) for pitch in pitches[:number])
    radius = LENGTH / bend if bend else None
    return StationRow(
        station=float(number),
        inside=False,
        over="unknown" if not read else "over" if number == 4 else "no",
        figures={
            "measured_length": figure(
                f"{key}.measured_length", number * LENGTH, "length", Standing.MEASURED
            ),
            "depth": figure(f"{key}.depth", down, "length"),
            "pitch": figure(
                f"{key}.pitch", pitches[number - 1] if read else None, "slope", Standing.MEASURED
            ),
            "bend_percent": figure(f"{key}.bend_percent", bend, "slope", spread=0.2),
            "bend_radius": figure(f"{key}.bend_radius", radius, "radius"),
            "share_of_limit": figure(f"{key}.share_of_limit", bend and bend / LIMIT, "share"),
        },
    )


def _over_steer(station: int, verdict: str, tool: float) -> OverSteerRow:
    start, end = (station - 1) * LENGTH, station * LENGTH
    middle, names = (start + end) / 2, [f"M1-{place:02d}" for place in range(1, COUNT + 1)]
    inside = int((tool - middle) // LENGTH) + 1 if tool > middle else 0
    bend = math.radians(CHANGES[station - 1])
    size = figure(f"over.{station}.bend_percent", bend, "slope", spread=0.1)
    return OverSteerRow(
        station=float(station),
        verdict=verdict,
        limit="maker",
        sentence=Sentence(
            f"page.sample_{verdict}",
            {
                "station": str(station),
                "bend": size,
                "bore": "B-2",
                "passed": names_in_words(names[: max(inside - 1, 0)]),
                "in_it": names_in_words(names[max(inside - 1, 0) : inside]),
                "to_come": names_in_words(names[inside:33]),
            },
        ),
        passed=tuple(names[: max(inside - 1, 0)]),
        in_it=tuple(names[max(inside - 1, 0) : inside]),
        to_come=tuple(names[inside:33]),
        start=start,
        end=end,
        figures={"bend_percent": size},
    )


def sample_verdict(voice: str, what: str = "B-2") -> Verdict:
    """A verdict of each voice: stop, note, price."""
    chosen = {"stop": "stop", "note": "note", "price": "price"}[voice]
    number = figure(f"sample.{voice}.{what}", 1.37, "share", spread=0.1)
    return Verdict(
        voice=chosen,  # type: ignore[arg-type]
        what=Sentence("page.sample_what", {"bore": what}),
        why=Sentence("page.sample_why", {"share": number}),
        do=Sentence("page.sample_do"),
        source="invented",
        caution=Sentence("caution.rods"),
    )


def sample_bore(at: float | None = None, at_pass: str = "pilot", heading: bool = True) -> BoreView:
    """A bore of 36 rods at one moment of its pilot."""
    tool = COUNT * LENGTH if at is None else min(max(at, 0.0), COUNT * LENGTH)
    stations = tuple(_station(number) for number in range(1, COUNT + 1))
    return BoreView(
        name="B-2",
        rig="Rig-2",
        rod_type="demo-mid",
        place="Mill Lane",
        ground="cobble",
        under="road",
        happened="2025-05-12",
        invented=True,
        at_pass=at_pass,
        at=tool,
        figures={
            "length": figure("bore.length", COUNT * LENGTH, "distance", Standing.MEASURED),
            "at": figure("bore.at", tool, "distance", Standing.MEASURED),
            "rods": figure("bore.rods", float(COUNT), "count", Standing.MEASURED),
            "stations": figure("bore.stations", float(COUNT), "count", Standing.MEASURED),
            "deepest": figure("bore.deepest", 2.6, "length"),
            "rotating_time": figure("bore.rotating_time", 9.4 * 3600, "hours", Standing.ASSUMED),
            "turns_total": figure("bore.turns_total", tool * 140, "turns", spread=0.2),
            "limit": figure("bore.limit", LIMIT, "slope", Standing.MEASURED),
            "long_life": figure("bore.long_life", LONG_LIFE, "slope", Standing.ASSUMED),
        },
        stations=stations,
        rods=tuple(_rod(place, tool) for place in range(1, COUNT + 1)),
        over_steers=(
            _over_steer(4, "over", tool),
            _over_steer(29, "within_error", tool),
        ),
        three_rod=(),
        passes=(
            PassRow(
                "pilot",
                "pilot",
                True,
                "counter",
                {
                    "turns": figure("pass.pilot.turns", 15890.0, "turns", Standing.MEASURED),
                    "hole_diameter": figure("pass.pilot.hole", 0.1, "size", Standing.ASSUMED),
                },
            ),
            PassRow(
                "pullback",
                "pullback",
                False,
                "unknown",
                {
                    "turns": figure("pass.pullback.turns", None, "turns"),
                    "hole_diameter": figure("pass.pullback.hole", None, "size"),
                },
            ),
        ),
        slider=(("pilot", 0.0, COUNT * LENGTH), ("pullback", COUNT * LENGTH, 0.0)),
        picture=_picture(tool, heading),
        warnings=(Sentence("page.sample_warning"),),
        verdicts=(sample_verdict("stop"), sample_verdict("note"), sample_verdict("price")),
        measured_how=(Sentence("page.sample_measured"),),
    )


def sample_week(empty: bool = False) -> WeekView:
    """A week with one line of each voice, or with nothing due."""
    lines = tuple(
        WeekLine(
            who=who,
            things=("M1-01", "M1-02", "M1-03"),
            where=f"{who} box",
            verdict=sample_verdict(voice, who),
            how_long=figure(f"week.{who}.how_long", 900.0, "minutes", Standing.ASSUMED),
            link="/bore/B-2",
        )
        for who, voice in (("Rig-2", "stop"), ("Rig-1", "note"), ("Office", "price"))
    )
    count = figure("week.not_looked_at", 41.0, "count")
    return WeekView(
        as_of="2025-09-26",
        invented=True,
        lines=() if empty else lines,
        rest=() if empty else lines[:1],
        bends=() if empty else (("B-2", _over_steer(4, "over", 80.0)),),
        nothing=Sentence("page.sample_nothing", {"count": count}) if empty else None,
        warnings=(Sentence("page.sample_warning"),),
        figures={
            "not_looked_at": count,
            "rods": figure("week.rods", 240.0, "count"),
            "bores": figure("week.bores", 122.0, "count"),
            "copy_age": figure("week.copy_age", None, "days"),
            "entries": figure("week.entries", 5210.0, "count"),
        },
    )


def sample_thing() -> ThingView:
    """A rod with all that is known of it."""
    sections = ("pin thread", "pin-side upset", "mid tube", "box-side upset", "box thread")
    return ThingView(
        key="rod.1",
        name="M1-01",
        marks=("M1-01",),
        what="rod",
        set="M1",
        rod_type="demo-mid",
        where="row",
        standing="watch",
        invented=True,
        figures={
            "life_used": figure("thing.life_used", 0.48, "life", spread=1.0),
            "design": figure("thing.design", 0.91, "life"),
            "metres": figure("thing.metres", 8120.0, "distance"),
            "rotating_time": figure("thing.rotating_time", 1.1e6, "hours", Standing.ASSUMED),
            "bores": figure("thing.bores", 41.0, "count"),
            "length": figure("thing.length", LENGTH, "length", Standing.MEASURED),
            "assumed_share": figure("thing.assumed_share", 0.42, "share"),
            "turns": figure("thing.turns", 1.2e6, "turns", spread=0.4),
            "chance_low": figure("thing.chance_low", 500.0, "count"),
            "chance_high": figure("thing.chance_high", 20.0, "count"),
        },
        verdicts=(sample_verdict("note", "M1-01"),),
        sections=tuple(
            SectionRow(
                name,
                name == "box thread",
                {
                    "low": figure(f"section.{n}.low", 0.02 * n, "life"),
                    "best": figure(f"section.{n}.best", 0.1 * n, "life"),
                    "high": figure(f"section.{n}.high", 0.3 * n, "life"),
                    "design": figure(f"section.{n}.design", 0.2 * n, "life"),
                },
            )
            for n, name in enumerate(sections, 1)
        ),
        bores=(
            BoreShare(
                "B-2",
                "2025-05-12",
                "by row",
                {
                    "turns": figure("share.B-2.turns", 15890.0, "turns"),
                    "life_used": figure("share.B-2.life_used", 0.02, "life", spread=1.0),
                    "share": figure("share.B-2.share", 0.3, "share"),
                    "tightest_radius": figure("share.B-2.radius", 32.4, "radius"),
                    "place": figure("share.B-2.place", 1.0, "count"),
                },
            ),
        ),
        bends=(
            BendShare(
                "B-2",
                4.0,
                "over",
                {
                    "radius": figure("bend.B-2.radius", 32.4, "radius"),
                    "turns": figure("bend.B-2.turns", 320.0, "turns"),
                    "share": figure("bend.B-2.share", 0.21, "share"),
                },
            ),
        ),
        facts=(),
        mates=(Sentence("page.sample_mate", {"thing": "M1-02"}),),
        history=(
            HistoryLine("e1", "2025-05-13", "check", Sentence("page.sample_look"), False, "AB"),
            HistoryLine("e2", "2025-05-12", "mark", Sentence("page.sample_look"), True, "AB"),
        ),
        unknown=(Sentence("page.sample_warning"),),
    )


def sample_yard() -> YardView:
    """A box of four rows with every standing."""

    def rod(place: int) -> YardRod:
        row = _rod(place, COUNT * LENGTH)
        metres = figure(f"{row.key}.metres", 90.0 * place, "distance")
        used = row.figures["life_used_all"]
        return YardRod(
            row.key,
            row.name,
            row.standing,
            row.mostly_assumed,
            {"life_used": used, "metres": metres},
        )

    rows = tuple(
        YardRow(
            Sentence("page.sample_row", {"row": str(number + 1)}),
            tuple(rod(place) for place in range(number * 9 + 1, number * 9 + 10)),
        )
        for number in range(4)
    )
    counts = {name: figure(f"yard.{name}", 6.0, "count") for name in STANDINGS}
    return YardView(True, (("Rig-2 · M1", rows),), counts, (sample_verdict("note", "yard"),))


def sample_office() -> OfficeView:
    """Two bores and a set."""
    bores = tuple(
        OfficeBore(
            name,
            "2025-05-12",
            "Rig-2",
            "Mill Lane",
            "cobble",
            over,
            {
                "length": figure(f"office.{name}.length", 109.7, "distance", Standing.MEASURED),
                "rods": figure(f"office.{name}.rods", 36.0, "count", Standing.MEASURED),
                "tightest_radius": figure(f"office.{name}.radius", 32.4, "radius"),
                "life_spent": figure(f"office.{name}.life", 0.4, "life", spread=1.0),
            },
        )
        for name, over in (("B-1", "no"), ("B-2", "over"), ("B-3", "within_error"))
    )
    sets = (
        OfficeSet(
            "M1",
            "demo-mid",
            "Rig-2",
            {
                "count": figure("set.M1.count", 60.0, "count", Standing.MEASURED),
                "metres": figure("set.M1.metres", 8000.0, "distance"),
                "rotating_time": figure("set.M1.time", 9e5, "hours", Standing.ASSUMED),
                "bores": figure("set.M1.bores", 41.0, "count"),
                "worst": figure("set.M1.worst", 0.6, "life", spread=1.0),
                "breaks_per_1000_hours": figure("set.M1.breaks", 3e-7, "per_1000_hours", spread=2),
            },
        ),
    )
    return OfficeView(True, bores, sets, {})


def sample_figures() -> list[Figure]:
    """A figure of every standing, with and without a band, and life used from none to many."""
    plain = [
        figure("sample.measured", 3.048, "length", Standing.MEASURED),
        figure("sample.computed", 0.095, "slope", spread=0.2),
        figure("sample.assumed", 3.3e4, "hours", Standing.ASSUMED),
        figure("sample.unknown", None, "torque"),
    ]
    lives = (0.0002, 0.002, 0.02, 0.1, 0.5, 1.0, 4.0)
    return plain + [
        figure(f"sample.life.{n}", life, "life", spread=1.0) for n, life in enumerate(lives)
    ]


def sample_form() -> Form:
    """A form with a fault beside a field, one at the time and one of the whole."""

    def field(name: str, kind: str, **more: Any) -> FormField:
        empty = {
            "value": "",
            "required": False,
            "choices": (),
            "units": (),
            "unit": "",
            "faults": (),
        }
        return FormField(name=name, label=field_label(name), type=kind, **{**empty, **more})

    fault = say("fault.page_position.do")
    return Form(
        "thing",
        kind_label("thing"),
        (
            field("thing", "name", value="M1-01", required=True),
            field("what", "choice", choices=("rod", "sub", "head"), value="rod"),
            field("length", "quantity", units=("m", "ft"), unit="ft", value="1O", faults=(fault,)),
        ),
        "yesterday",
        "",
        (fault,),
        (fault,),
    )
