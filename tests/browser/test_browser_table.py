"""A foreign table sent, looked at, corrected, kept with its reading, taken back, taken in again."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from served import served

from book_builder import ROD_TYPE
from rodhand.record.journal import Journal
from rodhand.sheets.importing import book_in

pytestmark = pytest.mark.browser

LOG = "Stange Nr;Neigung [%];Tiefe\n1;20,5;61\n2;15;110\n"
SECOND = "Stange Nr;Neigung [%];Tiefe\n3;12;1x5\n4;9;150\n"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    folder = tmp_path / "book"
    rows = (
        ("rod-type", ROD_TYPE),
        ("rig", {"rig": "Rig-40", "rod_type": "R-M"}),
        ("bore", {"bore": "T-9", "rig": "Rig-40"}),
    )
    with Journal.open(folder) as journal:
        for kind, payload in rows:
            journal.write(kind, payload, "2025-01-02")
    return folder


@pytest.fixture(params=[360, 1280])
def page(browser: Browser, book: Path, request: pytest.FixtureRequest) -> Iterator[Page]:
    with served(book) as address:
        size = {"width": request.param, "height": 900}
        context = browser.new_context(base_url=address, viewport=size)
        opened = context.new_page()
        yield opened
        context.close()


def send(page: Page, name: str, text: str, recipe: str = "") -> None:
    page.goto("/enter")
    page.get_by_role("link", name="Any table in").click()
    page.wait_for_url("**/table")
    page.set_input_files("#file", {"name": name, "mimeType": "text/csv", "buffer": text.encode()})
    page.select_option("#bore", "T-9")
    page.fill("#happened", "2025-05-01")
    if recipe:
        page.select_option("#recipe", recipe)
    page.get_by_role("button", name="Look at it").click()
    page.wait_for_url("**/table/look")


def depths(book: Path) -> list[str]:
    return [
        reading.typed["depth_m"]
        for work in book_in(book).bores["T-9"].passes
        for reading in work.readings
    ]


def test_a_table_in_corrected_kept_by_name_taken_back_and_in_again(page: Page, book: Path) -> None:
    send(page, "log.csv", LOG)
    # The heading of the depth says no unit: proposed as metres with a word, corrected once.
    unit = page.get_by_label("Tiefe")
    expect(unit).to_have_value("depth m")
    expect(page.get_by_text("unit not in the heading")).to_be_visible()
    unit.select_option("depth cm")
    page.fill("#name", "blue box")
    page.get_by_role("button", name="Look again").click()
    understood = page.get_by_role("region", name="As understood")
    expect(understood.get_by_role("cell", name="0.61", exact=True)).to_be_visible()
    expect(page.get_by_role("region", name="As found").get_by_text("20,5")).to_be_visible()
    assert depths(book) == []
    page.get_by_role("button", name="Take all 2 rows in").click()
    page.wait_for_url("**/table#taken")
    assert depths(book) == ["0.61", "1.1"]

    # The next file of the kind needs no question; its fault stands with line and column.
    send(page, "second.csv", SECOND, "blue box")
    told = page.get_by_role("alert")
    expect(told).to_contain_text("line 2")
    expect(told).to_contain_text("1x5")
    expect(page.get_by_role("button", name="rows in")).to_have_count(0)

    page.goto("/table")
    page.get_by_role("button", name="Take back log.csv").click()
    expect(page.get_by_text("taken back", exact=True)).to_be_visible()
    assert depths(book) == []
    send(page, "log.csv", LOG, "blue box")
    page.get_by_role("button", name="Take all 2 rows in").click()
    page.wait_for_url("**/table#taken")
    assert depths(book) == ["0.61", "1.1"]
    # No page is wider than the screen.
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
