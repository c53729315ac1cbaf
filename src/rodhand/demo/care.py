"""Fridays in the yard: looks, dressing, gauge comparisons and slips, all of them ordinary."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from random import Random

from rodhand.demo.box import BoxOrder, order_before
from rodhand.demo.diary import Diary, marks_text
from rodhand.demo.kit import SUBS, YARD, marks_of
from rodhand.demo.plan import (
    B1,
    FIRST_MONDAY,
    L1_STARTS,
    M2_JOINS,
    SPARES_BORE,
    WEEKS,
    PlannedBore,
)

ROW = 15
GOOD_COMPARISON = datetime(2025, 6, 13, 14, 0)
SECOND_COMPARISON = datetime(2025, 10, 17, 14, 0)
NEW_COUNTERBORE = 1.969
"""Counterbore of a new R-M box, 50 mm. [in]"""
SWELL_BEFORE = datetime(2025, 8, 29, 10, 0)
SWELL_AFTER = datetime(2025, 9, 12, 10, 0)
SWELL_RODS = ("M1-02", "M1-06", "M1-09", "M1-14", "M1-18")


def write_care(
    diary: Diary,
    seed: int,
    bores: Sequence[PlannedBore],
    orders: Sequence[BoxOrder],
    grown: str = "",
    galled: Sequence[str] = (),
) -> None:
    """Enter the season's looks and work on rods.

    Parameters
    ----------
    grown : str
        Mark of a rod whose box is found 0.02 in wider at the second look; empty for none.
    galled : sequence of str
        Rods with light galling after B-1, never found sound from then on, nor is Rig-12's saver
        sub; empty for none.
    """
    rng = Random(f"{seed}/care")
    _full_looks(diary, rng, galled)
    _sub_looks(diary, rng, bool(galled))
    _gauges(diary, rng, grown)
    _work(diary, rng)
    _slips(diary, rng, bores, orders)


def _look(diary: Diary, when: datetime, things: str, item: str, **more: str) -> None:
    payload = {"things": things, "item": item, "found": "sound", **more}
    diary.add("check", payload, when, YARD, "yard-hand-1")


def friday(week: int, hour: int = 9) -> datetime:
    """A Friday of the season, counted from 0."""
    return FIRST_MONDAY + timedelta(weeks=week, days=4, hours=hour)


def _full_looks(diary: Diary, rng: Random, galled: Sequence[str]) -> None:
    """One row of the small rods a week, the new large rods whole each month, M1 once in winter."""
    small = marks_of("SET-S1")
    for week in range(WEEKS):
        row = small[week % 4 * ROW :][:ROW]
        if friday(week) > B1:
            row = [mark for mark in row if mark not in galled]
        if rng.random() < 0.75:  # a busy Friday is skipped
            _look(diary, friday(week), marks_text(row), "full-look", end="whole")
    large = marks_text(marks_of("SET-L1"))
    _look(diary, L1_STARTS - timedelta(hours=14), large, "full-look", end="whole")
    for week in range(WEEKS - 2, 0, -4):
        if friday(week) > L1_STARTS + timedelta(weeks=2):
            _look(diary, friday(week), large, "full-look", end="whole")
    _look(diary, friday(1), "M1-01..M1-40", "full-look", end="whole")
    _look(
        diary,
        friday(1, 11),
        "M1-01..M1-40",
        "crack-hunt",
        end="whole",
        note="by the inspection firm",
    )
    _look(diary, M2_JOINS + timedelta(hours=9), "M2-01..M2-20", "full-look", end="whole")


def _sub_looks(diary: Diary, rng: Random, sub_galled: bool) -> None:
    """Saver subs looked at on Fridays, on most of them."""
    for week in range(WEEKS):
        for rig in ("Rig-12", "Rig-40", "Rig-100"):
            when = friday(week, 10)
            last_before_b1 = timedelta(0) < B1 - when < timedelta(weeks=1)
            skipped = rng.random() > 0.6 and not last_before_b1
            if skipped or (rig == "Rig-100" and when < L1_STARTS):
                continue
            if rig == "Rig-12" and sub_galled and when > B1:
                continue
            _look(diary, when, SUBS[rig], "saver-sub")


def _gauges(diary: Diary, rng: Random, grown: str) -> None:
    """Boxes measured before and after a hard fortnight; joint diameters once; gauges compared."""
    for number, mark in enumerate(SWELL_RODS):
        before = NEW_COUNTERBORE + 0.001 * rng.randint(0, 3)
        after = before + (0.020 if mark == grown else 0.001 * (number % 2))
        for when, reading in ((SWELL_BEFORE, before), (SWELL_AFTER, after)):
            _look(
                diary, when, mark, "box-swell", end="box", reading_in=f"{reading:.3f}",
                gauge="bore gauge",
            )  # fmt: skip
    for mark in rng.sample(marks_of("SET-M1")[9:20] + marks_of("SET-M1")[24:], 6):
        worn = 2.75 - 0.001 * rng.randint(5, 60)
        _look(
            diary, friday(28), mark, "joint-od", end="pin", reading_in=f"{worn:.3f}",
            second_reading_in=f"{worn - 0.001 * rng.randint(0, 8):.3f}", gauge="calipers",
        )  # fmt: skip
    compare(diary, GOOD_COMPARISON, "4200", "4180")
    diary.add(
        "compound",
        {"rig": "Rig-12", "compound": "cold grade", "friction_factor": "1.0"},
        friday(WEEKS - 2),
        YARD,
        "foreman-1",
    )


def compare(diary: Diary, when: datetime, shown: str, reference: str) -> None:
    """Rig-40's make-up gauge held against a reference. [ft-lb]"""
    payload = {
        "rig": "Rig-40",
        "gauge": "make-up gauge",
        "shown_ftlb": shown,
        "reference_ftlb": reference,
    }
    diary.add("comparison", payload, when, YARD, "mechanic-1")


def _work(diary: Diary, rng: Random) -> None:
    """Cleaning, refacing, and one re-cut that makes a rod shorter."""
    small = marks_of("SET-S1")
    for week in range(3, WEEKS, 6):
        things = marks_text(small[week % 4 * ROW :][:ROW])
        diary.add(
            "dressing", {"things": things, "what": "cleaned"}, friday(week), YARD, "yard-hand-1"
        )
    refaced = {"things": "M1-34, M1-37", "end": "pin", "what": "refaced", "removed_in": "0.012"}
    diary.add("dressing", refaced, friday(7), "office", "machine-shop-1", happened="2025-W08")
    recut = rng.choice(small[40:])
    shop = {"things": recut, "where": "at the shop"}
    diary.add("whereabouts", shop, friday(16, 9), YARD, "yard-hand-1")
    cut = {
        "things": recut,
        "end": "box",
        "what": "re-cut",
        "removed_in": "1.2",
        "new_length_ft": "5.9",
    }
    monday = friday(16, 7) + timedelta(days=3)
    diary.add("dressing", cut, monday, "office", "machine-shop-1", happened="2025-05-02/2025-05-03")
    back = {"things": recut, "where": "row", "rig": "Rig-12"}
    diary.add("whereabouts", back, monday, YARD, "yard-hand-1")


def _slips(
    diary: Diary, rng: Random, bores: Sequence[PlannedBore], orders: Sequence[BoxOrder]
) -> None:
    """Rods seen out of their place: the marks of two neighbours read the other way round."""
    small = [b for b in bores if b.rig == "Rig-12" and b.how_loaded == "by row" and b.day < B1]
    small = [b for b in small if b.day != SPARES_BORE]
    mid = [b for b in bores if b.rig == "Rig-40" and b.day < datetime(2025, 6, 1)]
    for bore, place in [(b, rng.randint(4, 14)) for b in rng.sample(small, 3)] + [
        (rng.choice(mid), 29)
    ]:
        two = order_before(orders, bore)[place : place + 2]
        diary.add(
            "slip",
            {
                "rig": bore.rig,
                "bore": bore.name,
                "things": ", ".join(two),
                "note": "seen on the way back in",
            },
            bore.day + timedelta(hours=16),
            f"cab-{bore.rig.removeprefix('Rig-')}",
            "rod-hand-1",
        )  # fmt: skip
