"""A calibration is kept by a person, counts from its day under its model; one strike undoes it."""

from __future__ import annotations

import math
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from fastapi.testclient import TestClient

from book_builder import YARD, Row, build_book, entries_of
from rodhand.book.entry.keeping import enter, strike
from rodhand.book.opening import open_assessment
from rodhand.book.owner.keep_calibration import keep_calibration, kept_rows
from rodhand.book.work.assess import Assessment, assess
from rodhand.book.work.class_factors import calibration_in_force
from rodhand.faults import BadInputError
from rodhand.record.entry import Draft
from rodhand.record.journal import Journal
from rodhand.wear.chance import chance_of_break, one_in
from rodhand.wear.life_used import MODEL, ClassFactor, Contribution, rod_life
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

PITCHES = (-20, -20, -20, -12, -4, 0, 0, 0)
TODAY = "2025-06-01"
KEPT = {"model": str(MODEL), "why": "twelve breaks", "thread_factor": "2.5", "thread_sigma": "0.3"}


def _bore(number: int) -> list[Row]:
    day = (date(2025, 2, 3) + timedelta(7 * number)).isoformat()
    name = f"B-{number}"
    load = {"rig": "Rig-40", "bore": name, "things": "M1-01..M1-08", "how": "marked"}
    rows: list[Row] = [("bore", {"bore": name, "rig": "Rig-40"}, day), ("load", load, day)]
    for station, pitch in enumerate(PITCHES, 1):
        row = {"bore": name, "station": str(station), "pitch_pct": str(pitch), "turns": "400"}
        rows.append(("reading", row, day))
    return rows


def _work() -> list[Row]:
    return [row for number in range(4) for row in _bore(number)]


def _broke(rod: str, bore: int) -> Row:
    day = (date(2025, 2, 4) + timedelta(7 * bore)).isoformat()
    fact = {"thing": rod, "bore": f"B-{bore}", "section": "pin thread", "cause": "fatigue"}
    return "break", fact, day


THREE = (_broke("M1-03", 2), _broke("M1-04", 3), _broke("M1-05", 3))


def _assessed(*more: Row, today: str = TODAY) -> Assessment:
    return assess(build_book([*_work(), *more]), today)


def _life(made: Assessment, rod: str = "M1-01") -> list[tuple[float, float, float, float]]:
    thing = made.book.thing_named(rod)
    assert thing is not None
    lives = made.histories[thing.key].life.sections
    return [(life.low, life.best, life.high, life.design) for life in lives]


def test_life_used_takes_factor_and_band_by_hand() -> None:
    # One section, mean sum 0.01, design 0.025; factor 2, sigma 0.3 in place of the stress model's
    # 3 x 0.198: best = 2 x 0.01 / 0.95783, sigma = sqrt((0.2 ln 10)^2 + ln 1.09 + 0.3^2) = 0.62310.
    five = np.full(5, 0.01)
    part = Contribution("A", 2.5 * five, five, five, five, 0 * five, "counter", 0.0)
    told = (ClassFactor(2.0, 0.3), *(ClassFactor(),) * 4)
    thread, other = rod_life([part], (3.0, 4.7, 4.7, 4.7, 3.0), classes=told).sections[:2]
    assert thread.best == pytest.approx(0.02 / 0.957826, rel=1e-5)
    assert thread.high / thread.best == pytest.approx(math.exp(1.645 * 0.62310), rel=1e-4)
    assert thread.design == pytest.approx(0.05)
    assert other.design == pytest.approx(0.025)


def test_the_chance_goes_by_the_calibrated_band() -> None:
    # One section near its end, the class known to +-0: the range is one value, F by hand:
    # ln(0.5/0.957826)/0.546126 = -1.19028, F = 0.11697; with 0.1 more: -0.85644, F = 0.19588;
    # chance (0.19588 - 0.11697)/(1 - 0.11697) = 0.08936: 1 in 10.
    means, added = (0.5, 0, 0, 0, 0), (0.1, 0, 0, 0, 0)
    known = (ClassFactor(1.0, 0.0),) * 5
    found = chance_of_break(means, added, (3.0,) * 5, 0.0, known)
    assert found is not None
    assert found.order == pytest.approx(0.08936, rel=1e-3)
    assert found.at_least == found.at_most == one_in(0.08936) == 10


def test_threads_take_the_kept_factor_and_nothing_else_does() -> None:
    before, after = _life(_assessed()), _life(_assessed(("class-calibration", KEPT, "2025-05-01")))
    for section in (0, 4):
        assert after[section][1] == pytest.approx(2.5 * before[section][1], rel=1e-12)
        assert after[section][3] == pytest.approx(2.5 * before[section][3], rel=1e-12)
    assert after[1:4] == before[1:4]


def test_it_counts_from_its_day_and_under_its_model_only() -> None:
    plain = _life(_assessed())
    ahead = _assessed(("class-calibration", KEPT, "2025-07-01"))
    assert _life(ahead) == plain
    assert kept_rows(ahead)[0].not_used.key == "calibration.not_used.later"  # type: ignore[union-attr]
    other = _assessed(("class-calibration", KEPT | {"model": str(MODEL + 1)}, "2025-05-01"))
    assert _life(other) == plain
    assert kept_rows(other)[0].not_used.key == "calibration.not_used.model"  # type: ignore[union-attr]
    two = _assessed(
        ("class-calibration", KEPT, "2025-05-01"),
        ("class-calibration", KEPT | {"thread_factor": "1.5"}, "2025-05-02"),
    )
    held = calibration_in_force(two.book, TODAY, False)
    assert held is not None
    assert held.of_class("thread") == (1.5, 0.3)
    assert held.of_class("tube") is None


def _folder(tmp_path: Path, *more: Row) -> Path:
    folder = tmp_path / "book"
    with Journal.open(folder) as journal:
        journal.append(entries_of([*YARD, *_work(), *more]))
    return folder


def test_two_breaks_are_too_few_to_keep_and_nobody_keeps_without_name_and_reason(
    tmp_path: Path,
) -> None:
    with pytest.raises(BadInputError) as told:
        keep_calibration(_folder(tmp_path, *THREE[:2]), "", "")
    assert [fault.code for fault in told.value.faults] == [
        "calibration_who_and_why", "calibration_who_and_why", "calibration_too_few",
    ]  # fmt: skip


def test_kept_from_the_page_and_undone_by_one_strike(tmp_path: Path) -> None:
    folder = _folder(tmp_path, *THREE)
    plain = open_assessment(folder)
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")
    assert client.get("/calibration").text.count('action="/calibration/keep"') == 1
    refused = client.post("/calibration/keep", data={"why": "seen", "by": ""})
    assert refused.status_code == 400
    client.post("/calibration/keep", data={"why": "three fractures", "by": "p7"})
    kept = open_assessment(folder)
    row = kept_rows(kept)[0]
    assert (row.by, row.why, row.not_used) == ("p7", "three fractures", None)
    thread = next(each for each in row.classes if each.code == "thread")
    # Eight rods worked, two threads each; three threads broke.
    assert (thread.figures["breaks"].value, thread.figures["survivors"].value) == (3, 13)
    assert row.figures["entries"].value == plain.book.entry_count
    assert row.digest == plain.book.head
    low, high = 1 / (thread.figures["life"].high or 1), 1 / (thread.figures["life"].low or 1)
    ratio = _life(kept)[0][3] / _life(plain)[0][3]
    assert low < ratio < high
    assert ratio > 1.0  # joints that broke so early are worse than printed
    page = client.get("/calibration").text
    assert "three fractures" in page
    moved = client.get("/moved").text
    assert "calibration: damage by class" in moved
    strike(folder, row.entry, "wrong fracture", "p7")
    assert _life(open_assessment(folder)) == _life(plain)


def test_a_calibration_releases_no_rod(tmp_path: Path) -> None:
    # At a thousand times the damage all rods are past a line; struck, they keep the standing.
    folder = _folder(tmp_path)
    open_assessment(folder)
    worse = KEPT | {"thread_factor": "1000"}
    (entry,) = enter(folder, [Draft("class-calibration", worse, "", "", "p7")], "test").entries
    from rodhand.book.tasks.changed_rules import standings_now

    bad = standings_now(open_assessment(folder))
    assert set(bad.values()) & {"watch", "set aside"}
    strike(folder, entry.id, "mistake", "p7")
    after = open_assessment(folder)
    assert standings_now(after) == bad
    assert after.book.held


def test_a_factor_of_nothing_is_refused(tmp_path: Path) -> None:
    folder = _folder(tmp_path)
    for bad in ({"thread_factor": "0"}, {"thread_factor": "-1"}, {"thread_sigma": ""}):
        with pytest.raises(BadInputError) as told:
            enter(folder, [Draft("class-calibration", KEPT | bad, "", "", "p7")], "test")
        assert told.value.faults[0].code == "calibration_factor"
