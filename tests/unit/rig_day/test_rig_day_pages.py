"""The pages of a day at a rig by plain form posts: where a press leads, and what it refuses."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from rig_day_book import BORE, RIG, kept, tell

from rodhand.book.opening import entries_in
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

BEGUN = len((*RIG, *BORE))


@pytest.fixture
def client(folder: Path) -> TestClient:
    return TestClient(
        create_app(BookDesk(folder)), base_url="http://127.0.0.1", follow_redirects=False
    )


@pytest.mark.parametrize(
    ("page", "form", "kind"),
    [
        ("rig-events", {"what": "weep", "bore": "B1", "station": "7"}, "event"),
        ("rig-makeup", {"compound_on": "yes", "station": "7"}, "makeup"),
        ("rig-checks/end", {"item": "rack", "state": "done", "line": "5"}, "shift-check"),
        ("rig-pullback", {"behind": "RM-8", "bore": "B1"}, "pass"),
    ],
)
def test_a_press_keeps_one_entry_and_leads_to_a_page_of_it(
    client: TestClient, folder: Path, page: str, form: dict[str, str], kind: str
) -> None:
    answer = client.post(f"/{page}/Rig-40", data=form)
    assert answer.status_code == 303
    assert answer.headers["location"].startswith(f"/{page}/Rig-40?entry=")
    assert [each for each, _ in kept(folder, BEGUN)] == [kind]
    assert client.get(answer.headers["location"]).status_code == 200
    asked = client.post(f"/{page}/Rig-40.json", data={**form, "item": "jaws", "behind": "product"})
    assert asked.status_code in (201, 400)  # a second pullback is refused


@pytest.mark.parametrize(
    ("page", "form"),
    [
        ("rig-events", {"what": "sneeze"}),
        ("rig-events", {"entry": "nobody", "note": "x"}),
        ("rig-makeup", {"compound_on": "perhaps"}),
        ("rig-checks/before", {"item": "", "state": "done"}),
        ("rig-checks/before", {"item": "jaws", "state": "fine"}),
        ("rig-pullback", {"thing": "M-01", "reason": ""}),
        ("rig-pullback", {}),
    ],
)
def test_what_cannot_be_kept_comes_back_with_its_fault(
    client: TestClient, folder: Path, page: str, form: dict[str, str]
) -> None:
    answer = client.post(f"/{page}/Rig-40", data=form)
    assert answer.status_code == 400
    assert 'role="alert"' in answer.text
    asked = client.post(f"/{page}/Rig-40.json", data=form)
    assert (asked.status_code, len(asked.json()["error"]["faults"])) == (400, 1)
    assert len(kept(folder)) == BEGUN


def buttons(page: str) -> list[tuple[str, dict[str, str]]]:
    """Kind and payload that the page's buttons carry for a device without a signal."""
    found = re.findall(r'data-kind="([^"]+)" data-payload="([^"]+)"', page)
    return [(kind, json.loads(unescape(payload))) for kind, payload in found]


@pytest.mark.parametrize(
    ("page", "place", "form"),
    [
        ("rig-day", 1, {"what": "jerk", "bore": "B1", "station": "7"}),
        ("rig-makeup", 1, {"compound_on": "no", "station": "7"}),
        ("rig-makeup", 2, {"what": "no torque", "bore": "B1", "station": "7"}),
        ("rig-checks/before", 0, {"item": "rods-off-ground", "state": "done"}),
        ("rig-pullback", 0, {"behind": "RM-8", "bore": "B1"}),
        ("rig-pullback", 1, {"behind": "product", "bore": "B1"}),
    ],
)
def test_a_button_carries_what_its_press_keeps(
    client: TestClient, folder: Path, page: str, place: int, form: dict[str, str]
) -> None:
    kind, payload = buttons(client.get(f"/{page}/Rig-40").text)[place]
    to = "rig-events" if "what" in form else page
    assert client.post(f"/{to}/Rig-40", data=form).status_code == 303
    assert kept(folder)[-1] == (kind, payload)


def test_buttons_of_a_pullback_under_way_carry_what_they_keep(
    client: TestClient, folder: Path
) -> None:
    client.post("/rig-pullback/Rig-40", data={"behind": "RM-8"})
    told = client.get("/rig-pullback/Rig-40").text
    *rods, (kind, end), (undo, begun) = buttons(told)
    assert (undo, begun["entry"]) == ("strike", entries_in(folder)[-1].id)
    whys = dict(re.findall(r'value="(\w+)" data-why="([^"]+)"', told))
    client.post("/rig-pullback/Rig-40", data={"thing": "M-07", "reason": "worn"})
    assert kept(folder)[-1] == (rods[0][0], {**rods[0][1], "why": whys["worn"]})
    client.post("/rig-pullback/Rig-40", data={"end": "yes"})
    assert kept(folder)[-1] == (kind, end)


def test_a_rig_nobody_knows_is_not_here(client: TestClient) -> None:
    for page in ("rig-day", "rig-events", "rig-strike", "rig-makeup", "rig-checks/end",
                 "rig-pullback"):  # fmt: skip
        assert client.get(f"/{page}/Rig-99").status_code == 404
    assert client.post("/rig-pullback/Rig-99", data={"end": "yes"}).status_code == 404
    assert client.get("/rig-checks/noon/Rig-40").status_code == 404


def test_a_press_is_taken_back_and_leads_back(client: TestClient, folder: Path) -> None:
    entry = client.post("/rig-events/Rig-40.json", data={"what": "jerk"}).json()["entry"]
    back = "/rig-day/Rig-40"
    answer = client.post("/rig-take-back", data={"rig": "Rig-40", "entry": entry, "back": back})
    assert (answer.status_code, answer.headers["location"]) == (303, f"{back}?taken_back=1")
    assert 'role="status"' in client.get(answer.headers["location"]).text
    assert kept(folder)[-1][0] == "strike"
    other = {"rig": "Rig-40", "entry": entry, "back": "//elsewhere.test/"}
    again = client.post("/rig-events/Rig-40.json", data={"what": "jerk"}).json()["entry"]
    answer = client.post("/rig-take-back", data={**other, "entry": again})
    assert answer.headers["location"] == f"{back}?taken_back=1"
    assert client.post("/rig-take-back", data={"entry": "x"}).status_code == 400


def test_the_yard_and_the_bore_lead_here(client: TestClient) -> None:
    assert 'href="/rig-day/Rig-40"' in client.get("/yard").text
    assert 'href="/rig-day/Rig-40?bore=B1"' in client.get("/bore/B1").text
    assert 'href="/rig-day/Rig-40"' in client.get("/rig-day").text


def test_a_name_may_hold_any_sign(tmp_path: Path) -> None:
    tell(tmp_path, [("rig", {"rig": "R/1 &?"}), ("bore", {"bore": "B/1?", "rig": "R/1 &?"})])
    client = TestClient(create_app(BookDesk(tmp_path)), base_url="http://127.0.0.1")
    answer = client.post("/rig-events/R%2F1%20%26%3F", data={"what": "jerk", "bore": "B/1?"})
    assert answer.status_code == 200
    assert "B/1?" in answer.text
    item = {"item": "jaws", "state": "done"}
    assert client.post("/rig-checks/before/R%2F1%20%26%3F", data=item).status_code == 200


def test_an_older_bore_of_the_rig_may_be_chosen(client: TestClient, folder: Path) -> None:
    tell(folder, [("bore", {"bore": "B2", "rig": "Rig-40"})], "2025-09-12")
    tell(folder, [("bore", {"bore": "B3", "rig": "Rig-40"})], "2999-01-01")  # booked, not begun
    assert client.get("/rig-day/Rig-40.json").json()["view"]["at"]["bore"] == "B2"
    asked = client.get("/rig-day/Rig-40.json?bore=B1").json()["view"]
    assert (asked["at"]["bore"], asked["at"]["station"]) == ("B1", 7)
    client.post("/rig-events/Rig-40", data={"what": "jerk", "bore": "B1", "station": "7"})
    assert kept(folder)[-1][1]["bore"] == "B1"
