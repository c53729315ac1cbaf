"""36 rods typed from a sheet by keyboard alone, key by key, in a real browser.

Pace: 3 keys a second is assumed, common practice of somebody used to typing numbers, no source;
the keystroke-level model of Card, Moran and Newell (1980, from memory) gives 0.28 s a key for an
average typist who is no secretary. Time to read the paper is not in it. A ditto sign counts as
two keys, because it takes the shift key on many keyboards.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page
from served import served

from book_builder import ROD_TYPE
from rodhand.record.journal import Journal

pytestmark = pytest.mark.browser

KEYS_PER_SECOND = 3.0
MOST_SECONDS = 180.0

# Pitch, depth, minutes rotated of the invented bore B-2 as its crew wrote them (demo season,
# 36 rods): digits as the receiver shows them. Station 31 and 35 have no depth.
SHEET = """
-24.0 2.40 4.2|-18.0 4.50 2.7|-13.5 6.08 2.9|-4.0 6.95 2.2|-0.2 7.16 4.2|0.3 7.16 4.5
-0.1 7.14 4.6|0.1 7.14 6.5|0.5 7.12 4.5|-0.1 7.10 6.0|-0.5 7.13 6.3|-0.7 7.19 4.5
-0.4 7.25 5.0|0.8 7.24 4.0|0.7 7.16 6.6|-0.5 7.15 4.0|0.7 7.14 4.7|-0.1 7.11 4.4
0.0 7.11 4.4|0.7 7.08 5.3|-1.0 7.09 4.7|0.5 7.12 3.6|0.3 7.08 4.9|0.5 7.04 4.3
0.0 7.01 5.3|0.4 6.99 5.5|-0.8 7.01 4.8|-0.1 7.05 6.2|-1.1 7.11 4.0|2.9 7.02 2.8
7.6 ? 3.4|11.1 5.56 3.3|15.1 4.25 3.0|18.3 2.58 3.3|18.0 . 4.0|17.9 0.00 4.3
"""
ROWS = [row.split() for line in SHEET.split("\n") if line for row in line.split("|")]


@pytest.fixture
def book(tmp_path: Path) -> Path:
    folder = tmp_path / "book"
    rows = (
        ("rod-type", ROD_TYPE),
        ("rig", {"rig": "Rig-40", "rod_type": "R-M", "units": "us", "box_rows": "3",
                 "rods_per_row": "12", "pilot_rpm": "100"}),
        ("set", {"set": "M", "rod_type": "R-M", "count": "36", "marks_start": "M-01",
                 "rig": "Rig-40"}),
        ("load", {"rig": "Rig-40", "things": "M-01..M-36", "how": "by row"}),
        ("bore", {"bore": "T-9", "rig": "Rig-40"}),
    )  # fmt: skip
    with Journal.open(folder) as journal:
        for kind, payload in rows:
            journal.write(kind, payload, "2025-09-09")
    return folder


@pytest.fixture
def page(browser: Browser, book: Path) -> Iterator[Page]:
    with served(book) as address:
        context = browser.new_context(base_url=address, viewport={"width": 1280, "height": 900})
        opened = context.new_page()
        told: list[str] = []
        opened.on("pageerror", lambda error: told.append(str(error)))
        yield opened
        context.close()
        assert told == []


class Typist:
    """Presses keys and counts them."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.keys = 0

    def press(self, key: str, count: int = 1) -> None:
        self.page.keyboard.press(key)
        self.keys += count

    def type(self, text: str) -> None:
        for letter in text:
            self.press(letter, 2 if letter in '"?' else 1)

    @property
    def seconds(self) -> float:
        return self.keys / KEYS_PER_SECOND


def readings(book: Path) -> list[dict[str, str]]:
    with Journal.open(book, write=False) as journal:
        struck = {e.payload["entry"] for e in journal.entries() if e.kind == "strike"}
        return [
            dict(e.payload) for e in journal.entries() if e.kind == "reading" and e.id not in struck
        ]


def type_sheet(typist: Typist) -> None:
    """Rows of the sheet, from the box the page opens with; a full stop is a blank box."""
    for row in ROWS:
        for place, text in enumerate(row):
            typist.type("" if text == "." else text)
            typist.press("Tab" if place < len(row) - 1 else "Enter")


def test_36_rods_in_three_minutes_by_keyboard_alone(page: Page, book: Path) -> None:
    page.goto("/bore/T-9/grid?ask=pitch&ask=depth&ask=rotating_time")
    typist = Typist(page)
    assert page.evaluate("document.activeElement.id") == "c.1.pitch_pct"
    type_sheet(typist)
    typist.press("Control+Enter", 2)
    page.wait_for_url("**/bore/T-9?pass=pilot")
    print(f"{typist.keys} keys, {typist.seconds:.0f} s at {KEYS_PER_SECOND:g} keys a second")
    assert typist.seconds < MOST_SECONDS
    held = readings(book)
    assert len(held) == 36
    first = {"bore": "T-9", "pass": "pilot", "station": "1", "pitch_pct": "-24.0",
             "depth_ft": "2.40", "rotating_min": "4.2"}  # fmt: skip
    assert held[0] == first
    assert held[30]["signs"] == "depth_ft ?"
    assert "depth_ft" not in held[30]
    assert "depth_ft" not in held[34]
    assert "signs" not in held[34]
    # The over-steer of the planted curve at station 4 stands on the page it leads to.
    assert "station 4" in page.locator("main").inner_text()
