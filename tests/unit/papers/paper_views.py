"""Bores made up for the tests of the papers: any number of rods, typed facts, gaps on purpose."""

from __future__ import annotations

import math
from itertools import accumulate, pairwise

from rodhand.advice.verdict import Sentence, Verdict
from rodhand.book.telling import names_in_words
from rodhand.book.views import BoreView, OverSteerRow, PassRow, Picture, RodRow, StationRow
from rodhand.sheets.paper import BookFacts
from rodhand.units import Figure, Standing

LENGTH = 3.048
HASH = "3f9a" * 16
BOOK = BookFacts("yard-book", 5210, HASH, "2025-09-26")
PERSONS = ("person-7f3", "Q. Testhand")
SET = "QX7"
HEAD = "H-77"
UNREAD = (17, 18)


def fig(key: str, value: float | None, quantity: str, standing: str = "computed") -> Figure:
    """A figure whose band is 20 % either side."""
    band = (value * 0.8, value * 1.2) if value is not None else (None, None)
    return Figure(key, value, quantity, Standing(standing), *band)


def bare(key: str, value: float | None, quantity: str, standing: str = "measured") -> Figure:
    """A figure without a band."""
    return Figure(key, value, quantity, Standing(standing))


def mark(place: int) -> str:
    """The mark of the rod in a place."""
    return f"{SET}-{place:03d}"


def _changes(count: int) -> list[float]:
    """Change of pitch in each rod [%], one over-steer in rod 4."""
    entry, leave = max(count // 6, 5), max(count // 5, 6)
    changes = [14.0 / entry if n < entry else 0.0 for n in range(count)]
    for n in range(count - leave, count):
        changes[n] = 18.0 / leave
    for n in range(entry, count - leave):
        changes[n] = 0.4 if n % 2 else -0.4
    changes[3] += 6.0
    return [round(change, 1) for change in changes]


def _station(n: int, grades: list[float], down: list[float], heading: bool) -> StationRow:
    key, read = f"station.{n}", n - 1 not in UNREAD
    bend = abs(grades[n] - grades[n - 1]) / 100 if read else None
    radius = LENGTH / bend if bend else None
    way = math.radians(74 + 3 * math.sin(n / 9))
    return StationRow(
        station=float(n),
        inside=False,
        over="over" if n == 4 else "no",
        figures={
            "measured_length": bare(f"{key}.measured_length", n * LENGTH, "length"),
            "north": bare(f"{key}.north", n * LENGTH * 0.995, "length", "computed"),
            "east": bare(f"{key}.east", math.sin(n / 9) if heading else None, "length"),
            "depth": bare(f"{key}.depth", down[n], "length", "computed"),
            "pitch": bare(f"{key}.pitch", math.atan(grades[n] / 100) if read else None, "slope"),
            "heading": bare(f"{key}.heading", way if heading else None, "angle"),
            "bend": fig(f"{key}.bend", bend, "angle"),
            "bend_radius": bare(f"{key}.bend_radius", radius, "radius", "computed"),
            "share_of_limit": fig(f"{key}.share_of_limit", bend and bend / 0.07, "share"),
            "read_depth": bare(f"{key}.read_depth", down[n] if n % 6 == 0 else None, "length"),
            "rotating_time": bare(f"{key}.rotating_time", 60.0 * (3 + n % 4), "minutes"),
            "push": bare(f"{key}.push", 1.22 if n == 4 else None, "length"),
        },
    )


def _rod(place: int, count: int) -> RodRow:
    key, end = f"rod.{place}", (count - place + 1) * LENGTH
    used = None if place == 13 else 0.6 * (end / (count * LENGTH)) ** 1.5
    assumed = "assumed" if place % 7 == 0 else "computed"
    counts = {30: 0.0, 50: 3 * end, 100: 20 * end, 200: 24 * end, 500: 60 * end}
    return RodRow(
        key=key,
        name="" if place == 12 else mark(place),
        place=place,
        who=("marked", "by row", "set only", "unknown")[place % 4],
        in_hole=True,
        start=end - LENGTH,
        end=end,
        standing=("not looked at", "fit", "watch", "dress", "set aside", "scrap")[place % 6],
        mostly_assumed=place % 7 == 0,
        figures={
            "place": bare(f"{key}.place", float(place), "count"),
            "turns": fig(f"{key}.turns", 140 * end, "turns"),
            "life_used": fig(f"{key}.life_used", used and used / 9, "life", assumed),
            "life_used_all": fig(f"{key}.life_used_all", used, "life", assumed),
            "life_used_design": bare(f"{key}.life_used_design", used and used / 4, "life", assumed),
            "life_used_all_design": bare(
                f"{key}.life_used_all_design", used and 2 * used, "life", assumed
            ),
            "assumed_share": bare(f"{key}.assumed_share", place / (2 * count), "share"),
            **{
                f"turns_tighter_{radius}": fig(f"{key}.turns_tighter_{radius}", turns, "turns")
                for radius, turns in counts.items()
            },
        },
    )


def _over(station: int, verdict: str, count: int) -> OverSteerRow:
    names = [mark(place) for place in range(1, count + 1)]
    passed = count - station
    size = fig(f"over.{station}.bend_percent", 0.094, "slope")
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
                "passed": names_in_words(names[:passed]),
                "in_it": names_in_words(names[passed : passed + 1]),
                "to_come": "–",
            },
        ),
        passed=tuple(names[:passed]),
        in_it=tuple(names[passed : passed + 1]),
        to_come=(),
        start=(station - 1) * LENGTH,
        end=station * LENGTH,
        figures={"bend_percent": size},
    )


def verdict(voice: str, number: float = 1.37) -> Verdict:
    """A verdict that speaks of set aside, inspecting and a person, as real ones do."""
    return Verdict(
        voice=voice,  # type: ignore[arg-type]
        what=Sentence(
            "verdict.life-retire.what", {"line": bare(f"verdict.{voice}.line", 1.0, "life")}
        ),
        why=Sentence(
            "verdict.life_why.one",
            {
                "design": bare(f"verdict.{voice}.design", number, "life", "computed"),
                "low": bare(f"verdict.{voice}.low", number / 9, "life", "computed"),
                "best": bare(f"verdict.{voice}.best", number / 3, "life", "computed"),
                "high": bare(f"verdict.{voice}.high", number * 3, "life", "computed"),
            },
        ),
        do=Sentence("verdict.life-retire.do"),
        source=f"owner's line, entered by {PERSONS[0]}",
        caution=Sentence("caution.rods"),
        standing="set aside",
    )


def _picture(count: int, grades: list[float], down: list[float], heading: bool) -> Picture:
    bends = [abs(after - before) / 100 for before, after in pairwise(grades)]
    bends = [math.nan if n in UNREAD else bend for n, bend in enumerate(bends)]
    edges = tuple(n * LENGTH for n in range(count + 1))
    right = tuple(math.sin(n / 9) for n in range(count + 1)) if heading else ()
    return Picture(
        measured=edges,
        along=tuple(0.995 * edge for edge in edges),
        down=tuple(down),
        right=right,
        bend_edges=edges,
        bend=tuple(bends),
        bend_low=tuple(max(bend - 0.006, 0.0) for bend in bends),
        bend_high=tuple(bend + 0.006 for bend in bends),
        limit=0.069,
        long_life=0.042,
        rod_length=LENGTH,
        tool=count * LENGTH,
        drilled=count * LENGTH,
        head_name=HEAD,
    )


def bore(
    count: int = 36, heading: bool = False, name: str = "B-2", place: str = "Mill Lane"
) -> BoreView:
    """A bore of so many rods at the end of its pilot."""
    grades = [-20.0, *accumulate(_changes(count), initial=-20.0)][1:]
    down = [0.0, *accumulate(-LENGTH * math.sin(math.atan(grade / 100)) for grade in grades[1:])]
    return BoreView(
        name=name,
        rig="Rig-2",
        rod_type="demo-mid",
        place=place,
        ground="cobble",
        under="",
        happened="2025-05-12",
        invented=True,
        at_pass="pilot",
        at=count * LENGTH,
        figures={
            "length": bare("bore.length", count * LENGTH, "distance"),
            "at": bare("bore.at", count * LENGTH, "distance"),
            "rods": bare("bore.rods", float(count), "count"),
            "stations": bare("bore.stations", float(count), "count"),
            "deepest": bare("bore.deepest", max(down), "length", "computed"),
            "rotating_time": bare("bore.rotating_time", 9.4 * 3600, "hours", "assumed"),
            "turns_total": fig("bore.turns_total", count * 427.0, "turns"),
            "limit": bare("bore.limit", 0.069, "slope"),
            "long_life": bare("bore.long_life", 0.042, "slope", "assumed"),
        },
        stations=tuple(_station(n, grades, down, heading) for n in range(1, count + 1)),
        rods=tuple(_rod(place, count) for place in range(1, count + 1)),
        over_steers=(_over(4, "over", count), _over(29, "within_error", count)),
        three_rod=(),
        passes=(
            PassRow(
                "pilot",
                "pilot",
                True,
                "rpm x logged minutes",
                {
                    "turns": fig("pass.pilot.turns", 15890.0, "turns"),
                    "rotating_time": bare("pass.pilot.rotating_time", 9360.0, "hours"),
                    "hole_diameter": bare("pass.pilot.hole", 0.1, "size", "assumed"),
                },
            ),
            PassRow(
                "pullback",
                "pullback",
                False,
                "this rig's own turns per metre",
                {
                    "turns": bare("pass.pullback.turns", None, "turns"),
                    "rotating_time": bare("pass.pullback.rotating_time", None, "hours"),
                    "hole_diameter": bare("pass.pullback.hole", None, "size"),
                },
            ),
        ),
        slider=(("pilot", 0.0, count * LENGTH),),
        picture=_picture(count, grades, down, heading),
        warnings=(Sentence("page.sample_warning"),),
        verdicts=(verdict("note", 0.7), verdict("stop")),
        measured_how=(),
    )
