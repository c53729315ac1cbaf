"""A day at the rig in a real browser at tablet size: checks, events, a strike, the pullback."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from served import served
from signal_gate import Signal, signal_to

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "unit" / "rig_day"))

from rig_day_book import BORE, RIG, kept, tell

pytestmark = pytest.mark.browser
BEGUN = len((*RIG, *BORE)) + 1


@pytest.fixture
def book(tmp_path: Path) -> Path:
    words = {"rig": "Rig-40", "what": "gas", "words": "Walk upwind.", "telephone": "555 0100"}
    tell(tmp_path / "book", (*RIG, *BORE, ("emergency", words)))
    return tmp_path / "book"


@pytest.fixture
def signal(book: Path) -> Iterator[Signal]:
    with served(book) as address, signal_to(address) as found:
        yield found


@pytest.fixture
def page(browser: Browser, signal: Signal) -> Iterator[Page]:
    context = browser.new_context(
        base_url=signal.address, viewport={"width": 768, "height": 1024}, has_touch=True
    )
    opened = context.new_page()
    yield opened
    context.close()


class Hand:
    """Touches what it is told to, and counts."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.touches = 0

    def touch(self, text: str, role: str = "button") -> None:
        self.page.get_by_role(role, name=text, exact=True).first.tap()  # type: ignore[arg-type]
        self.touches += 1


def test_a_day_at_the_rig(page: Page, book: Path) -> None:
    page.goto("/rig-day/Rig-40")
    hand = Hand(page)

    hand.touch("Checks before work", "link")
    lines = page.get_by_role("listitem")
    lines.filter(has_text="Jaws clean").get_by_role("button", name="Done", exact=True).tap()
    page.wait_for_url("**entry=*")
    jaws = page.get_by_role("listitem").filter(has_text="Jaws clean")
    expect(jaws.get_by_role("button", name="Done", exact=True)).to_have_attribute(
        "aria-pressed", "true"
    )
    expect(jaws.get_by_role("button", name="Not done")).to_be_in_viewport()

    page.goto("/rig-day/Rig-40")
    hand.touches = 0
    hand.touch("Weep at a joint")
    page.wait_for_url("**/rig-events/Rig-40?entry=*")
    assert hand.touches == 1
    expect(page.get_by_text("M-06, M-07")).to_be_visible()
    hand.touch("Pressed by mistake: take back")
    page.wait_for_url("**/rig-day/Rig-40?taken_back=1")
    assert hand.touches == 2
    hand.touch("Jerk")
    page.wait_for_url("**/rig-events/Rig-40?entry=*")
    expect(page.get_by_text("M-01..M-07")).to_be_visible()

    page.goto("/rig-pullback/Rig-40")
    hand.touches = 0
    hand.touch("Start behind RM-8")
    page.wait_for_url("**entry=*")
    hand.touch("galled", "radio")
    hand.touch("M-03")
    page.wait_for_url("**reason=galled*")
    expect(page.get_by_role("radio", name="galled")).to_be_checked()
    hand.touch("All out: end the pullback")
    expect(page.get_by_text("Pullback ended.")).to_be_visible()
    assert hand.touches == 4  # two for the pullback, two for the rod set aside
    second = page.locator(".rods-lie").nth(1)
    expect(second).to_contain_text("was in row 2, no.\u00a02")
    hand.touch("The box lies so: enter it")
    page.wait_for_url("**/load/Rig-40?done=*")

    told = [kind for kind, _ in kept(book, BEGUN)]
    assert told == ["shift-check", "event", "strike", "event", "pass", "standing", "pass", "load"]
    left = [f"M-{n:02}" for n in range(1, 13) if n != 3]
    assert kept(book)[-1][1]["things"] == ", ".join(left)
    page.goto("/")
    expect(page.get_by_text("Jerk on the string at B1")).to_be_visible()
    expect(page.get_by_text("not all done")).to_be_visible()


def test_another_press_on_the_same_form_is_told_to_wait(page: Page, book: Path) -> None:
    """Both in one breath of the page, so that no answer can come between them."""
    page.goto("/rig-day/Rig-40")
    told, moved = page.evaluate(
        """() => {
            const buttons = [...document.querySelectorAll('button[data-kind="event"]')];
            const [one, other] = buttons;
            const tops = () => buttons.map((each) => each.getBoundingClientRect().top);
            const told = document.getElementById("press-told");
            const before = tops();
            const says = [];
            for (const each of [one, one, other]) {
                one.form.requestSubmit(each);
                says.push(told.hidden ? "" : told.textContent);
            }
            return [says, tops().some((top, n) => top !== before[n])];
        }"""
    )
    assert told == ["", "", "Wait: the last press is on its way."]
    assert not moved
    page.wait_for_url("**/rig-events/Rig-40?entry=*")
    assert [kind for kind, _ in kept(book, BEGUN)] == ["event"]


@pytest.mark.parametrize("width", [360, 768, 1280])
def test_one_press_fills_the_screen_with_no_signal(
    page: Page, width: int, book: Path, signal: Signal
) -> None:
    page.set_viewport_size({"width": width, "height": 760})
    page.goto("/rig-makeup/Rig-40")
    signal.cut(page.context)
    hand = Hand(page)
    hand.touch("Utility strike", "link")
    screen = page.locator("#utility-strike")
    expect(screen).to_be_visible()
    assert hand.touches == 1
    box = screen.bounding_box()
    assert box is not None
    assert (box["x"], box["y"], box["width"], box["height"]) == (0, 0, width, 760)
    expect(screen.get_by_text("Walk upwind.")).to_be_in_viewport()
    expect(screen.get_by_role("link", name="555 0100")).to_be_in_viewport()
    expect(screen.get_by_text("Mill Lane")).to_be_in_viewport()
    assert screen.locator("input, textarea, select").count() == 0
    assert len(kept(book)) == BEGUN
    hand.touch("Leave this screen", "link")
    expect(screen).to_be_hidden()


PAGES = ("rig-day", "rig-events", "rig-makeup", "rig-checks/before", "rig-checks/end",
         "rig-pullback", "rig-strike")  # fmt: skip
SMALL = """() => [...document.querySelectorAll('button, .button, summary, .reason')]
  .filter(each => each.offsetParent)
  .map(each => [each.outerHTML.slice(0, 90), each.getBoundingClientRect()])
  .filter(([, box]) => box.width < 55.5 || box.height < 55.5)
  .map(([html, box]) => `${html} ${box.width}x${box.height}`)"""
WIDE = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
UNNAMED = """() => [...document.querySelectorAll('input:not([type=hidden])')]
  .filter(each => !each.labels.length).map(each => each.outerHTML)"""


@pytest.mark.parametrize("width", [360, 1280])
def test_targets_are_large_and_nothing_scrolls_sideways(page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    page.goto("/rig-pullback/Rig-40")
    Hand(page).touch("Start behind RM-8")
    page.wait_for_url("**entry=*")
    for path in PAGES:
        page.goto(f"/{path}/Rig-40")
        assert page.evaluate(SMALL) == []
        assert page.evaluate(WIDE) <= 0
        assert page.evaluate(UNNAMED) == []


KEPT = """async () => (await window.outbox.all()).map(each => [each.kind, each.payload])"""


def test_a_press_with_no_signal_goes_into_the_outbox(
    page: Page, book: Path, signal: Signal
) -> None:
    page.goto("/rig-day/Rig-40")
    signal.cut(page.context)
    hand = Hand(page)
    hand.touch("Weep at a joint")
    told = page.locator("#press-told")
    expect(told).to_contain_text("Kept on this device")
    expect(told).to_contain_text("M-06, M-07")
    expect(told).to_contain_text("look at the shoulder")
    expect(page.locator("#mode")).to_contain_text("No signal: kept on this device, 1 waiting")
    weep = ["event", {"bore": "B1", "pass": "pilot", "station": "7", "what": "weep"}]
    assert page.evaluate(KEPT) == [weep]
    assert len(kept(book)) == BEGUN
    signal.back(page.context)
    expect(page.locator("#mode")).to_contain_text("Saved in the book")
    hand.touch("Jerk")
    page.wait_for_url("**/rig-events/Rig-40?entry=*")
    assert [payload["what"] for _, payload in kept(book, BEGUN)] == ["weep", "jerk"]


def test_a_rod_set_aside_with_no_signal_takes_its_reason_along(page: Page, signal: Signal) -> None:
    page.goto("/rig-pullback/Rig-40")
    hand = Hand(page)
    hand.touch("Start behind RM-8")
    page.wait_for_url("**entry=*")
    signal.cut(page.context)
    hand.touch("M-05")
    expect(page.get_by_role("alert")).to_contain_text("reason first")
    hand.touch("worn", "radio")
    hand.touch("M-05")
    expect(page.locator("#press-told")).to_contain_text("Kept on this device")
    expect(page.get_by_role("button", name="M-05", exact=True)).to_be_disabled()
    why = "worn, seen at the pullback of B1"
    aside = ["standing", {"things": "M-05", "standing": "set aside", "why": why}]
    assert page.evaluate(KEPT) == [aside]
    page.locator("#press-told").get_by_role("button").tap()
    expect(page.locator("#press-told")).to_contain_text("Taken back")
    expect(page.get_by_role("button", name="M-05", exact=True)).to_be_enabled()


NO_STORE = "indexedDB.open = () => { throw new Error('full'); }"


def test_a_browser_that_keeps_nothing_says_so(page: Page, book: Path, signal: Signal) -> None:
    page.add_init_script(NO_STORE)
    page.goto("/rig-checks/before/Rig-40")
    expect(page.locator("#mode")).to_contain_text("This browser keeps nothing")
    Hand(page).touch("Done")  # the form goes its own way
    page.wait_for_url("**entry=*")
    assert len(kept(book)) == BEGUN + 1
    signal.cut(page.context)
    Hand(page).touch("Done")
    expect(page.get_by_role("alert")).to_contain_text("Not kept")
    assert len(kept(book)) == BEGUN + 1
