"""A device whose clock is off: measured as it sends, kept beside, told; no entry is rewritten.

Every expected time is worked out by hand beside it.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from itertools import permutations
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from rig_day_book import BORE, RIG, kept

from rodhand.book.entry import device_clock
from rodhand.book.entry.outbox import book_id
from rodhand.record.entry import Entry
from rodhand.record.journal import Journal
from rodhand.record.reading_back import read_book
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

BEGUN = len((*RIG, *BORE))
SLOW, RIGHT = "a" * 16, "b" * 16
JSON = {"Accept": "application/json"}


@pytest.fixture
def at(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Sets the machine's clock."""
    return lambda stamp: monkeypatch.setattr(device_clock, "now", lambda: stamp)


@pytest.fixture
def pages(folder: Path) -> TestClient:
    return TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1", headers=JSON)


def standing(number: int, stamp: str, said: str) -> dict[str, Any]:
    """A press at a time of the device's clock, in UTC; what it says of rod M-01."""
    return {"id": f"{number:032x}", "counter": number, "happened": stamp[:16], "zone": "+00:00",
            "entered": f"{stamp}+00:00", "by": "p1", "kind": "standing",
            "payload": {"things": "M-01", "standing": said, "why": "w"}}  # fmt: skip


def send(pages: TestClient, folder: Path, device: str, now: str, *rows: dict[str, Any]) -> Any:
    sent = {"book": book_id(folder), "device": device, "now": now, "entries": list(rows)}
    answer = pages.post("/outbox", json=sent)
    assert answer.status_code == 200
    return answer.json()


def said(folder: Path) -> list[tuple[str, str]]:
    """Standings in the order of the book, each with the time that counts, in UTC."""
    with Journal.open(folder, write=False) as journal:
        return [(each.standing, each.origin.at) for each in journal.book().standings]


def clocks(folder: Path) -> list[dict[str, str]]:
    return [payload for kind, payload in kept(folder, BEGUN) if kind == "clock"]


def test_a_clock_43_minutes_slow_is_told_and_its_presses_stand_in_their_order(
    folder: Path, pages: TestClient, at: Callable[[str], None]
) -> None:
    """Slow: 09:17 and 09:29:30 were 10:00 and 10:12:30; the right clock's 09:30 was before both."""
    at("2025-09-10T12:00:00+02:00")  # 10:00 UTC
    sent = send(pages, folder, RIGHT, "2025-09-10T10:00:02+00:00",
                standing(1, "2025-09-10T09:30:00", "watch"))  # fmt: skip
    assert sent["clock"] is None
    at("2025-09-10T12:13:00+02:00")  # 10:13 UTC
    rows = standing(2, "2025-09-10T09:17:00", "dress"), standing(3, "2025-09-10T09:29:30", "fit")
    sent = send(pages, folder, SLOW, "2025-09-10T09:30:00+00:00", *rows)
    assert sent["clock"] == {
        "fast_by_s": -2580.0,
        "told": "This device's clock is 43 minutes slow.",
    }
    assert [each["state"] for each in sent["answers"]] == ["taken", "taken"]
    assert clocks(folder) == [{"device": SLOW, "fast_by_min": "-43.0", "how": "at sending"}]
    assert said(folder) == [
        ("watch", "2025-09-10T09:30:00"),
        ("dress", "2025-09-10T10:00:00"),
        ("fit", "2025-09-10T10:12:00"),  # the press is stamped to the minute
    ]
    with Journal.open(folder, write=False) as journal:
        clock, *pressed = journal.entries()[-3:]
    assert (clock.device, clock.entered) == (SLOW, "2025-09-10T09:30:00+00:00")
    assert (clock.happened, clock.zone) == ("2025-09-10T12:13", "+02:00")
    assert [each.entered for each in pressed] == [
        "2025-09-10T09:17:00+00:00", "2025-09-10T09:29:30+00:00"]  # fmt: skip
    assert [each.happened for each in pressed] == ["2025-09-10T09:17", "2025-09-10T09:29"]


def test_kept_once_for_each_change_and_never_for_what_is_sent_again(
    folder: Path, pages: TestClient, at: Callable[[str], None]
) -> None:
    at("2025-09-10T10:00:00+00:00")
    first, second, third = (
        standing(n, f"2025-09-10T09:0{n}:00", "watch") for n in (1, 2, 3)
    )  # fmt: skip
    send(pages, folder, SLOW, "2025-09-10T09:17:00+00:00", first)
    send(pages, folder, SLOW, "2025-09-10T09:17:00+00:00", first)
    send(pages, folder, SLOW, "2025-09-10T09:18:59+00:00", first, second)  # 119 s nearer: the same
    assert [each["fast_by_min"] for each in clocks(folder)] == ["-43.0"]
    send(pages, folder, SLOW, "2025-09-10T10:00:01+00:00", third)  # set right meanwhile
    assert [each["fast_by_min"] for each in clocks(folder)] == ["-43.0", "0.0"]
    assert said(folder) == [
        ("watch", "2025-09-10T09:03:00"),  # pressed with the right clock
        ("watch", "2025-09-10T09:44:00"),  # 09:01 and 43 minutes
        ("watch", "2025-09-10T09:45:00"),
    ]


def test_what_was_sent_while_the_clock_was_right_is_not_moved(
    folder: Path, pages: TestClient, at: Callable[[str], None]
) -> None:
    """Nine hours fast since: 18:30 was 09:30."""
    at("2025-09-10T09:00:00+00:00")
    send(pages, folder, SLOW, "2025-09-10T09:00:00+00:00",
         standing(1, "2025-09-10T08:30:00", "watch"))  # fmt: skip
    at("2025-09-10T10:00:00+00:00")
    sent = send(pages, folder, SLOW, "2025-09-10T19:00:00+00:00",
                standing(2, "2025-09-10T18:30:00", "dress"))  # fmt: skip
    assert sent["clock"]["told"] == "This device's clock is 9 hours fast."
    assert said(folder) == [("watch", "2025-09-10T08:30:00"), ("dress", "2025-09-10T09:30:00")]


def test_a_measurement_before_the_first_one_at_sending_still_counts(folder: Path) -> None:
    """Somebody measured the tablet 9 h fast on another machine; weeks later it sends 1 h fast."""

    def entry(number: int, device: str, kind: str, payload: dict[str, str], when: str) -> Entry:
        row = {"id": f"e{number}", "happened": when[:16], "zone": "+00:00", "entered": when,
               "device": device, "counter": number, "by": "", "kind": kind, "payload": payload,
               "previous": "", "hash": f"{number}"}  # fmt: skip
        return Entry(**row)  # type: ignore[arg-type]

    remark = {"text": "x"}
    made = [
        entry(1, "tablet", "remark", remark, "2025-06-01T17:10:00+00:00"),  # 08:10
        entry(2, "office", "clock", {"device": "tablet", "fast_by_h": "9"},
              "2025-06-01T09:00:00+00:00"),
        entry(3, "tablet", "clock", {"device": "tablet", "fast_by_h": "1", "how": "at sending"},
              "2025-07-01T10:00:00+00:00"),
        entry(4, "tablet", "remark", remark, "2025-07-01T09:30:00+00:00"),  # 08:30
    ]  # fmt: skip
    for order in permutations(made):
        book = read_book(order)
        assert [each.origin.at for each in book.remarks] == [
            "2025-06-01T08:10:00", "2025-07-01T08:30:00"]  # fmt: skip


@pytest.mark.parametrize(
    ("now", "told"),
    [
        ("2025-09-10T10:01:59+00:00", None),
        ("2025-09-10T10:02:00+00:00", "This device's clock is 2 minutes fast."),
        ("2025-09-10T06:00:00-04:00", None),  # another zone, the same moment
        ("2025-09-10T11:59:00+00:00", "This device's clock is 119 minutes fast."),
        ("2025-09-10T08:00:00+00:00", "This device's clock is 2 hours slow."),
        ("2025-09-08T10:00:00+00:00", "This device's clock is 2 days slow."),
        ("2021-09-10T10:00:00+00:00", "This device's clock is 1461 days slow."),  # 365.25 x 4
        ("", None), ("soon", None), ("2025-09-10T08:00:00", None), ("9" * 99, None),
    ],
)  # fmt: skip
def test_from_two_minutes_on_it_is_told(
    folder: Path, pages: TestClient, at: Callable[[str], None], now: str, told: str | None
) -> None:
    at("2025-09-10T10:00:00+00:00")
    answer = send(pages, folder, SLOW, now, standing(1, "2025-09-10T09:30:00", "watch"))
    assert (answer["clock"] or {}).get("told") == told
    assert len(clocks(folder)) == (told is not None)
    assert send(pages, folder, "0" * 16, now)["clock"] == answer["clock"]  # a look sends nothing
    assert len(clocks(folder)) == (told is not None)


def test_the_page_lists_devices_that_are_off_and_a_file_measures_nothing(
    folder: Path, pages: TestClient, at: Callable[[str], None]
) -> None:
    at("2025-09-10T10:00:00+00:00")
    send(pages, folder, RIGHT, "2025-09-10T10:00:00+00:00",
         standing(1, "2025-09-10T09:30:00", "watch"))  # fmt: skip
    send(pages, folder, SLOW, "2025-09-10T09:17:00+00:00",
         standing(2, "2025-09-10T09:10:00", "watch"))  # fmt: skip
    assert pages.get("/rig-outbox.json").json()["clocks"] == [
        {"device": SLOW, "fast_by_s": -2580.0, "measured": "2025-09-10 10:00"}]  # fmt: skip
    page = pages.get("/rig-outbox", headers={"Accept": "text/html"}).text
    assert "device aaaa: 43 minutes slow." in " ".join(page.replace("</span>", "").split())
    entries = [standing(3, "2025-09-09T09:10:00", "watch")]
    file = {"book": book_id(folder), "device": RIGHT, "now": "2025-09-09T09:11:00+00:00",
            "entries": entries}  # fmt: skip
    answer = pages.post("/rig-outbox", files={"file": ("outbox.json", json.dumps(file))})
    assert answer.json()["answers"][0]["state"] == "taken"
    assert len(clocks(folder)) == 1
