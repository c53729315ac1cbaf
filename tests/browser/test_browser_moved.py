"""A stricter and a laxer rule typed on a page: what moved is told, a person alone releases."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from served import served

from book_builder import YARD, entries_of
from rodhand.book.entry.keeping import enter
from rodhand.book.opening import open_assessment
from rodhand.record.entry import Draft
from rodhand.record.journal import Journal

pytestmark = pytest.mark.browser
EVERY = "rule.full-look.every"
WIDTHS = (360, 768, 1280)
WIDE = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"


@pytest.fixture
def page(browser: Browser, tmp_path: Path) -> Iterator[Page]:
    """M1-01 looked at 20 days ago, M1-02 60 days ago; the program asks for a look a month."""
    folder = tmp_path / "book"
    with Journal.open(folder) as journal:
        journal.append(entries_of(YARD))
    for thing, days in (("M1-01", 20), ("M1-02", 60)):
        found = {"things": thing, "item": "full-look", "found": "sound"}
        enter(folder, [Draft("check", found, f"{date.today() - timedelta(days)}")], "p1")
    open_assessment(folder)  # where things stand is kept beside the journal from now on
    with served(folder) as address:
        context = browser.new_context(base_url=address, viewport={"width": 1280, "height": 900})
        opened = context.new_page()
        told: list[str] = []
        opened.on("pageerror", lambda error: told.append(str(error)))
        yield opened
        context.close()
        assert told == []


def sets(page: Page, value: str, why: str) -> None:
    """A new number for how often a full look is due, from the page of changed rules."""
    page.goto("/moved")
    if not page.get_by_role("link", name=EVERY).count():  # below the first few until it is set
        page.get_by_text("Every other setting").click()
    page.get_by_role("link", name=EVERY).click()
    page.wait_for_url(f"**/enter/setting?setting={EVERY}")
    expect(page.locator('[name="v.setting"]')).to_have_value(EVERY)
    page.locator('[name="v.value"]').fill(value)
    page.locator('[name="v.why"]').fill(why)
    page.get_by_role("button", name="Enter").click()
    page.wait_for_url("**/entry/*")


def test_what_moved_is_told_until_seen_and_released_by_a_person_alone(page: Page) -> None:
    main = page.locator("main")
    sets(page, "0.5", "sand")
    page.goto("/")
    expect(main).to_contain_text("What changed rules moved")
    expect(main).to_contain_text(f"setting {EVERY}: as it comes to 0.5")
    expect(main).to_contain_text("fit to not looked at: M1-01")

    sets(page, "3", "no sand any more")
    page.goto("/")
    expect(main).to_contain_text(f"setting {EVERY}: 0.5 to 3")
    expect(main).to_contain_text("not looked at, kept (the rule alone would say fit): M1-01, M1-02")
    page.get_by_role("link", name="Changed rules").first.click()
    page.wait_for_url("**/moved")
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate(WIDE) <= 0, width
    headings = page.locator("h1, h2").all_text_contents()
    assert len(headings) == len(set(headings))

    page.get_by_role("button", name="Seen").click()
    expect(page.get_by_role("button", name="Seen")).to_have_count(0)
    expect(main.locator(".moved").first).to_contain_text("M1-01")  # seen is not released
    page.get_by_role("link", name="Give a standing").click()
    page.wait_for_url("**/enter/standing")
    page.locator('[name="v.things"]').fill("M1-02")
    page.locator('[name="v.standing"]').select_option("fit")
    page.locator('[name="v.why"]').fill("looked at again today")
    page.get_by_role("button", name="Enter").click()
    page.wait_for_url("**/entry/*")
    page.goto("/moved")
    expect(main.locator(".moved").first).to_contain_text("M1-01")
    expect(main.locator(".moved").first).not_to_contain_text("M1-02")
    page.goto("/thing/M1-02")
    expect(main).to_contain_text("fit")
    page.goto("/")
    expect(main).not_to_contain_text("What changed rules moved")
