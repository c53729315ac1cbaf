"""What goes into a class and what is left out, and where broken rods had stood; counted by hand."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from book_builder import YARD, Row, build_book, entries_of
from rodhand.book.owner.calibration import CalibrationView, calibration_view
from rodhand.book.work.assess import assess
from rodhand.record.journal import Journal
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

PITCHES = (-20, -20, -20, -12, -4, 0, 0, 0)
"""Eight rods; those that take the bend between stations 3 and 5 are used most. [%]"""


def _bore(number: int) -> list[Row]:
    """One bore of eight marked rods with counted turns, in its own week."""
    day = (date(2025, 2, 3) + timedelta(7 * number)).isoformat()
    name = f"B-{number}"
    rods = "M1-01..M1-08"
    load = {"rig": "Rig-40", "bore": name, "things": rods, "how": "marked"}
    rows: list[Row] = [("bore", {"bore": name, "rig": "Rig-40"}, day), ("load", load, day)]
    for station, pitch in enumerate(PITCHES, 1):
        row = {"bore": name, "station": str(station), "pitch_pct": str(pitch), "turns": "400"}
        rows.append(("reading", row, day))
    return rows


def _break(rod: str, bore: int, **more: str) -> Row:
    day = (date(2025, 2, 4) + timedelta(7 * bore)).isoformat()
    return "break", {"thing": rod, "bore": f"B-{bore}", "station": "4", **more}, day


def _rows(*breaks: Row) -> list[Row]:
    return [*(row for number in range(4) for row in _bore(number)), *breaks]


def _view(*breaks: Row) -> CalibrationView:
    return calibration_view(assess(build_book(_rows(*breaks)), "2025-04-01"))


def _counts(view: CalibrationView) -> dict[str, tuple[float | None, float | None]]:
    return {
        each.code: (each.figures["breaks"].value, each.figures["survivors"].value)
        for each in view.classes
    }


def test_rods_that_never_worked_are_not_in_it_and_whole_ones_are() -> None:
    view = _view()
    assert _counts(view) == {"thread": (0, 16), "upset": (0, 16), "tube": (0, 8)}
    assert view.figures["rods"].value == 8
    assert all(each.too_few for each in view.classes)


def test_a_break_by_fatigue_counts_in_its_class_and_its_other_places_as_whole() -> None:
    view = _view(_break("M1-02", 3, cause="fatigue", section="mid tube"))
    assert _counts(view) == {"thread": (0, 16), "upset": (0, 16), "tube": (1, 7)}
    before, after = (view.classes[2].figures[f"life_{when}"].value for when in ("before", "after"))
    assert before == pytest.approx(1.0)
    assert after is not None
    assert after < 0.9  # it broke far below the printed life


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ({}, "no_cause"),
        ({"cause": "fatigue"}, "no_section"),
        ({"cause": "over-torque", "section": "pin thread"}, "not_fatigue"),
    ],
)
def test_other_breaks_count_by_what_they_stood_and_are_listed(
    said: dict[str, str], reason: str
) -> None:
    view = _view(_break("M1-02", 3, **said))
    assert _counts(view) == {"thread": (0, 16), "upset": (0, 16), "tube": (0, 8)}
    assert [(each.reason, each.names) for each in view.left_out] == [(reason, ("M1-02",))]


def test_three_breaks_in_two_bores_are_enough() -> None:
    breaks = [
        _break(f"M1-0{rod}", bore, cause="fatigue", section="mid tube")
        for rod, bore in ((2, 2), (3, 3), (4, 3))
    ]
    assert [each.too_few for each in _view(*breaks).classes] == [True, True, False]
    assert [each.too_few for each in _view(*breaks[:2]).classes] == [True] * 3


@pytest.mark.parametrize(("rod", "places"), [("M1-08", range(8, 9)), ("M1-01", range(1, 8))])
def test_the_place_of_a_broken_rod_is_its_place_by_work_done_before(
    rod: str, places: range
) -> None:
    """Eight of 40 rods worked; the last of the string was least in the bends, the first most."""
    view = _view(_break(rod, 3, cause="fatigue", section="mid tube"))
    row = view.ranks[0]
    assert (row.name, row.day, row.figures["of"].value) == (rod, "2025-02-25", 40)
    assert row.figures["place"].value in places
    assert view.figures["top"].value == 1  # the top quarter holds ten
    assert view.figures["chance"].value == pytest.approx(0.25)


def test_page_and_twin(tmp_path: Path) -> None:
    folder = tmp_path / "book"
    fatigue = _break("M1-02", 3, cause="fatigue", section="mid tube")
    with Journal.open(folder) as journal:
        journal.append(entries_of([*YARD, *_rows(fatigue, _break("M1-05", 3))]))
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")
    page = client.get("/calibration")
    assert page.status_code == 200
    assert "Too few breaks" in page.text
    assert page.text.count("<svg") == 3
    twin = client.get("/calibration.json").json()
    assert twin["figures"]["calibration.tube.breaks"]["value"] == 1
    assert {each["reason"] for each in twin["view"]["left_out"]} == {"no_cause"}
    assert "/calibration" in client.get("/office").text
    early = client.get("/calibration.json?as_of=2025-05-01").json()
    assert "calibration.tube.breaks" not in early["figures"]  # all was typed in June
