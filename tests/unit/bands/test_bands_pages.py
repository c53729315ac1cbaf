"""The list of what would narrow a band most: which lines a small book gets, page, twin, command."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from fastapi.testclient import TestClient

from book_builder import YARD, Row, build_book, entries_of
from rodhand.book.bore.narrow import NarrowView, narrow_of_bore, narrow_of_thing
from rodhand.book.work.assess import Assessment, assess
from rodhand.book.yard.narrow_page import narrow_page_of_bore
from rodhand.record.journal import Journal
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

PITCHES = (-20, -20, -14, -8, -4, 0, 0, 0)


def _rows(how: str = "marked", heading: bool = False, **more: str) -> list[Row]:
    day = "2025-02-03"
    bore = {"bore": "A", "rig": "Rig-40"}
    load = {"rig": "Rig-40", "bore": "A", "things": "M1-01..M1-08", "how": how}
    rows: list[Row] = [("bore", bore, day), ("load", load, day)]
    for station, pitch in enumerate(PITCHES, 1):
        row = {"bore": "A", "station": str(station), "pitch_pct": str(pitch), "turns": "400"}
        row |= {"heading_deg": "0"} if heading else {}
        rows.append(("reading", row | more, day))
    return rows


def _pullback(**more: str) -> Row:
    what = {"bore": "A", "pass": "pullback", "what": "pullback", "turns": "3000"}
    return "pass", what | more, "2025-02-04"


def _assessed(*rows: Row) -> Assessment:
    return assess(build_book(rows), "2025-03-01")


def _states(view: NarrowView | None) -> dict[str, str]:
    assert view is not None
    return {row.code: row.state for row in view.rows}


def test_what_was_measured_has_nothing_left_to_measure() -> None:
    rows = _rows(heading=True, makeup_ftlb="4200", hole_diameter_mm="100")
    found = _states(narrow_of_bore(_assessed(*rows, _pullback(hole_diameter_mm="150")), "A"))
    assert found == {
        "heading": "had", "time": "had", "counter": "had", "pass": "had", "hole": "had",
        "make_up": "had", "marks": "had", "past": "had", "gauge": "unknown",
    }  # fmt: skip


def test_what_was_left_out_is_told_and_the_largest_gain_stands_first() -> None:
    assessment = _assessed(*_rows(how="set only"))
    view = narrow_of_thing(assessment, assessment.book.thing_named("M1-01").key)  # type: ignore[union-attr]
    assert view is not None
    found = _states(view)
    assert found["heading"] != "had"
    assert found["hole"] != "had"
    assert found["make_up"] != "had"
    assert found["marks"] == "gain"
    assert found["pass"] == "gain"
    gains = [row.figures["narrower"].value or 0.0 for row in view.rows if row.state == "gain"]
    assert gains == sorted(gains, reverse=True)
    assert all(row.state != "gain" for row in view.rows[len(gains) :])


def test_all_of_it_measured_leaves_steel_model_and_the_water_in_the_ground() -> None:
    # 2 x 1.645 x sigma of curve, critical sum and stress model, as life used has them; thread m 3:
    # sigma^2 = (0.20 ln 10)^2 + ln 1.09 + (3 x 0.198)^2 = 0.6511, factor exp(3.29 x 0.8069) = 14.2.
    view = narrow_of_bore(_assessed(*_rows(), _pullback()), "A")
    assert view is not None
    stays, left = (view.figures[name].value or 0.0 for name in ("factor_stays", "factor_all"))
    assert stays == pytest.approx(14.22, rel=0.002)
    # Fresh mud takes a third of the life at its 95 % point and nothing in half of the cases.
    rng = np.random.default_rng(1)
    water = math.log(3.0) * np.clip((rng.random(400_000) - 0.5) / 0.45, 0.0, 1.0)
    drawn = rng.normal(0.0, 0.8069, 400_000) + water
    with_water = math.exp(float(np.subtract(*np.quantile(drawn, [0.95, 0.05]))))
    assert with_water * 0.97 <= left < 1.2 * with_water


def test_a_rod_that_never_worked_has_no_list() -> None:
    assessment = _assessed(*_rows())
    assert narrow_of_thing(assessment, assessment.book.thing_named("M1-30").key) is None  # type: ignore[union-attr]


def test_the_order_of_rods_is_surer_than_their_life() -> None:
    # The first rod turned through every bend before and after the others: above in every sample.
    rows = narrow_page_of_bore(_assessed(*_rows(), _pullback()), "a").ranks
    assert len(rows) == 7
    assert all(0.5 <= (row.figures["above"].value or 0.0) <= 1.0 for row in rows)
    assert max(row.figures["above"].value or 0.0 for row in rows) > 0.95


def test_page_twin_and_link(tmp_path: Path) -> None:
    folder = tmp_path / "book"
    with Journal.open(folder) as journal:
        journal.append(entries_of([*YARD, *_rows(), _pullback()]))
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")
    assert "/narrow/thing/M1-01" in client.get("/thing/M1-01").text
    assert "/narrow/bore/A" in client.get("/bore/A").text
    page = client.get("/narrow/thing/M1-01").text
    assert "Read heading at every rod" in page or "Heading: nothing to gain" in page
    twin = client.get("/narrow/bore/A.json").json()
    assert "bore.A.narrow.heading" in twin["figures"]
    assert client.get("/narrow/thing/nobody").status_code == 404
    assert client.get("/narrow/bore/nowhere").status_code == 404
