"""Which bore was drilled when, by which rig, and how its crew wrote it down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from random import Random

from rodhand.demo.profile import CAREFUL, HARD, ORDINARY, Style

FIRST_MONDAY = datetime(2025, 1, 6)
WEEKS = 45
LAST_FRIDAY = FIRST_MONDAY + timedelta(weeks=WEEKS - 1, days=4)
"""The Friday after the last bore; the season is read as of this day."""
L1_STARTS = datetime(2025, 8, 4)
M2_JOINS = datetime(2025, 8, 29)
WRONG_CLOCK = (datetime(2025, 6, 2), datetime(2025, 6, 28))
B1, B2, B3 = datetime(2025, 9, 2), datetime(2025, 9, 9), datetime(2025, 9, 23)
AFTER_B1 = datetime(2025, 9, 4)
SPARES_BORE = datetime(2025, 7, 24)
BREAK_DAY = datetime(2025, 11, 4)

FIRST_WORDS = (
    "Cotter", "Pell", "Osier", "Hazel", "Tanner", "Marl", "Quarry", "Heron", "Fuller", "Larch",
    "Miller", "Sedge", "Copper", "Withy", "Linnet", "Barley", "Gorse", "Potter",
)  # fmt: skip
PLACES = {
    "Row service": "nothing", "Lane crossing": "road", "Drain crossing": "water",
    "Yard service": "nothing", "Close duct": "road", "Mead water service": "nothing",
    "Gate duct": "nothing", "Fold service": "nothing", "Bank crossing": "water",
    "Walk duct": "road",
}  # fmt: skip
"""Second part of a bore's place -> what the bore runs under."""
GROUNDS = {
    "careful": ("soft-clay", "stiff-clay", "soft-clay", "sand"),
    "ordinary": ("stiff-clay", "sand", "soft-clay", "stiff-clay"),
    "hard": ("cobble", "soft-rock", "sand"),
}


@dataclass(frozen=True)
class Habit:
    """How one bore was written down.

    Parameters
    ----------
    turns : str
        ``full`` (minutes and rpm on every row), ``minutes`` (no rpm), ``counter`` (turns of the
        whole pass), ``pass minutes`` (one figure for the pass) or ``none``.
    heading : str
        Reference of the heading written, empty when none was.
    gauges : bool
        Whether torque and thrust were written.
    gaps : float
        Share of the stations at which the pitch was not written. [1]
    pull_rows : bool
        Whether the pullback was written rod by rod.
    hole : bool
        Whether the hole diameter was written.
    """

    turns: str = "full"
    heading: str = ""
    gauges: bool = True
    gaps: float = 0.0
    pull_rows: bool = False
    hole: bool = True


@dataclass(frozen=True)
class PlannedBore:
    """One bore of the season before it is drilled."""

    name: str
    rig: str
    day: datetime
    rods: int
    style: Style
    ground: str
    place: str
    under: str = "nothing"
    habit: Habit = Habit()
    pre_ream: bool = False
    pullback_missing: bool = False
    typed_late: bool = False
    how_loaded: str = "by row"


RODS = {"Rig-12": (19, 42), "Rig-40": (24, 38), "Rig-100": (32, 54)}
"""Fewest and most rods of a rig's bores. [1]"""
MOST_WITH_M2 = 52
MOST_TWICE_REAMED = 32
"""Most rods of a bore that is opened first, so that it ends on its day. [1]"""


def planned_season(seed: int) -> tuple[PlannedBore, ...]:
    """Every bore of the season in order of its day.

    Parameters
    ----------
    seed : int
        Seed of the season.

    Returns
    -------
    tuple of PlannedBore
        At least 120; the three written-out bores of the scenario on their days.
    """
    rng = Random(f"{seed}/plan")
    bores: list[PlannedBore] = []
    for rig, prefix in (("Rig-12", "S"), ("Rig-40", "M"), ("Rig-100", "L")):
        for number, day in enumerate(_days(rng, rig), start=1):
            bores.append(_bore(rng, rig, f"{prefix}-{number:02d}", day))
    bores = _written_as_crews_do(rng, bores)
    return tuple(sorted(bores, key=lambda bore: (bore.day, bore.name)))


def _days(rng: Random, rig: str) -> list[datetime]:
    """Days on which one rig drilled: Monday to Thursday, Friday is for the yard."""
    forced = {
        "Rig-12": [B1, AFTER_B1, SPARES_BORE],
        "Rig-40": [B2, B3, BREAK_DAY],
        "Rig-100": [],
    }[rig]
    days: list[datetime] = []
    for week in range(WEEKS):
        monday = FIRST_MONDAY + timedelta(weeks=week)
        fixed = [day for day in forced if monday <= day < monday + timedelta(days=7)]
        if rig == "Rig-100" and monday < L1_STARTS:
            continue
        if SPARES_BORE in fixed:
            fixed.append(monday + timedelta(days=1))
        if fixed:
            days += sorted(fixed)
        elif rig == "Rig-12":
            days += [
                monday + timedelta(days=d)
                for d in sorted(rng.sample(range(4), rng.choice((1, 2, 2))))
            ]
        else:
            days.append(monday + timedelta(days=rng.randrange(4)))
    return days


def _bore(rng: Random, rig: str, name: str, day: datetime) -> PlannedBore:
    style = rng.choices((CAREFUL, ORDINARY, HARD), (0.4, 0.4, 0.2))[0]
    least, most = RODS[rig]
    if rig == "Rig-40" and day > M2_JOINS:
        most = MOST_WITH_M2
    pre_ream = style is HARD and rng.random() < 0.7
    where = rng.choice(tuple(PLACES))
    rods = rng.randint(least, most)
    bore = PlannedBore(
        name=name,
        rig=rig,
        day=day,
        rods=min(rods, MOST_TWICE_REAMED) if pre_ream else rods,
        style=style,
        ground=rng.choice(GROUNDS[style.name]),
        place=f"{rng.choice(FIRST_WORDS)} {where}",
        under=PLACES[where],
        habit=_habit(rng, rig, style),
        pre_ream=pre_ream,
        how_loaded="marked" if rig == "Rig-12" and rng.random() < 0.12 else "by row",
    )
    return _on_its_day(bore)


def _on_its_day(bore: PlannedBore) -> PlannedBore:
    """The bores that the story needs to be as they are."""
    on_rig = {"Rig-12": {B1: "B-1"}, "Rig-40": {B2: "B-2", B3: "B-3"}, "Rig-100": {}}[bore.rig]
    if bore.day in on_rig:
        habit = Habit(turns="full", gauges=True, hole=True)
        return replace(
            bore, name=on_rig[bore.day], habit=habit, pre_ream=False, how_loaded="by row"
        )
    if bore.rig == "Rig-12" and bore.day == AFTER_B1:
        return replace(bore, rods=max(bore.rods, 30), how_loaded="by row")
    if bore.rig == "Rig-12" and bore.day == SPARES_BORE:
        return replace(
            bore, rods=18, style=CAREFUL, ground="soft-clay", pre_ream=False, how_loaded="set only"
        )
    if bore.rig == "Rig-40" and bore.day == BREAK_DAY:
        return replace(
            bore, rods=32, style=CAREFUL, ground="soft-clay", under="nothing", pre_ream=False
        )
    if bore.rig == "Rig-100":
        style = bore.style if bore.style is not HARD else ORDINARY
        return replace(bore, how_loaded="marked", style=style, pre_ream=False)
    return bore


def _habit(rng: Random, rig: str, style: Style) -> Habit:
    if rig == "Rig-100":
        return Habit(
            turns=rng.choice(("full", "full", "counter")),
            heading="magnetic" if rng.random() < 0.35 else "",
            pull_rows=rng.random() < 0.4,
        )
    return Habit(
        turns=rng.choices(
            ("full", "minutes", "counter", "pass minutes", "none"), (0.3, 0.28, 0.12, 0.15, 0.15)
        )[0],
        heading="relative" if style is not HARD and rng.random() < 0.12 else "",
        gauges=rng.random() < 0.6,
        gaps=rng.choice((0.0, 0.0, 0.03, 0.06)),
        pull_rows=rng.random() < 0.15,
        hole=rng.random() < 0.5,
    )


def _written_as_crews_do(rng: Random, bores: Sequence[PlannedBore]) -> list[PlannedBore]:
    """Some pullbacks nobody recorded and one bore typed weeks late."""
    plain = [
        index
        for index, bore in enumerate(bores)
        if bore.rig != "Rig-100" and bore.day < B1 and bore.how_loaded == "by row"
    ]
    first, second, late = rng.sample(plain, 3)
    changed = list(bores)
    for index in (first, second):
        changed[index] = replace(bores[index], pullback_missing=True, pre_ream=False)
    changed[late] = replace(bores[late], typed_late=True)
    return changed
