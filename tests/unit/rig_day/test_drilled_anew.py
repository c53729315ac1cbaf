"""Pulled back and drilled anew in one press: kept, undone, the rows after it, what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from rig_day_book import BORE, RIG, kept

from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.entry.pressed import take_back
from rodhand.book.opening import book_in
from rodhand.book.rig.drilled_anew import keep_drilled_anew
from rodhand.book.rig.this_rod import keep_row, this_rod
from rodhand.faults import BadInputError
from rodhand.record.book_bores import BorePass
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

BEGUN = len((*RIG, *BORE))


def pilot(folder: Path) -> BorePass:
    found = book_in(folder).bores["B1"].pass_of("pilot")
    assert found is not None
    return found


def test_one_press_and_the_next_rod_is_drilled_anew(folder: Path) -> None:
    """Seven rods are in; three out: the next is rod 5, its room counted from rod 4's reading."""
    fourth = pilot(folder).readings[3].pitch
    entry, rig, rod = keep_drilled_anew(folder, "b1", 3, "no")
    assert (rig, rod) == ("Rig-40", 5)
    assert kept(folder, BEGUN) == [
        ("redrill", {"bore": "B1", "number": "1", "from_station": "7", "to_station": "4",
                     "turned": "no"}),
    ]  # fmt: skip
    view = this_rod(folder, "rig-40")
    assert (view.station, view.anew) == (5, 1)
    assert view.room.figures["last"].value == fourth
    take_back(folder, entry)
    assert (this_rod(folder, "rig-40").station, pilot(folder).old_holes) == (8, ())


def test_rows_kept_after_it_say_so(folder: Path) -> None:
    keep_drilled_anew(folder, "B1", 3, "yes")
    keep_row(folder, "Rig-40", "B1", "5", "read", {"pitch_pct": "-4", "anew": "1"})
    assert kept(folder, BEGUN + 1) == [
        ("reading", {"bore": "B1", "station": "5", "pitch_pct": "-4", "anew": "1"})
    ]
    assert [row.station for row in pilot(folder).readings] == [1, 2, 3, 4, 5]
    assert [row.station for row in pilot(folder).old_holes[0].abandoned] == [5, 6, 7]


@pytest.mark.parametrize("back", [None, 0, 7, 20])
def test_so_many_rods_cannot_have_come_out(folder: Path, back: int | None) -> None:
    with pytest.raises(BadInputError):
        keep_drilled_anew(folder, "B1", back, "no")
    assert kept(folder, BEGUN) == []


def test_no_such_bore_and_a_later_pass(folder: Path) -> None:
    with pytest.raises(NoSuchBoreError):
        keep_drilled_anew(folder, "B9", 1, "no")


def test_on_the_page(folder: Path) -> None:
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")
    page = client.get("/bore/B1/way").text
    assert 'action="/bore/B1/anew"' in page
    after = client.post("/bore/B1/anew", data={"back": "2", "turned": "no"})
    assert after.status_code == 200
    assert "The next rod is rod 6, drilled anew." in after.text
    assert 'name="anew" value="1"' in after.text
    bore = client.get("/bore/B1").text
    assert "Old hole 1: left at rod 5, its rods 6-7 drilled anew." in bore
    twin = client.get("/bore/B1", headers={"Accept": "application/json"}).json()
    assert {"bore.B1.old.1.6.pitch", "bore.B1.old.1.7.pitch"} <= set(twin["figures"])
    assert client.post("/bore/B1/anew", data={"back": "x"}).status_code == 400
    assert client.post("/bore/B9/anew", data={"back": "1"}).status_code == 404
    said = client.post(
        "/bore/B1/anew", data={"back": "1", "turned": "yes"},
        headers={"Accept": "application/json"},
    )  # fmt: skip
    assert (said.status_code, said.json()["next"]) == (201, 5)
