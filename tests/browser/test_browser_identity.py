"""A rod that is re-cut, marked anew and handed over to another owner's book, in a real browser."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from served import served

from book_builder import ROD_TYPE
from rodhand.record.journal import Journal

pytestmark = pytest.mark.browser
WIDE = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"


def book(folder: Path) -> Path:
    """A set of four, three of which drilled one bore."""
    rows = (
        ("rod-type", ROD_TYPE),
        ("rig", {"rig": "Rig-40", "rod_type": "R-M"}),
        ("set", {"set": "A", "rod_type": "R-M", "count": "4", "marks_start": "A-1",
                 "rig": "Rig-40"}),
        ("load", {"rig": "Rig-40", "things": "A-1..A-4", "how": "marked"}),
        ("bore", {"bore": "B1", "rig": "Rig-40"}),
        *(
            ("reading", {"bore": "B1", "station": f"{n}", "length_ft": "10", "pitch_pct": pitch,
                         "rotating_min": "5", "rpm": "100"})
            for n, pitch in enumerate(("-12", "-9", "-5"), 1)
        ),
    )  # fmt: skip
    with Journal.open(folder) as journal:
        for kind, payload in rows:
            journal.write(kind, payload, "2025-09-09")
    return folder


def opened(browser: Browser, address: str) -> Page:
    context = browser.new_context(base_url=address, viewport={"width": 360, "height": 780})
    return context.new_page()


def enter(page: Page, kind: str, **typed: str) -> None:
    """Fill in a form of one kind by the names of its fields and enter it."""
    page.goto(f"/enter/{kind}")
    for name, text in typed.items():
        field = page.locator(f"[name='v.{name}']")
        if field.evaluate("each => each.tagName") == "SELECT":
            field.select_option(text)
        else:
            field.fill(text)
    page.locator("[name=happened]").fill("2025-10-01")
    page.get_by_role("button", name="Enter", exact=True).click()
    page.wait_for_url("**/entry/**")


def test_a_rod_re_cut_marked_anew_and_handed_over(browser: Browser, tmp_path: Path) -> None:
    with served(book(tmp_path / "seller")) as address:
        page = opened(browser, address)
        enter(page, "dressing", things="A-2", what="re-cut", end="pin", new_length="2.90")
        enter(page, "mark", thing="A-2", mark="N-7")
        page.goto("/thing/N-7")
        changes = page.locator("main").inner_text()
        assert "re-cut, end: pin" in changes
        assert "marked N-7" in changes
        assert page.evaluate(WIDE) <= 0
        page.goto("/office")
        page.get_by_role("link", name="Hand a set over").first.click()
        page.get_by_role("link", name="A", exact=True).click()
        with page.expect_download() as download:
            page.get_by_role("link", name="Save the file").click()
        file = tmp_path / "A-handover.json"
        download.value.save_as(file)
        page.context.close()

    with Journal.open(tmp_path / "buyer") as journal:
        journal.write("rig", {"rig": "Rig-7"}, "2025-11-01")
    with served(tmp_path / "buyer") as address:
        page = opened(browser, address)
        page.goto("/handover")
        page.get_by_label("The former owner's file").set_input_files(file)
        page.get_by_role("button", name="Take them in").click()
        expect(page.locator("main")).to_contain_text("4 rods of")
        page.goto("/thing/N-7")
        expect(page.locator("main")).to_contain_text("assumed, with that book's own band")
        assert page.evaluate(WIDE) <= 0
        # Taken in twice: refused, and the reason stands on the page.
        page.goto("/handover")
        page.get_by_label("The former owner's file").set_input_files(file)
        page.get_by_role("button", name="Take them in").click()
        expect(page.get_by_role("alert").first).to_be_visible()
        page.context.close()
