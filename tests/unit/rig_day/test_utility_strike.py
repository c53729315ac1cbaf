"""The screen of a utility strike: only what the owner entered, and no number made up."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from rig_day_book import BORE, RIG, kept, tell

from rodhand.book.rig.utility_strike import strike_view
from rodhand.faults import BadInputError
from rodhand.record.journal import Journal
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk
from rodhand.words import catalogue

WORDS = {"rig": "Rig-40", "what": "gas", "words": "Engine off.\nWalk upwind.",
         "telephone": "555 0100"}  # fmt: skip


def client_of(folder: Path) -> TestClient:
    return TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")


def text_of(page: str) -> str:
    return unescape(re.sub(r"<[^>]+>", " ", page.partition("<main")[2]))


def test_nothing_entered_is_said_and_no_number_is_made_up(folder: Path) -> None:
    answer = client_of(folder).get("/rig-strike/Rig-40")
    told = text_of(answer.text)
    assert "Nobody entered emergency words" in told
    assert "Call the local emergency number" in told
    assert not re.search(r"\d", told.replace("Mill Lane", "").replace("B1", ""))


def test_the_owners_words_number_and_address_fill_the_screen(folder: Path) -> None:
    tell(folder, [("emergency", WORDS),
                  ("site", {"rig": "Rig-40", "bore": "B1", "address": "Mill Lane 4"})])  # fmt: skip
    view = strike_view(folder, "Rig-40")
    assert [each.what for each in view.words] == ["electric", "gas", "unknown"]
    assert [each.words for each in view.words] == ["", WORDS["words"], ""]
    assert (view.telephones, view.address, view.address_of) == (
        ("555 0100",), "Mill Lane 4", "bore",
    )  # fmt: skip
    page = client_of(folder).get("/rig-strike/Rig-40").text
    assert 'href="tel:5550100"' in page
    # no field to fill, and nothing to press among the words; the language may be changed below
    screen, below = page[page.index("<main") :].split("</main>")
    assert all(f"<{tag}" not in screen for tag in ("form", "input", "button", "nav"))
    assert below.count("<form") == below.count('action="/language"') == 1
    assert all(f"<{tag}" not in below for tag in ("textarea", "select", 'input type="text"', "nav"))


def test_the_last_words_count_and_a_strike_of_the_entry_brings_back_those_before(
    folder: Path,
) -> None:
    tell(folder, [("emergency", WORDS)])
    (later,) = tell(folder, [("emergency", {**WORDS, "words": "Leave."})], "2025-10-01")
    assert strike_view(folder, "Rig-40").words[1].words == "Leave."
    with Journal.open(folder) as journal:
        journal.strike(later, "wrong rig")
    assert strike_view(folder, "Rig-40").words[1].words == WORDS["words"]


@pytest.mark.parametrize(
    ("sites", "address", "of"),
    [
        ([], "Mill Lane", "place"),
        ([("2025-09-01", "Old Yard")], "Mill Lane", "place"),  # of the site before this bore
        ([("2025-09-10", "North Gate")], "North Gate", "rig"),
    ],
)
def test_an_address_of_the_site_before_is_not_taken_for_this_one(
    folder: Path, sites: list[tuple[str, str]], address: str, of: str
) -> None:
    for day, text in sites:
        tell(folder, [("site", {"rig": "Rig-40", "address": text})], day)
    view = strike_view(folder, "Rig-40")
    assert (view.address, view.address_of) == (address, of)


def test_without_a_bore_an_old_address_is_shown_with_its_day(tmp_path: Path) -> None:
    tell(tmp_path, RIG)
    assert strike_view(tmp_path, "Rig-40").address == ""
    tell(tmp_path, [("site", {"rig": "Rig-40", "address": "Old Yard"})], "2024-03-01")
    assert "2024-03-01" in text_of(client_of(tmp_path).get("/rig-strike/Rig-40").text)


def test_the_screen_keeps_nothing_and_never_says_that_it_is_over(folder: Path) -> None:
    before = len(kept(folder))
    client_of(folder).get("/rig-strike/Rig-40")
    assert len(kept(folder)) == before
    assert client_of(folder).post("/rig-strike/Rig-40").status_code == 405
    texts = [t for key, t in catalogue().items() if key.startswith("utility_strike.")]
    told = [t for t in texts if re.search(r"\bover\b|\bsafe\b|\ball clear\b", t)]
    assert told == ["Only the utility's people say when it is over."]


def test_every_page_of_the_rig_holds_the_words_so_that_no_signal_is_needed(folder: Path) -> None:
    tell(folder, [("emergency", WORDS)])
    client = client_of(folder)
    for page in ("rig-day", "rig-events", "rig-makeup", "rig-checks/before", "rig-pullback"):
        told = client.get(f"/{page}/Rig-40").text
        over = told.partition('id="utility-strike"')[2]
        assert 'href="#utility-strike"' in told
        assert "Walk upwind." in over
        assert 'href="tel:5550100"' in over


def test_a_book_that_cannot_be_read_still_gives_a_screen(tmp_path: Path) -> None:
    (tmp_path / "journal.sqlite").write_bytes(b"no book at all" * 100)
    answer = client_of(tmp_path).get("/rig-strike/Rig-40")
    assert answer.status_code == 503
    assert "Call the local emergency number now" in text_of(answer.text)


def test_a_number_without_digits_is_refused(folder: Path) -> None:
    with pytest.raises(BadInputError, match="emergency_telephone"):
        tell(folder, [("emergency", {**WORDS, "telephone": "ask Joe"})])
    tell(folder, [("emergency", {**WORDS, "telephone": ""})])
    assert strike_view(folder, "Rig-40").telephones == ()
    assert len(BORE) + len(RIG) + 1 == len(kept(folder))
