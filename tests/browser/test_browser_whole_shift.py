"""One whole shift in a real browser: a tablet that loses its signal and is killed, and a phone.

The book is checked against a list of what the hands did, kept here beside each touch; nothing of
it is asked of the pages.
"""

from __future__ import annotations

import os
import signal as signals
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect
from served import served
from signal_gate import Signal, signal_to

from conftest import SWITCHES, find_browser

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "unit" / "rig_day"))

from rig_day_book import BORE, RIG, tell

from rodhand.record.journal import Journal

pytestmark = pytest.mark.browser
READ_BEFORE = 2
BEGUN = len(RIG) + 1 + READ_BEFORE
TABLET, PHONE = {"width": 768, "height": 1024}, {"width": 360, "height": 740}
ANN, BEN = "Ann (driller)", "Ben (locator hand)"
PATIENCE = 30_000
"""For any one step. [ms]"""
BEFORE = {
    "Rods on bearers, off the ground": "Done",
    "Saver sub gauged: thread and shoulder": "Done",
    "Jaws clean, teeth sharp, on the thick joint": "Not done",
    "Gauge at rest, its table at hand": "Not looked at",
}
AT_THE_END = ("Washed down with clean water", "Saver sub gauged, wiped, capped", "Jaws washed out")
"""Lines of the two lists that somebody touches; of the others nobody says anything."""

Entry = tuple[str, str, dict[str, str]]
"""Kind, who, and the columns that matter here."""
COLUMNS = {
    "shift-check": ("shift", "state"), "makeup": ("compound_on",),
    "reading": ("bore", "station", "pitch_pct", "signs"), "event": ("what", "station"),
    "strike": (), "pick": (), "pass": ("bore", "pass", "tool", "from_station", "to_station"),
    "standing": ("things", "standing", "why"), "load": ("rig", "things"),
}  # fmt: skip


def in_book(folder: Path) -> list[Entry]:
    """What was entered since the shift began."""
    with Journal.open(folder, write=False) as journal:
        entries = [*journal.entries()][BEGUN:]
    return [
        (each.kind, each.by, {name: each.payload[name] for name in COLUMNS[each.kind]
                              if name in each.payload})
        for each in entries
    ]  # fmt: skip


class Hand:
    """Somebody with a device; says nothing was done until the page shows that it was."""

    def __init__(self, page: Page) -> None:
        self.page = page
        page.set_default_timeout(PATIENCE)

    def open(self, path: str) -> None:
        self.page.goto(path)

    def shows(self, selector: str, text: str) -> None:
        expect(self.page.locator(selector).first).to_contain_text(text, timeout=PATIENCE)
        self.page.wait_for_load_state("domcontentloaded")  # its scripts take touches

    def touch(self, name: str, role: str = "button") -> None:
        self.page.get_by_role(role, name=name, exact=True).first.tap()  # type: ignore[arg-type]

    def keys(self, *names: str) -> None:
        for name in names:
            kind = "data-step" if name[0] in "+-" else "data-key"
            self.page.locator(f'.keypad [{kind}="{name}"]').tap()

    def keep(self, how: str, then: int) -> None:
        """Keep a row, on a phone by two touches; the next rod comes, signal or not."""
        button = self.page.locator(f'.keeps [value="{how}"]')
        button.tap()
        if self.page.viewport_size == PHONE:
            expect(self.page.locator("[data-once]")).to_be_visible(timeout=PATIENCE)
            button.tap()
        self.at_rod(then)

    def at_rod(self, station: int) -> None:
        self.shows("h1", f"Rod {station} of B1")

    def take_back(self, then: int) -> None:
        """One touch; the button stands with the row, in the book's words or this device's."""
        self.page.locator(".take-back button:visible, #press-told button:visible").first.tap()
        self.at_rod(then)

    def comes_on(self, name: str, part: str) -> None:
        self.open("/rig-on")
        self.page.get_by_label("Name").fill(name)
        self.touch(f"On as {part}")
        self.shows("#who-on .who-told", f"On: {name} ({part})")

    def check(self, line: str, state: str) -> None:
        row = self.page.get_by_role("listitem").filter(has_text=line)
        button = row.get_by_role("button", name=state, exact=True)
        button.tap()
        expect(button).to_have_attribute("aria-pressed", "true", timeout=PATIENCE)
        self.page.wait_for_load_state("domcontentloaded")


@contextmanager
def browser_of(browser: Browser, disk: Path, address: str) -> Iterator[BrowserContext]:
    """The tablet's own browser; killed at the end, not closed."""
    context = browser.browser_type.launch_persistent_context(
        disk, executable_path=find_browser(), args=SWITCHES, base_url=address, viewport=TABLET,
        has_touch=True, service_workers="allow",
    )  # fmt: skip
    yield context
    with context.expect_event("close", timeout=PATIENCE):
        kill(disk)


def kill(disk: Path) -> None:
    """Kill the one browser whose profile lies in a folder, as a dead battery would."""
    for process in Path("/proc").glob("[0-9]*"):
        try:
            said = (process / "cmdline").read_bytes().decode(errors="replace").split("\0")
        except OSError:
            continue  # it ended meanwhile
        if f"--user-data-dir={disk}" in said and not any("--type=" in each for each in said):
            os.kill(int(process.name), signals.SIGKILL)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    tell(tmp_path / "book", (*RIG, *BORE[: 1 + READ_BEFORE]))
    return tmp_path / "book"


@pytest.fixture
def behind(book: Path) -> Iterator[str]:
    with served(book) as address:
        yield address


@pytest.fixture
def way(behind: str) -> Iterator[Signal]:
    with signal_to(behind) as found:
        yield found


def reading(station: int, pitch: str = "", by: str = ANN, signs: str = "") -> Entry:
    columns = {"bore": "B1", "station": str(station), "pitch_pct": pitch, "signs": signs}
    return ("reading", by, {name: text for name, text in columns.items() if text})


def before_work(hand: Hand) -> list[Entry]:
    """Who is on, every line but one done, the make-up looked at and the compound told."""
    hand.comes_on("Ann", "driller")
    hand.open("/rig-day/Rig-40")
    hand.shows("#shell", "open without a signal")
    hand.touch("Checks before work", "link")
    hand.shows("h1", "Before work")
    did: list[Entry] = []
    for line, state in BEFORE.items():
        hand.check(line, state)
        did.append(("shift-check", ANN, {"shift": "before work", "state": state.lower()}))
    hand.open("/rig-makeup/Rig-40")
    hand.shows("main", "4,200")  # the maker's figure, as entered
    yes = hand.page.locator('[name="compound_on"][value="yes"]')
    yes.tap()
    expect(yes).to_have_attribute("aria-pressed", "true", timeout=PATIENCE)
    return [*did, ("makeup", ANN, {"compound_on": "yes"})]


def rods_with_a_signal(hand: Hand) -> list[Entry]:
    hand.open("/rig-rod/Rig-40")
    hand.at_rod(3)
    hand.keys("+1")  # from -8
    hand.keep("read", then=4)
    hand.keep("same", then=5)
    hand.keep("not read", then=6)
    hand.keys("6", "2", "sign")  # the point was missed
    hand.keep("read", then=7)
    hand.take_back(then=6)
    hand.keys("6", ".", "2", "sign")
    hand.keep("read", then=7)
    hand.page.locator('[data-count="1"]').tap()  # rod 7 went in and nobody wrote it down
    hand.keys("5", "sign")
    hand.keep("read", then=9)
    return [
        reading(3, "-7.0"), reading(4, "-7.0", signs='pitch_pct "'), reading(5),
        reading(6, "-62"), ("strike", ANN, {}), reading(6, "-6.2"), reading(8, "-5"),
    ]  # fmt: skip


def rods_without_a_signal(hand: Hand) -> list[Entry]:
    """The page of this rod stays open while the signal goes; then events, from the copies."""
    hand.keys("4", ".", "2", "sign")
    hand.keep("read", then=10)
    hand.shows("#press-told", "Kept on this device")
    hand.shows("#mode", "No signal: kept on this device, 1 waiting")
    hand.keep("same", then=11)
    hand.keep("not read", then=12)
    hand.take_back(then=11)
    hand.keys("3", ".", "5", "sign")
    hand.keep("read", then=12)
    # By hand: 10 ft / 145 ft = 0.06897 rad, less 0.005855 of reading error, is 0.06311 about
    # atan(-0.035) = -0.03499: tan(-0.09810) = -9.8 %, tan(0.02813) = 2.8 %.
    hand.shows("#here-from", "-9.8")
    hand.shows("#here-to", "2.8")
    hand.open("/rig-day/Rig-40")
    hand.shows("#mode", "This page is as of")
    hand.touch("Torque spike")
    hand.shows("#press-told", "Look at both members of each joint")
    hand.touch("Jerk")
    hand.shows("#press-told", "Measure pin stretch")
    hand.touch("Pressed by mistake: take back")
    hand.shows("#press-told", "Taken back")
    hand.shows("#mode", "8 waiting")
    return [
        reading(9, "-4.2"), reading(10, "-4.2", signs='pitch_pct "'), reading(11),
        ("strike", ANN, {}), reading(11, "-3.5"),
        ("event", ANN, {"what": "torque spike", "station": "11"}),
        ("event", ANN, {"what": "jerk", "station": "11"}), ("strike", ANN, {}),
    ]  # fmt: skip


def other_value_on_the_phone(phone: Hand) -> list[Entry]:
    """It has a signal and knows of rod 8; rod 9 read at +4 bends by 0.0899 rad over 10 ft.

    By hand: atan(0.04) - atan(-0.05) = 0.0899, a radius of 111 ft, under the limit of 145 ft.
    """
    phone.comes_on("Ben", "locator hand")
    phone.open("/rig-rod/Rig-40")
    phone.at_rod(9)
    phone.keys("4")
    phone.keep("read", then=10)
    phone.shows("#over-told", "Rod 9")
    phone.shows("#over-told", "radius 111\u00a0ft")
    return [reading(9, "4", by=BEN)]


def pick_after_return(hand: Hand, phone: Hand, book: Path) -> list[Entry]:
    """Both values stay until somebody picks; the one picked bends nothing past its limit."""
    twice = phone.page.locator("#two-devices section").filter(has_text="Rod 9")
    phone.open("/rig-rod/Rig-40")
    for pitch, who in (("pitch -4.2", ANN), ("pitch 4", BEN)):
        side = twice.locator(".side").filter(has_text=pitch)
        expect(side).to_contain_text(who, timeout=PATIENCE)
    assert [each for each in in_book(book) if each[0] == "pick"] == []
    hand.open("/rig-rod/Rig-40")
    mine = hand.page.locator("#two-devices section").filter(has_text="Rod 9").locator(".side")
    mine.filter(has_text="pitch -4.2").get_by_role("button").tap()
    hand.shows("#two-devices", "Picked and put right")
    expect(hand.page.locator("#over-told")).to_have_count(0)
    return [("pick", ANN, {})]


def pullback(hand: Hand) -> list[Entry]:
    hand.open("/rig-pullback/Rig-40")
    hand.touch("Start behind RM-8")
    hand.shows("main", "under way behind RM-8")
    hand.touch("galled", "radio")
    hand.touch("M-03")
    hand.shows(".rod-aside", "M-03")
    hand.touch("All out: end the pullback")
    hand.shows("main", "Pullback ended.")
    second = hand.page.locator(".rods-lie").nth(0)
    expect(second.locator("li").nth(2)).to_contain_text("M-04")  # moved up into M-03's place
    hand.touch("The box lies so: enter it")
    hand.page.wait_for_url("**/load/Rig-40?done=*", timeout=PATIENCE)
    why = "galled, seen at the pullback of B1"
    left = ", ".join(f"M-{n:02}" for n in range(1, 13) if n != 3)
    of_bore = {"bore": "B1", "pass": "pullback"}
    return [
        ("pass", ANN, {**of_bore, "tool": "RM-8"}),
        ("standing", ANN, {"things": "M-03", "standing": "set aside", "why": why}),
        ("pass", ANN, {**of_bore, "from_station": "12", "to_station": "0"}),
        ("load", ANN, {"rig": "Rig-40", "things": left}),
    ]


def end_of_work(hand: Hand) -> list[Entry]:
    hand.open("/rig-checks/end/Rig-40")
    for line in AT_THE_END:
        hand.check(line, "Done")
    return [("shift-check", ANN, {"shift": "end of work", "state": "done"})] * len(AT_THE_END)


def test_a_whole_shift(
    browser: Browser, tmp_path: Path, book: Path, behind: str, way: Signal
) -> None:
    did: list[Entry] = []
    disk = tmp_path / "tablet"
    with browser_of(browser, disk, way.address) as tablet:
        us_units(tablet, way.address)
        hand = Hand(tablet.new_page())
        did += before_work(hand)
        did += rods_with_a_signal(hand)
        assert in_book(book) == did
        way.cut()
        on_tablet = rods_without_a_signal(hand)
    context = browser.new_context(base_url=behind, viewport=PHONE, has_touch=True)
    us_units(context, behind)
    phone = Hand(context.new_page())
    did += other_value_on_the_phone(phone)
    assert in_book(book) == did  # nothing of the tablet's is in the book yet
    with browser_of(browser, disk, way.address) as tablet:
        hand = Hand(tablet.new_page())
        hand.open("/rig-rod/Rig-40")
        hand.at_rod(12)
        hand.shows("#mode", "8 waiting")
        hand.keys("+1")  # from -3.5
        hand.keep("read", then=13)
        did += [*on_tablet, reading(12, "-2.5")]
        way.back()
        hand.open("/rig-day/Rig-40")
        hand.shows("#mode", "Saved in the book")
        assert in_book(book) == did  # each once, in the order it was pressed
        did += pick_after_return(hand, phone, book)
        did += pullback(hand)
        did += end_of_work(hand)
        assert in_book(book) == did
        hand.open("/")
        hand.shows("main", "Not done: Jaws clean, teeth sharp, on the thick joint")
        hand.shows("main", "Not looked at: Gauge at rest, its table at hand")
        hand.shows("main", "Torque spike at B1, 11 rods in the hole")
        expect(hand.page.get_by_text("Jerk on the string")).to_have_count(0)
    context.close()


def us_units(context: BrowserContext, address: str) -> None:
    context.add_cookies([{"name": "units", "value": "us", "url": address}])
