"""A string whose end nobody entered: told from the next day on, out by one press."""

from __future__ import annotations

from pathlib import Path

import pytest
from rig_day_book import BORE, DAY, RIG, kept
from starlette.testclient import TestClient

from rodhand.book.opening import book_in
from rodhand.book.rig.left_in_hole import left_in_hole, say_out
from rodhand.book.rig.pullback import pullback_view, start_pullback
from rodhand.faults import BadInputError
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

BEGUN = len((*RIG, *BORE))
IN_IT = tuple(f"M-{n:02d}" for n in range(1, 8))  # seven stations were read: rods 1 to 7 by row


def test_it_is_told_from_the_day_after_its_last_row(folder: Path) -> None:
    book = book_in(folder)
    assert left_in_hole(book, "Rig-40", DAY) is None
    told = left_in_hole(book, "Rig-40", "2025-09-10")
    assert told is not None
    assert (told.bore, told.since, told.names) == ("B1", DAY, IN_IT)


def test_without_a_pullback_its_rods_lie_in_their_row_and_no_pass_is_made_up(folder: Path) -> None:
    say_out(folder, "rig-40", "pat")
    assert kept(folder, BEGUN) == [("whereabouts", {"things": ", ".join(IN_IT), "where": "row"})]
    assert left_in_hole(book_in(folder), "Rig-40") is None


def test_a_pullback_begun_is_ended(folder: Path) -> None:
    start_pullback(folder, "Rig-40", "RM-8")
    say_out(folder, "Rig-40")
    assert kept(folder, BEGUN)[-1] == (
        "pass",
        {"bore": "B1", "pass": "pullback", "what": "pullback", "from_station": "7",
         "to_station": "0"},
    )  # fmt: skip
    assert pullback_view(folder, "Rig-40").state == "ended"
    assert left_in_hole(book_in(folder), "Rig-40", "2030-01-01") is None


def test_what_is_out_is_not_said_out_again(folder: Path) -> None:
    say_out(folder, "Rig-40")
    with pytest.raises(BadInputError, match="left_nothing"):
        say_out(folder, "Rig-40")


def test_yard_and_day_of_the_rig_offer_the_press_and_take_it_back(folder: Path) -> None:
    pages = TestClient(create_app(BookDesk(folder)), base_url="http://localhost")
    for page in ("/yard", "/rig-day/Rig-40"):
        assert 'action="/rig-out/Rig-40"' in pages.get(page).text
    after = pages.post("/rig-out/Rig-40", headers={"origin": "http://localhost"})
    assert after.url.path == "/rig-day/Rig-40"
    assert "/rig-out/" not in after.text
    entry = after.url.params["entry"]
    pages.post("/rig-take-back", data={"rig": "Rig-40", "entry": entry},
               headers={"origin": "http://localhost"})  # fmt: skip
    assert 'action="/rig-out/Rig-40"' in pages.get("/yard").text
