"""Two devices on one rod in a browser, on- and off-line: who is on, two values, one pick."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect
from served import served
from signal_gate import Signal, signal_to

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "unit" / "rig_day"))

from rig_day_book import BORE, RIG, tell

from rodhand.book.rig.two_press import two_devices_of
from rodhand.record.journal import Journal

pytestmark = pytest.mark.browser
SIZE = {"width": 768, "height": 1024}
BEGUN = len((*RIG, *BORE))


@pytest.fixture
def book(tmp_path: Path) -> Path:
    tell(tmp_path / "book", (*RIG, *BORE))
    return tmp_path / "book"


@pytest.fixture
def address(book: Path) -> Iterator[str]:
    with served(book) as found:
        yield found


@pytest.fixture
def signal(address: str) -> Iterator[Signal]:
    """One device's own way to the pages."""
    with signal_to(address) as found:
        yield found


def device(browser: Browser, address: str, name: str, part: str) -> tuple[BrowserContext, Page]:
    """A tablet on which one person is on, with this rod open."""
    context = browser.new_context(base_url=address, viewport=SIZE, has_touch=True)
    page = context.new_page()
    page.goto("/rig-on")
    page.get_by_label("Name").fill(name)
    page.get_by_role("button", name=f"On as {part}").tap()
    expect(page.locator("#who-on .who-told")).to_have_text(f"On: {name} ({part})")
    page.goto("/rig-rod/Rig-40")
    mode(page, "Saved in the book")
    return context, page


def mode(page: Page, text: str) -> None:
    expect(page.locator("#mode")).to_contain_text(text)


def read(page: Page, pitch: str) -> None:
    page.locator("#pitch").fill(pitch)
    page.get_by_role("button", name="Keep this pitch").tap()


def entries(book: Path) -> list[tuple[str, str, str]]:
    """Kind, who and pitch of what was pressed."""
    with Journal.open(book, write=False) as journal:
        return [(e.kind, e.by, e.payload.get("pitch_pct", "")) for e in journal.entries()][BEGUN:]


def test_two_devices_read_one_rod_and_one_touch_picks(
    browser: Browser, book: Path, address: str, signal: Signal
) -> None:
    tablet, one = device(browser, address, "Ann", "driller")
    phone, other = device(browser, signal.address, "Ben", "locator hand")
    signal.cut(phone)
    read(one, "-2")
    one.wait_for_url("**kept=8**")
    read(other, "-4")
    mode(other, "1 waiting")
    signal.back(phone)
    mode(other, "Saved in the book")
    other.goto("/rig-rod/Rig-40")
    twice = other.locator("#two-devices section")
    expect(twice.get_by_role("heading", name="Rod 8")).to_be_visible()
    expect(twice.locator(".side").filter(has_text="pitch -4")).to_contain_text("Ben (locator hand)")
    expect(twice.locator(".side").filter(has_text="pitch -4")).to_contain_text("this device")
    ann = twice.locator(".side").filter(has_text="pitch -2")
    expect(ann).not_to_contain_text("this device")
    ann.get_by_role("button", name="This one counts").tap()
    other.wait_for_url("**bore=B1**")
    expect(other.locator("#two-devices")).to_contain_text("Picked and put right")
    one.goto("/rig-rod/Rig-40")
    one.get_by_text("Picked and put right").tap()
    expect(one.locator("#two-devices")).to_contain_text("Picked by Ben (locator hand)")
    one.get_by_role("button", name="Take the pick back").tap()
    expect(one.get_by_role("heading", name="Two values for one rod")).to_be_visible()
    assert entries(book) == [
        ("reading", "Ann (driller)", "-2"), ("reading", "Ben (locator hand)", "-4"),
        ("pick", "Ben (locator hand)", ""), ("strike", "Ann (driller)", ""),
    ]  # fmt: skip
    tablet.close()
    phone.close()


def test_a_pick_without_a_signal_is_kept_and_sent(
    browser: Browser, book: Path, signal: Signal
) -> None:
    for pitch in ("-2", "-4"):
        tell(book, [("reading", {"bore": "B1", "station": "8", "pitch_pct": pitch})])
    context, page = device(browser, signal.address, "Ann", "driller")
    signal.cut(context)
    page.locator(".side").filter(has_text="pitch -4").get_by_role("button").tap()
    expect(page.locator("#press-told")).to_contain_text("Kept on this device")
    mode(page, "1 waiting")
    assert len(two_devices_of(book, "B1").open) == 1
    signal.back(context)
    mode(page, "Saved in the book")
    (rod,) = two_devices_of(book, "B1").settled
    assert [s.state for s in rod.sides if s.typed[0][1] == "-4"] == ["picked"]
    assert rod.picks[0].by == "Ann (driller)"
    context.close()


def test_who_is_on_is_handed_over_in_one_touch_and_goes_into_a_look(
    browser: Browser, book: Path, address: str
) -> None:
    context, page = device(browser, address, "Ann", "driller")
    page.get_by_role("link", name="On: Ann").tap()
    page.get_by_label("Name").fill("Ben, the (new) one")
    page.get_by_role("button", name="On as locator hand").tap()
    told = page.locator("#who-on .who-told")
    expect(told).to_have_text("On: Ann (driller), Ben the new one (locator hand)")
    page.get_by_label("Name").fill("Cy")
    page.get_by_role("button", name="On as driller").tap()
    expect(told).to_have_text("On: Ben the new one (locator hand), Cy (driller)")
    page.get_by_role("button", name="Hand over to Ann (driller)").tap()
    expect(told).to_have_text("On: Ben the new one (locator hand), Ann (driller)")
    page.goto("/check/M-12")
    expect(page.locator('input[name="by"]').first).to_have_value(
        "Ben the new one (locator hand), Ann (driller)"
    )
    page.evaluate("""() => localStorage.setItem('rodhand-on', JSON.stringify(
      {people: [{name: 'Ann', part: 'driller'}], since: Date.now() - 17 * 3600 * 1000}))""")
    page.goto("/check/M-12")
    expect(page.locator('input[name="by"]').first).to_have_value("")
    page.goto("/rig-rod/Rig-40")
    expect(told).to_contain_text("Still on?")
    page.get_by_role("button", name="Español").tap()
    expect(told).to_have_text("Ann (perforador): de turno hace mucho. ¿Sigue de turno?")
    page.get_by_role("button", name="Sigue de turno").tap()
    expect(told).to_have_text("De turno: Ann (perforador)")
    context.close()


def test_a_device_reads_that_it_is_one_rod_behind_and_one_touch_mends_it(
    browser: Browser, book: Path, address: str
) -> None:
    """The tablet missed rod 10; the phone did not."""
    pitches = [-12, -8, -10, -3, -7, -1, -4, 4, -2, 3]
    (tablet, one), (phone, other) = (
        device(browser, address, *who) for who in (("Ann", "driller"), ("Ben", "locator hand"))
    )
    for page, read_here in ((one, [*pitches[:2], *pitches[3:]]), (other, pitches)):
        page.evaluate(
            """async rows => { for (const row of rows) await window.outbox.add('reading', row);
            await window.outbox.send(); }""",
            [
                {"bore": "B1", "station": str(n), "pitch_pct": str(pitch)}
                for n, pitch in enumerate(read_here, 8)
            ],
        )
        mode(page, "Saved in the book")
    for page, text in ((one, "is one rod behind device"), (other, "is one rod ahead of device")):
        page.goto("/rig-rod/Rig-40")
        expect(page.locator("#two-devices .told:visible")).to_contain_text(f"This device {text}")
    one.get_by_role("button", name="on, to begin at").tap()
    one.wait_for_url("**bore=B1**")
    expect(one.locator("#two-devices .told:visible")).to_have_count(0)
    view = two_devices_of(book, "B1")
    assert (view.open, view.out, view.confirmed.value) == ((), (), 9.0)
    one.get_by_text("Picked and put right").tap()
    one.get_by_role("button", name="Undo this move").tap()
    expect(one.locator("#two-devices .told:visible")).to_contain_text(
        "This device is one rod behind"
    )
    tablet.close()
    phone.close()
