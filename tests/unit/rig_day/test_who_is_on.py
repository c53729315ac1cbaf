"""Who is on: names in an entry's by, offered again, and who is another person."""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from two_devices_book import PHONE, TABLET, rows, send

from rodhand.advice.looks import Look, is_another
from rodhand.advice.people import names_of, people_of
from rodhand.book.rig.who_is_on import MOST_NAMES, by_in_words, who_is_on
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk
from rodhand.words import in_language


@pytest.mark.parametrize(
    ("by", "people"),
    [
        ("", ()),
        ("Ann", (("Ann", ""),)),
        ("Ann (driller), Ben (locator hand)", (("Ann", "driller"), ("Ben", "locator hand"))),
        ("Ann , Ben", (("Ann", ""), ("Ben", ""))),
        ("odd (((", (("odd (((", ""),)),
        ("Ann,", (("Ann,", ""),)),
    ],
)
def test_names_and_parts_are_read_and_anything_else_is_one_name(
    by: str, people: tuple[tuple[str, str], ...]
) -> None:
    assert people_of(by) == people


def test_parts_are_told_in_the_language_and_names_stay() -> None:
    assert by_in_words("Ann (driller), Ben") == "Ann (driller), Ben"
    with in_language("es"):
        assert by_in_words("Ann (driller), Ben (fitter)") == "Ann (perforador), Ben (fitter)"


def test_names_on_before_are_offered_newest_first_each_once(folder: Path) -> None:
    send(folder, TABLET, "Ann (driller)", rows(["-2"], 8))
    send(folder, PHONE, "ann (hand), Ben", rows(["-2"], 8))
    for n in range(20):
        send(folder, PHONE, "" if n % 2 else "17", rows(["-2"], 9 + n))
    assert who_is_on(folder).names == ("ann", "Ben")
    for letter in "abcdefghijklmnopq":
        send(folder, PHONE, f"Cy {letter}", rows(["-2"], 30))
    assert who_is_on(folder).names[:2] == ("Cy q", "Cy p")
    assert len(who_is_on(folder).names) == MOST_NAMES


def test_the_page_and_its_twin_offer_the_names(folder: Path) -> None:
    send(folder, TABLET, "Ann (driller)", rows(["-2"], 8))
    web = TestClient(create_app(BookDesk(folder)), base_url="http://localhost")
    text = web.get("/rig-on").text
    assert "[&#34;Ann&#34;]" in text
    view = web.get("/rig-on", headers={"Accept": "application/json"}).json()["view"]
    assert view == {"names": ["Ann"], "parts": ["driller", "locator hand", "hand"]}
    assert "/rig-on" in web.get("/rig-kept/Rig-40").json()["pages"]
    empty = TestClient(create_app(BookDesk(folder / "none")), base_url="http://localhost")
    assert (
        empty.get("/rig-on", headers={"Accept": "application/json"}).json()["view"]["names"] == []
    )


def test_one_person_in_two_parts_is_not_another() -> None:
    """Where somebody else must look, a look of which the first one was part is none."""

    def look(by: str) -> Look:
        return Look("e", "2025-09-09", "full-look", "sound", by=by)

    assert names_of("Ann (driller), Ben") == {"ann", "ben"}
    first = look("Ann (driller)")
    assert is_another(look("Ben (driller)"), first)
    assert not is_another(look("ann"), first)
    assert not is_another(look("Ben, Ann (hand)"), first)
