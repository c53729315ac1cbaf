"""No signal in a browser at tablet size: reload, kill and return, lost replies, two devices."""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect
from served import served

from conftest import SWITCHES, find_browser

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "unit" / "rig_day"))

from rig_day_book import BORE, RIG, kept, tell

pytestmark = pytest.mark.browser
BEGUN = len((*RIG, *BORE))
SIZE = {"width": 768, "height": 1024}


@pytest.fixture
def book(tmp_path: Path) -> Path:
    tell(tmp_path / "book", (*RIG, *BORE))
    return tmp_path / "book"


@pytest.fixture
def address(book: Path) -> Iterator[str]:
    with served(book) as found:
        yield found


@contextmanager
def tablet(browser: Browser, disk: Path, address: str) -> Iterator[BrowserContext]:
    """A browser with a disk of its own; what it kept is there when it is started again."""
    context = browser.browser_type.launch_persistent_context(
        disk, executable_path=find_browser(), args=SWITCHES, base_url=address, viewport=SIZE,
        has_touch=True, service_workers="allow",
    )  # fmt: skip
    context.set_default_timeout(20_000)
    yield context
    context.close()


def mode(page: Page, text: str) -> None:
    expect(page.locator("#mode")).to_contain_text(text, timeout=15_000)


def shell_kept(page: Page) -> None:
    page.goto("/rig-day/Rig-40")
    expect(page.locator("#shell")).to_contain_text("open without a signal", timeout=20_000)


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).first.tap()


def told(page: Page, text: str) -> None:
    expect(page.locator("#press-told")).to_contain_text(text)


def test_a_shift_without_a_signal_survives_reload_and_kill(
    browser: Browser, tmp_path: Path, book: Path, address: str
) -> None:
    disk = tmp_path / "tablet"
    with tablet(browser, disk, address) as context:
        page = context.new_page()
        shell_kept(page)
        context.set_offline(True)
        page.goto("/rig-checks/before/Rig-40")
        press(page, "Done")
        mode(page, "No signal: kept on this device, 1 waiting")
        page.goto("/rig-day/Rig-40")
        mode(page, "This page is as of")
        press(page, "Weep at a joint")
        told(page, "Kept on this device")
        page.reload()
        mode(page, "2 waiting")
        press(page, "Jerk")
        told(page, "Kept on this device")
        page.locator("#press-told").get_by_role("button").tap()
        told(page, "Taken back")
        press(page, "Español")  # the copies speak both languages
        mode(page, "Sin señal: guardado en este aparato, 4 en espera")
        page.goto("/office")  # no copy of this one: what is kept is shown instead
        expect(page.get_by_role("heading", name="Guardado en este aparato")).to_be_visible()
    assert kept(book, BEGUN) == []
    with tablet(browser, disk, address) as context:
        context.set_offline(True)
        page = context.new_page()
        page.goto("/rig-day/Rig-40")
        mode(page, "4 en espera")
        context.set_offline(False)
        mode(page, "Guardado en el libro")
        page.reload()
        expect(page.locator("html")).to_have_attribute("lang", "es")
    assert [kind for kind, _ in kept(book, BEGUN)] == ["shift-check", "event", "event", "strike"]


def test_lost_replies_and_a_second_touch_make_no_second_entry(
    browser: Browser, book: Path, address: str
) -> None:
    context = browser.new_context(base_url=address, viewport=SIZE, has_touch=True)
    page = context.new_page()
    losses = 2

    def lose(route: Route) -> None:
        nonlocal losses
        has_entries = json.loads(route.request.post_data or "{}").get("entries")
        if has_entries and losses:
            losses -= 1
            route.fetch()  # the book has it
            route.abort()  # the device never hears
        else:
            route.continue_()

    context.route("**/outbox", lose)
    page.goto("/rig-day/Rig-40")
    mode(page, "Saved in the book")
    press(page, "Weep at a joint")
    told(page, "Kept on this device")
    page.reload()
    mode(page, "Saved in the book")
    assert losses == 0
    assert [payload["what"] for _, payload in kept(book, BEGUN)] == ["weep"]
    context.close()


def test_two_devices_with_no_signal_bring_each_entry_once(
    browser: Browser, book: Path, address: str
) -> None:
    devices = [browser.new_context(base_url=address, viewport=SIZE, has_touch=True) for _ in "12"]
    pages = [device.new_page() for device in devices]
    for page, device in zip(pages, devices, strict=True):
        page.goto("/rig-day/Rig-40")
        mode(page, "Saved in the book")
        device.set_offline(True)
    for page in pages:
        for number, name in enumerate(("Weep at a joint", "Jerk", "Torque spike"), 1):
            press(page, name)
            mode(page, f"{number} waiting")
    for device in devices:
        device.set_offline(False)
    for page in pages:
        mode(page, "Saved in the book")
    found = Counter(payload["what"] for _, payload in kept(book, BEGUN))
    assert found == {"weep": 2, "jerk": 2, "torque spike": 2}
    for device in devices:
        device.close()


def test_what_the_book_refuses_stays_with_what_to_do(
    browser: Browser, tmp_path: Path, book: Path, address: str
) -> None:
    context = browser.new_context(
        base_url=address, viewport=SIZE, has_touch=True, accept_downloads=True
    )
    page = context.new_page()
    page.goto("/rig-outbox")
    mode(page, "Saved in the book")
    page.evaluate("""() => Promise.all([
      window.outbox.add('reading', {bore: 'B9', station: '1', pitch_pct: '2'}),
      window.outbox.add('reading', {bore: 'B1', station: '8', pitch_pct: '-2'})])""")
    page.evaluate("() => window.outbox.send()")
    mode(page, "The book refused 1")
    entry = page.locator("#outbox-list li")
    expect(entry).to_contain_text("B9")
    expect(entry).to_contain_text("refused by the book")
    with page.expect_download() as download:
        press(page, "Save as a file")
    file = tmp_path / "outbox.json"
    download.value.save_as(file)
    assert [each["payload"]["bore"] for each in json.loads(file.read_text())["entries"]] == ["B9"]
    tell(book, [("bore", {"bore": "B9", "rig": "Rig-40"})])
    page.locator("#file").set_input_files(file)
    press(page, "Take it into the book")
    page.wait_for_url("**taken=1&known=0")
    press(page, "Try again")
    expect(page.get_by_text("Nothing waits on this device")).to_be_visible()
    kinds = [payload.get("bore") for kind, payload in kept(book, BEGUN) if kind == "reading"]
    assert kinds == ["B1", "B9"]
    context.close()
