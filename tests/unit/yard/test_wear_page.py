"""Wear of gauged rods in a book, and gauges that were not in date."""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from yard_books import CALIPERS, THREE_BORES, TODAY, assert_twins, bore, gauged, kept

from book_builder import Row, build_book
from rodhand.book.work.assess import Assessment, assess
from rodhand.book.work.gauge_register import gauge_register_tasks, gauges_view
from rodhand.book.yard.wear_page import WearRow, wear_view
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

LIMIT = 0.9 * 2.75 * 25.4
"""10 % off a joint of 2.75 in. [mm]"""


def of(*rows: Row, today: str = TODAY) -> Assessment:
    return assess(build_book(list(rows)), today)


def row_of(assessment: Assessment, name: str = "M1-01") -> WearRow:
    view = wear_view(assessment)
    return next(row for row in (*view.told, *view.open) if row.name == name)


def test_half_a_millimetre_a_bore_crosses_in_eleven_bores() -> None:
    """69.5, 69.0, 68.5 mm after one, two, three like bores: (68.5 - 62.865) / 0.5 = 11.27 more."""
    row = row_of(of(*CALIPERS, *THREE_BORES))
    done = [each.figures["metres"].value or 0.0 for each in row.readings]
    assert done[1] - done[0] == pytest.approx(done[2] - done[1])
    assert (row.why, row.driver, row.passed) == ("", "metres", False)
    assert row.figures["limit"].value == pytest.approx(LIMIT * 1e-3)
    to_go = row.figures["to_go"]
    assert to_go.value == pytest.approx((68.5 - LIMIT) / 0.5 * (done[1] - done[0]))
    assert to_go.low is not None
    assert to_go.high is not None
    assert to_go.low < (to_go.value or 0.0) < to_go.high
    # Three bores in the last 180 days: 11.27 more take 11.27 / 3 x 180 days = 676 days.
    assert row.by_day == "2027-05-22"
    assert {"rate_metres", "rate_hours", "rate_makeups"} <= set(row.figures)


def test_one_reading_tells_nothing_and_says_when_to_measure_again() -> None:
    """M1-02: at 0.5 mm a bore the next reading tells 0.0707 mm; one like bore is far more."""
    row = row_of(of(*CALIPERS, *THREE_BORES), "M1-02")
    assert row.why == "few"
    assert row.again.key == "wear.again_metres"
    more = row.again.values["more"]
    done = [each.figures["metres"].value for each in row_of(of(*CALIPERS, *THREE_BORES)).readings]
    assert more.value == pytest.approx(0.0707107 / 0.5 * (done[1] - done[0]))  # type: ignore[union-attr, operator]


def test_a_recut_starts_anew() -> None:
    cut: Row = ("dressing", {"things": "M1-01", "what": "re-cut", "end": "pin"}, "2025-07-01")
    row = row_of(of(*CALIPERS, *THREE_BORES, cut))
    assert [each.day for each in row.readings] == ["2025-07-11"]
    other: Row = ("dressing", {"things": "M1-01", "what": "re-cut", "end": "box"}, "2025-07-01")
    assert len(row_of(of(*CALIPERS, *THREE_BORES, other)).readings) == 3


def test_a_reading_past_the_limit_needs_no_trend_and_is_ordered() -> None:
    assessment = of(*THREE_BORES, gauged("M1-03", "2025-07-12", "62.8"))
    row = row_of(assessment, "M1-03")
    assert row.passed
    order = wear_view(assessment).orders[0]
    assert (order.set, order.item, order.names) == ("SET-M1", "joint-od", ("M1-03",))
    assert order.line.key == "wear.order.rods"


def test_a_box_that_grows_is_counted_against_make_ups() -> None:
    rows = [*THREE_BORES[:4], *THREE_BORES[4:]]
    rows += [gauged("M1-02", day, size, "box-swell", "box")
             for day, size in [("2025-05-11", "50.0"), ("2025-06-11", "50.2"),
                               ("2025-07-11", "50.4")]]  # fmt: skip
    view = wear_view(of(*CALIPERS, *rows))
    row = next(row for row in view.told if row.item == "box-swell")
    assert row.driver == "makeups"
    assert row.figures["limit"].value == pytest.approx(50.0e-3 + 0.031 * 25.4e-3)
    done = [each.figures["makeups"].value or 0.0 for each in row.readings]
    more = (0.031 * 25.4 - 0.4) / 0.2 * (done[1] - done[0])
    assert row.figures["to_go"].value == pytest.approx(more)


def test_a_gauge_out_of_date_marks_what_it_read_and_widens_its_error() -> None:
    """In order on 2025-04-01 for a month of 30.4 days: May's and later readings are marked."""
    short: Row = (
        "calibration", {"gauge": "CALIPERS", "result": "in order", "until": "2025-05-20"},
        "2025-04-02",
    )  # fmt: skip
    assessment = of(*CALIPERS, short, *THREE_BORES)
    row = row_of(assessment)
    assert [each.marked for each in row.readings] == [False, True, True]
    errors = [(each.figures["error"].value or 0.0) * 1e3 for each in row.readings]
    assert errors == pytest.approx([0.05, 0.1, 0.1])
    view = gauges_view(assessment)
    assert [(each.name, each.state) for each in view.gauges] == [("Calipers", "out-of-date")]
    assert [(each.day, each.things) for each in view.marked] == [
        ("2025-07-11", ("M1-02",)), ("2025-07-11", ("M1-01",)), ("2025-06-11", ("M1-01",)),
    ]  # fmt: skip
    tasks = gauge_register_tasks(assessment)
    assert [task.verdict.what.key for task in tasks] == ["gauges.task.out_of_date"]


def test_an_unregistered_gauge_is_named_and_its_error_assumed() -> None:
    assessment = of(*THREE_BORES)
    assert gauges_view(assessment).unregistered == ("calipers",)
    assert not gauge_register_tasks(assessment)
    figure = row_of(assessment).readings[0].figures["error"]
    assert (figure.standing.value, figure.value) == ("assumed", pytest.approx(0.13e-3))


def test_wear_by_ground_of_two_rods() -> None:
    """Sand takes 0.6 mm a bore and clay 0.2: rods in each, and one in both, tell them apart."""
    rows: list[Row] = [THREE_BORES[0]]
    size = {"M1-01": 69.8, "M1-02": 69.8, "M1-03": 69.8}
    for number, ground in enumerate(["sand", "soft-clay", "sand", "soft-clay"]):
        day = f"2025-0{number + 3}-10"
        rows += bore(f"G{number}", day, ground)
        for name in size:
            size[name] -= {"sand": 0.6, "soft-clay": 0.2}[ground]
            rows.append(gauged(name, day[:8] + "12", f"{size[name]:.2f}"))
    rows[0] = (*THREE_BORES[0][:2], "2025-03-01")
    view = wear_view(of(*CALIPERS, *rows))
    rates = {row.ground: row.figures["rate"].value for row in view.grounds}
    assert set(rates) == {"sand", "soft-clay"}
    assert rates["sand"] == pytest.approx(3.0 * (rates["soft-clay"] or 0.0), rel=0.02)


def test_the_pages_and_their_twins(tmp_path: Path) -> None:
    client = TestClient(
        create_app(BookDesk(kept(tmp_path / "book", (*CALIPERS, *THREE_BORES)))),
        base_url="http://127.0.0.1",
    )
    for path, words in [
        ("/wear", "M1-01 pin"),
        ("/wear/M1-01", "joint diameter"),
        ("/gauges", "Calipers"),
        ("/wear/M1-09", "No size of this rod"),
    ]:
        page = client.get(path)
        assert page.status_code == 200
        assert words in page.text
    assert client.get("/wear/nobody").status_code == 404
    twin = client.get("/wear.json").json()["view"]
    assert {row["name"] for row in (*twin["told"], *twin["open"])} == {"M1-01", "M1-02"}
    assert client.get("/gauges.json").json()["view"]["gauges"][0]["name"] == "Calipers"


@pytest.mark.parametrize("topic", ["wear", "gauges"])
def test_spanish_has_the_same_keys_and_fields(topic: str, tmp_path: Path) -> None:
    assert_twins(topic, tmp_path)
