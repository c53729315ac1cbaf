"""Checking one rod on a phone: counted touches, a fault, a refused reading, a photo."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from served import served

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "unit" / "rig_day"))

from rig_day_book import RIG, kept, tell

pytestmark = pytest.mark.browser
MOST_TOUCHES = 18
PICTURE = b"\x89PNG\r\n\x1a\n a picture"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    tell(tmp_path / "book", RIG)
    return tmp_path / "book"


@pytest.fixture
def page(browser: Browser, book: Path) -> Iterator[Page]:
    with served(book) as address:
        context = browser.new_context(
            base_url=address, viewport={"width": 360, "height": 740}, has_touch=True
        )
        opened = context.new_page()
        yield opened
        context.close()


def test_one_sound_rod_in_few_touches(page: Page, book: Path) -> None:
    """From the yard: the rod, fifteen items, keep; then the next rod stands ready."""
    page.goto("/yard")
    page.get_by_role("link", name="Check M-01").tap()
    page.wait_for_url("**/check/**")
    touches = 1
    sound = page.locator(".touch-sound").filter(has_not_text="Gauge seats")
    assert page.locator("input:checked").count() == 0
    for number in range(sound.count()):
        box = sound.nth(number).bounding_box()
        assert box is not None
        assert box["height"] >= 56.0  # a gloved finger
        sound.nth(number).tap()
        touches += 1
    page.get_by_role("button", name="Keep this rod").tap()
    touches += 1
    page.wait_for_url("**/verdict/**")
    print(f"touches for one sound rod: {touches}")
    assert touches <= MOST_TOUCHES
    assert [payload["item"] for _, payload in kept(book)[-16:]][-1] == "full-look"
    expect(page.get_by_role("link", name="Next: M-02")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 360


def test_a_fault_a_wrong_number_and_a_photo(page: Page, book: Path) -> None:
    page.goto("/check/M-02")
    threads = page.locator("[id='thread-form.pin']")
    threads.get_by_text("Sharp or peaked").tap()
    joint = page.locator("[id='joint-od.pin']")
    joint.get_by_text("Measure").tap()
    joint.get_by_label("One way").fill("6.9")
    page.get_by_role("button", name="Keep this rod").tap()
    expect(page.get_by_role("alert")).to_contain_text("a joint diameter above")
    assert len(kept(book, len(RIG))) == 0
    expect(threads.get_by_label("Sharp or peaked")).to_be_checked()
    joint.get_by_label("One way").fill("69")
    pin = page.locator("#pin")
    pin.get_by_text("Photo", exact=True).tap()
    pin.locator("input[type=file]").set_input_files(
        {"name": "p.png", "mimeType": "image/png", "buffer": PICTURE}
    )
    pin.get_by_text("A rule or tape").tap()
    page.get_by_role("button", name="Keep this rod").tap()
    page.wait_for_url("**/verdict/M-02?of=*")
    expect(page.locator("#pin").get_by_text("File the peaked crowns")).to_be_visible()
    expect(page.get_by_role("status")).to_contain_text("error of the gauge is not given")
    assert [kind for kind, _ in kept(book, len(RIG))] == ["check", "check", "photo"]
