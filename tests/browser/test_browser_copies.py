"""Copies by hand: one touch, a newer book left alone, damage brought back, a new device."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from served import served

from book_builder import YARD, entries_of
from rodhand.record.database import FILE_NAME
from rodhand.record.entry import Entry
from rodhand.record.journal import Journal

pytestmark = pytest.mark.browser
WIDTHS = (360, 768, 1280)
WIDE = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"


@contextmanager
def opened(browser: Browser, folder: Path) -> Iterator[Page]:
    with served(folder) as address:
        context = browser.new_context(base_url=address, viewport={"width": 1280, "height": 900})
        page = context.new_page()
        yield page
        context.close()


def fits(page: Page) -> None:
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate(WIDE) <= 0, (page.url, width)


def writes(page: Page, text: str) -> None:
    """A remark, typed on its page."""
    page.goto("/enter/remark")
    page.locator('[name="v.text"]').fill(text)
    page.get_by_role("button", name="Enter").click()
    page.wait_for_url("**/entry/*")


def entries_in(folder: Path) -> tuple[Entry, ...]:
    with Journal.open(folder, write=False) as journal:
        return tuple(journal.entries())


@pytest.fixture
def book(tmp_path: Path) -> Path:
    with Journal.open(tmp_path / "book") as journal:
        journal.append(entries_of(YARD))
    return tmp_path / "book"


@pytest.fixture
def stick(tmp_path: Path) -> Path:
    (tmp_path / "stick").mkdir()
    return tmp_path / "stick"


def test_one_touch_then_a_newer_book_is_left_alone(
    browser: Browser, book: Path, stick: Path
) -> None:
    with opened(browser, book) as page:
        main = page.locator("main")
        page.goto("/")
        expect(main).to_contain_text("No copy of this book is known")
        page.goto("/copies")
        page.get_by_label("Folder or stick").fill(str(stick))
        page.get_by_role("button", name="Copy here").click()
        expect(page.get_by_role("status")).to_contain_text("found whole")
        page.goto("/")
        page.get_by_role("button", name="Copy now").click()  # the one touch
        expect(page.get_by_role("status")).to_contain_text("found whole")
        assert len(list(stick.glob("*.zip"))) == 2
        fits(page)
        page.goto("/")
        expect(main).to_contain_text(re.compile("last backup\\s+0\\s+days"))
        expect(main).not_to_contain_text("No copy of this book is known")

        writes(page, "the copy lacks this")
        page.goto("/copies")
        page.get_by_role("link", name="Compare").first.click()
        page.wait_for_url("**/copies/compare?copy=*")
        expect(main).to_contain_text("The book holds all of the copy and more")
        expect(main.get_by_role("row", name="Remark")).to_contain_text("1")
        expect(page.get_by_role("button", name="Bring")).to_have_count(0)
        fits(page)


def test_a_damaged_book_is_brought_back_and_the_other_device_sends_again(
    browser: Browser, book: Path, stick: Path, tmp_path: Path
) -> None:
    shutil.copytree(book, tmp_path / "tablet")
    outbox = tmp_path / "outbox.jsonl"
    with opened(browser, book) as page:
        main = page.locator("main")
        page.goto("/copies")
        page.get_by_label("Folder or stick").fill(str(stick))
        page.get_by_role("button", name="Copy here").click()
        expect(page.get_by_role("status")).to_contain_text("found whole")
        with Journal.open(tmp_path / "tablet") as journal:
            sent = journal.write("remark", {"text": "typed at the rig"})
        outbox.write_text(f"{sent.as_json()}\n", encoding="utf-8")
        page.set_input_files("#file", outbox)
        page.get_by_role("button", name="Take them in").click()
        expect(page.get_by_role("status")).to_contain_text("1 new of 1")
        acknowledged = {entry.id: entry.hash for entry in entries_in(book)}

        file = book / FILE_NAME
        content = file.read_bytes()
        at = content.rindex(b"typed at the rig")
        file.write_bytes(content[:at] + b"T" + content[at + 1 :])
        page.goto("/")
        expect(main).to_contain_text("The book's file is damaged")
        page.goto("/copies")
        expect(page.get_by_role("alert")).to_contain_text("Bring the last copy back")
        page.get_by_role("link", name="Compare").first.click()
        page.wait_for_url("**/copies/compare?copy=*")
        fits(page)
        page.get_by_role("button", name="Bring this copy back").click()
        expect(main).to_contain_text("The damaged file is kept as")
        fits(page)
        page.goto("/copies")
        page.set_input_files("#file", outbox)
        page.get_by_role("button", name="Take them in").click()
        expect(page.get_by_role("status")).to_contain_text("1 new of 1")
    assert {entry.id: entry.hash for entry in entries_in(book)} == acknowledged


def test_a_copy_opened_elsewhere_writes_as_a_new_device(
    browser: Browser, book: Path, tmp_path: Path
) -> None:
    with opened(browser, book) as page:
        writes(page, "here")
    shutil.copytree(book, tmp_path / "elsewhere")
    with opened(browser, tmp_path / "elsewhere") as page:
        writes(page, "there")
    with opened(browser, book) as page:
        writes(page, "here again")
    here, there = entries_in(book), entries_in(tmp_path / "elsewhere")
    assert here[-1].device == here[-2].device
    assert there[-1].device not in {entry.device for entry in here}
    assert (there[-1].counter, there[-1].previous) == (1, "")
