"""The list of checks due of a small book, written by hand."""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from yard_books import LOAD, TODAY, assert_twins, bore, kept

from book_builder import Row, build_book
from rodhand.book.work.assess import assess
from rodhand.book.yard.checks_page import CheckLine, checks_due_view
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk


def look(things: str, item: str, day: str) -> Row:
    return ("check", {"things": things, "item": item, "found": "sound"}, day)


ROWS: tuple[Row, ...] = (
    LOAD,  # M1-01 leads since 2025-05-01
    look("M1-02", "full-look", "2025-05-09"),
    *bore("A", "2025-05-10"),  # three rods, half an hour of turning
    ("event", {"bore": "A", "what": "jerk", "station": "2"}, "2025-05-10"),
    look("M1-01", "full-look", "2025-05-11"),
    ("remark", {"things": "M1-02", "text": "pipe wrench used"}, "2025-05-12"),
    ("dressing", {"things": "M1-01", "what": "refaced", "end": "box"}, "2025-05-12"),
    ("rig-check", {"rig": "rig-40", "item": "jaws", "found": "sharp"}, "2025-05-01"),
    ("comparison", {"rig": "Rig-40", "gauge": "make-up gauge", "shown_Nm": "5000",
                    "reference_Nm": "5000"}, "2025-01-10"),
)  # fmt: skip


@pytest.fixture(scope="module")
def places() -> dict[str, CheckLine]:
    """Lines by item; everything is on one rig."""
    view = checks_due_view(assess(build_book(list(ROWS)), TODAY))
    return {line.item: place for period in view.periods for line in period.lines
            for place in line.places}  # fmt: skip


def test_a_full_look_by_the_month(places: dict[str, CheckLine]) -> None:
    """M1-01 has not worked since its look; M1-02 did; 38 were never looked at."""
    line = places["full-look"]
    assert (len(line.due), len(line.never), line.last) == (39, 38, "2025-05-09")
    assert "M1-01" not in line.due
    assert line.figures["minutes"].value == 39 * 4 * 60.0


def test_events_ask_of_those_they_concern(places: dict[str, CheckLine]) -> None:
    assert places["joint-oval"].due == ("M1-02",)
    assert places["joint-oval"].because == ("after wrench",)
    assert places["bench-mark"].due == ("M1-01",)
    # Rods 1 and 2 were in the hole at the jerk; M1-01 was looked at since.
    assert places["straightness"].because == ("jerk",)
    assert "M1-01" not in places["straightness"].due


def test_a_long_rest_and_the_week(places: dict[str, CheckLine]) -> None:
    """66 days since the bore for the three that worked; M1-01 leads for 75 days."""
    assert places["long-storage"].due == ("M1-01", "M1-02", "M1-03")
    assert places["lead-rod"].due == ("Rig-40",)
    assert places["lead-rod"].last == "2025-05-01"


def test_rig_checks_and_comparisons_count(places: dict[str, CheckLine]) -> None:
    """Jaws 75 days ago of 91; gauge 186 days ago of 182; half an hour on the applicator."""
    assert "jaws" not in places
    assert places["gauge-truth"].due == ("Rig-40",)
    assert "applicator" not in places


def test_the_page_and_its_twin(tmp_path: Path) -> None:
    client = TestClient(
        create_app(BookDesk(kept(tmp_path / "book", ROWS))), base_url="http://127.0.0.1"
    )
    page = client.get("/checks-due?as_of=2025-07-15")
    assert page.status_code == 200
    assert "After a long rest" in page.text
    twin = client.get("/checks-due.json").json()["view"]
    assert [each["period"] for each in twin["periods"]][:3] == ["weekly", "periodic", "yearly"]
    assert len(twin["shifts"]) == 2


def test_spanish_has_the_same_keys_and_fields(tmp_path: Path) -> None:
    assert_twins("checks_due", tmp_path)
