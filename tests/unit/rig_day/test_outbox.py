"""A device's outbox: every entry once, its chain whole, other books left alone."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from rig_day_book import BORE, RIG, kept, tell

from rodhand.book.entry.carrying import verify
from rodhand.book.entry.outbox import OtherBookError, book_id, sent_from, take
from rodhand.faults import BadInputError
from rodhand.record.entry import Draft
from rodhand.record.journal import Journal
from rodhand.record.memory import MemoryJournal
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

BEGUN = len((*RIG, *BORE))
DEVICE = "0123456789abcdef"
JSON = {"Accept": "application/json"}


def row(number: int, kind: str = "reading", **payload: str) -> dict[str, Any]:
    """One press of a device, the eighth rod's pitch unless told."""
    said = payload or {"bore": "B1", "station": str(7 + number), "pitch_pct": "-2.5"}
    return {"id": f"{number:032x}", "counter": number, "happened": "2025-09-09T10:00",
            "zone": "+02:00", "entered": "2025-09-09T10:00:05+02:00", "by": "", "kind": kind,
            "payload": said}  # fmt: skip


def send(folder: Path, *rows: dict[str, Any], device: str = DEVICE) -> list[str]:
    sent = sent_from({"book": book_id(folder), "device": device, "entries": list(rows)})
    return [each.state for each in take(folder, sent)]


def test_each_is_taken_once_however_often_and_in_whatever_order_it_is_sent(folder: Path) -> None:
    assert send(folder, row(2), row(1)) == ["taken", "taken"]
    assert send(folder, row(1), row(2), row(3)) == ["known", "known", "taken"]
    assert send(folder, row(3), row(3)) == ["known", "known"]
    stations = [payload["station"] for _, payload in kept(folder, BEGUN)]
    assert stations == ["8", "9", "10"]
    assert verify(folder).broken == ()
    assert verify(folder).heads[DEVICE][0] == 3


def test_an_entry_is_kept_as_the_device_made_it(folder: Path) -> None:
    send(folder, row(4))
    with Journal.open(folder, write=False) as journal:
        entry = journal.entries()[-1]
    assert (entry.id, entry.device, entry.counter) == (f"{4:032x}", DEVICE, 1)
    assert (entry.happened, entry.zone) == ("2025-09-09T10:00", "+02:00")
    assert entry.entered == "2025-09-09T10:00:05+02:00"
    assert entry.payload == {"bore": "B1", "station": "11", "pitch_pct": "-2.5"}


def test_one_refused_holds_up_no_other_and_leaves_no_gap(folder: Path) -> None:
    wrong = row(2, bore="B1", station="9", pitch_pct="steep")
    unknown = row(3, bore="B9", station="1", pitch_pct="1")
    assert send(folder, row(1), wrong, unknown, row(4)) == [
        "taken", "refused", "refused", "taken"]  # fmt: skip
    assert verify(folder).broken == ()
    tell(folder, [("bore", {"bore": "B9", "rig": "Rig-40"})])
    assert send(folder, unknown) == ["taken"]


def test_what_a_device_took_back_is_struck(folder: Path) -> None:
    back = row(2, "strike", entry=f"{1:032x}", why="pressed by mistake")
    assert send(folder, row(1), back) == ["taken", "taken"]
    assert [kind for kind, _ in kept(folder, BEGUN)] == ["reading", "strike"]


def test_two_devices_have_a_chain_each(folder: Path) -> None:
    other = row(1) | {"id": f"{77:032x}"}
    assert send(folder, row(1)) == ["taken"]
    assert send(folder, other, device="f" * 16) == ["taken"]
    assert {DEVICE, "f" * 16} <= set(verify(folder).heads)
    assert verify(folder).broken == ()


def test_an_id_that_is_another_entrys_is_refused(folder: Path) -> None:
    send(folder, row(1))
    assert send(folder, row(1), device="f" * 16) == ["refused"]
    assert len(kept(folder)) == BEGUN + 1


def test_kinds_that_no_press_keeps_and_odd_stamps_are_refused(folder: Path) -> None:
    assert send(folder, row(1, "rig", rig="Rig-99")) == ["refused"]
    assert send(folder, row(2) | {"entered": "yesterday"}) == ["refused"]
    assert send(folder, row(3) | {"entered": "2025-02-31T10:00:05+02:00"}) == ["refused"]
    assert send(folder, row(4) | {"happened": "soon"}) == ["refused"]
    assert send(folder, row(5, bore="B1", station="8", remark="x" * 2001)) == ["refused"]
    assert len(kept(folder)) == BEGUN


def test_another_books_entries_are_left_alone(folder: Path) -> None:
    with pytest.raises(OtherBookError):
        take(folder, sent_from({"book": "0" * 32, "device": DEVICE, "entries": [row(1)]}))
    assert len(kept(folder)) == BEGUN


@pytest.mark.parametrize(
    "found",
    [
        None, [], {"device": "x", "entries": []}, {"device": DEVICE}, {"device": DEVICE,
        "entries": [{}]}, {"device": DEVICE, "entries": [row(1) | {"counter": 0}]},
        {"device": DEVICE, "entries": [row(1) | {"counter": 2**63}]},
        {"device": DEVICE, "entries": [row(1) | {"counter": True}]},
        {"device": DEVICE, "entries": [row(1) | {"payload": {"bore": 1}}]},
        {"device": DEVICE, "entries": [row(1) | {"id": "1"}]},
        {"device": DEVICE, "entries": [row(1)] * 5001},
    ],
)  # fmt: skip
def test_what_is_no_outbox_is_refused_whole(found: object) -> None:
    with pytest.raises(BadInputError):
        sent_from(found)


def test_the_journal_in_memory_keeps_other_devices_chains_too() -> None:
    journal = MemoryJournal("a" * 16)
    for number in (1, 2):
        draft = Draft("rig", {"rig": f"R{number}"}, id=f"{number:032x}")
        journal.write_many([draft], device=DEVICE)
    journal.write("rig", {"rig": "R3"})
    assert [(each.device, each.counter) for each in journal.entries()] == [
        (DEVICE, 1), (DEVICE, 2), ("a" * 16, 1)]  # fmt: skip
    with pytest.raises(BadInputError):
        journal.write_many([Draft("rig", {"rig": "R4"}, id=f"{1:032x}")], device=DEVICE)


@pytest.fixture
def client(folder: Path) -> TestClient:
    return TestClient(
        create_app(BookDesk(folder)), base_url="http://127.0.0.1:8420",
        client=("127.0.0.1", 50000), follow_redirects=False,
    )  # fmt: skip


def as_sent(folder: Path, *rows: dict[str, Any]) -> str:
    return json.dumps({"book": book_id(folder), "device": DEVICE, "entries": list(rows)})


def test_the_book_answers_each_id_with_what_to_do(client: TestClient, folder: Path) -> None:
    wrong = row(2, bore="B1", station="9", pitch_pct="steep")
    answer = client.post("/outbox", content=as_sent(folder, row(1), wrong), headers=JSON)
    first, second = answer.json()["answers"]
    assert (first["state"], first["why"]) == ("taken", [])
    assert second["state"] == "refused"
    assert "steep" in second["why"][0]
    assert client.post("/outbox", content=as_sent(folder), headers=JSON).json()["answers"] == []


def test_bad_posts_are_told(client: TestClient, folder: Path) -> None:
    other = json.dumps({"book": "x", "device": DEVICE, "entries": [row(1)]})
    assert client.post("/outbox", content=other, headers=JSON).status_code == 409
    for body in ("{", "[]", "[" * 100_000, b"\xff"):
        answer = client.post("/outbox", content=body, headers=JSON)
        assert answer.status_code == 400
        assert answer.json()["error"]["faults"]
    foreign = {"Origin": "http://elsewhere.test", **JSON}
    assert (
        client.post("/outbox", content=as_sent(folder, row(1)), headers=foreign).status_code == 403
    )
    assert len(kept(folder)) == BEGUN


def test_the_same_file_twice_adds_nothing(client: TestClient, folder: Path) -> None:
    file = {"file": ("outbox.json", as_sent(folder, row(1), row(2)))}
    assert client.post("/rig-outbox", files=file).headers["location"].endswith("taken=2&known=0")
    again = client.post("/rig-outbox", files=file)
    assert again.headers["location"].endswith("taken=0&known=2")
    assert "There before: 2." in client.get(again.headers["location"]).text
    assert len(kept(folder)) == BEGUN + 2
    assert client.post("/rig-outbox", files={"file": ("x.txt", "hello")}).status_code == 400
    wrong = {"file": ("o.json", as_sent(folder, row(3, bore="B1", station="x")))}
    assert "alarm" in client.post("/rig-outbox", files=wrong).text


def test_the_shell_is_offered_to_a_device(client: TestClient) -> None:
    manifest = client.get("/rig-manifest").json()
    assert manifest["start_url"] == "/rig-day"
    for icon in manifest["icons"]:
        assert client.get(icon["src"]).status_code == 200
    worker = client.get("/rig-worker.js")
    assert worker.headers["content-type"].startswith("text/javascript")
    head = json.loads(worker.text.split("\n", 1)[0].removeprefix("self.kept = ").removesuffix(";"))
    for address in head["files"]:
        assert client.get(address).status_code == 200, address
    listed = client.get("/rig-kept/Rig-40").json()
    for address in listed["pages"]:
        for language in listed["languages"]:
            page = client.get(address, headers={"X-Language": language})
            assert page.status_code == 200, address
            assert page.headers["content-language"] == language
            assert f'<html lang="{language}"' in page.text
    assert client.get("/rig-kept/Rig-99").status_code == 404
