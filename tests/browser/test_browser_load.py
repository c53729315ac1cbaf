"""A box confirmed by touches, counted, in a real browser at the width of a hand."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from served import served

from book_builder import ROD_TYPE
from rodhand.record.journal import Journal

pytestmark = pytest.mark.browser


@pytest.fixture
def book(tmp_path: Path) -> Path:
    folder = tmp_path / "book"
    rows = (
        ("rod-type", ROD_TYPE),
        ("rig", {"rig": "Rig-40", "rod_type": "R-M", "box_rows": "2", "rods_per_row": "6"}),
        ("set", {"set": "S1", "rod_type": "R-M", "count": "12", "rig": "Rig-40"}),
        ("load", {"rig": "Rig-40", "things": "S1", "how": "by row"}),
        ("bore", {"bore": "B1", "rig": "Rig-40"}),
        ("reading", {"bore": "B1", "station": "1", "pitch_pct": "-10", "length_ft": "10"}),
    )
    with Journal.open(folder) as journal:
        for kind, payload in rows:
            journal.write(kind, payload, "2025-09-09")
    return folder


class Hand:
    """Touches what it is told to, and counts."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.touches = 0

    def touch(self, text: str, role: str = "button") -> None:
        named = self.page.get_by_role(role, name=text, exact=True)  # type: ignore[arg-type]
        named.tap()
        self.touches += 1


@pytest.fixture
def page(browser: Browser, book: Path) -> Iterator[Page]:
    with served(book) as address:
        context = browser.new_context(
            base_url=address, viewport={"width": 360, "height": 780}, has_touch=True
        )
        opened = context.new_page()
        yield opened
        context.close()


def told(book: Path) -> list[tuple[str, dict[str, str]]]:
    with Journal.open(book, write=False) as journal:
        return [(each.kind, dict(each.payload)) for each in journal.entries()][6:]


ALL = [f"S1 no. {n}" for n in range(1, 13)]


def test_one_touch_confirms_the_box(page: Page, book: Path) -> None:
    page.goto("/yard")
    hand = Hand(page)
    hand.touch("Confirm this box", "link")
    page.wait_for_url("**/load/Rig-40")
    hand.touch("As shown")
    expect(page.get_by_role("status")).to_contain_text("12 rods")
    assert hand.touches == 2  # one to come here from the yard, one to confirm
    assert told(book) == [("load", {"rig": "Rig-40", "things": ", ".join(ALL), "how": "by row"})]


def test_three_touches_tell_that_two_rods_changed_places(page: Page, book: Path) -> None:
    page.goto("/load/Rig-40")
    hand = Hand(page)
    hand.touch("S1 no. 2", "checkbox")
    hand.touch("S1 no. 9", "checkbox")
    hand.touch("These two lie in each other's place")
    expect(page.get_by_role("status")).to_contain_text("S1 no. 2, S1 no. 9")
    assert hand.touches == 3
    turned = list(ALL)
    turned[1], turned[8] = turned[8], turned[1]
    assert told(book) == [
        ("slip", {"rig": "Rig-40", "bore": "B1", "things": "S1 no. 2, S1 no. 9"}),
        ("load", {"rig": "Rig-40", "things": ", ".join(turned), "how": "by row"}),
    ]


def test_a_slip_nobody_can_place_shows_as_doubt(page: Page, book: Path) -> None:
    page.goto("/load/Rig-40")
    hand = Hand(page)
    for name in ("S1 no. 1", "S1 no. 2", "S1 no. 3"):
        hand.touch(name, "checkbox")
    hand.touch("These lie elsewhere, nobody knows where")
    expect(page.get_by_role("status")).to_contain_text("Slip noted")
    assert hand.touches == 4
    expect(page.get_by_text("in doubt, 1")).to_have_count(3)
    assert [kind for kind, _ in told(book)] == ["slip"]


def test_a_fault_keeps_what_was_touched(page: Page, book: Path) -> None:
    page.goto("/load/Rig-40")
    hand = Hand(page)
    hand.touch("S1 no. 4", "checkbox")
    hand.touch("These two lie in each other's place")
    expect(page.get_by_role("alert")).to_contain_text("exactly two rods")
    expect(page.get_by_role("checkbox", name="S1 no. 4")).to_be_checked()
    assert told(book) == []
