"""The page of the rod being drilled: touches counted, nothing moves, wrong touches keep nothing."""

from __future__ import annotations

import statistics
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from gloves import Layout, run_in_gloves, width
from playwright.sync_api import Browser, Page, expect
from served import served
from signal_gate import Signal, signal_to
from touching import PHONE_BELOW, keys, logged, run, steps

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "unit" / "rig_day"))

from rig_day_book import BORE, RIG, kept, tell

pytestmark = pytest.mark.browser
SIZES = {"tablet": (768, 1024), "phone": (360, 740)}
PARTS = range(17, 22)
"""Stations of the run driven here; benchmarks/touches.py drives all 36."""


@pytest.fixture
def book(tmp_path: Path) -> Path:
    read = ({"bore": "B1", "station": str(n), "pitch_pct": "0.4"} for n in range(1, PARTS[0]))
    tell(tmp_path / "book", (*RIG, BORE[0], *(("reading", each) for each in read)))
    return tmp_path / "book"


@pytest.fixture
def signal(book: Path) -> Iterator[Signal]:
    with served(book) as address, signal_to(address) as found:
        yield found


@pytest.fixture(params=SIZES)
def page(request: pytest.FixtureRequest, browser: Browser, signal: Signal) -> Iterator[Page]:
    width, height = SIZES[request.param]
    context = browser.new_context(
        base_url=signal.address, has_touch=True, viewport={"width": width, "height": height}
    )
    context.add_cookies([{"name": "units", "value": "us", "url": signal.address}])
    opened = context.new_page()
    opened.goto("/rig-rod/Rig-40#this-rod")
    yield opened
    context.close()


def press(page: Page, how: str) -> None:
    """Keep a row; a small screen asks for it twice."""
    keep = page.locator(f'.keeps [value="{how}"]')
    keep.tap()
    if width(page) < PHONE_BELOW:
        expect(page.locator(f'.keeps [value="{how}"][data-once]')).to_be_visible()
        keep.tap()


def test_keys_and_steps_by_hand() -> None:
    assert keys("-12.5") == ["1", "2", ".", "5", "sign"]
    assert keys("0.3") == [".", "3"]
    assert steps("-12.0", "-11.8") == ["+0.1", "+0.1"]
    assert steps("3.0", "7.9") == ["-0.1", "+5"]
    assert steps("3.0", "3.0") is None


def test_a_run_of_rods_takes_few_touches(page: Page, book: Path) -> None:
    rods = [rod for rod in run() if rod.station in PARTS]
    begun = len(kept(book))
    found = logged(page, rods, last="0.4")
    touches = [each.touches for each in found]
    assert statistics.median(touches) <= 6
    assert statistics.median(each.paced for each in found) <= 8
    assert sorted(touches)[-1] <= 12
    told = [payload for kind, payload in kept(book, begun) if kind == "reading"]
    assert [each["station"] for each in told if each.get("pitch_pct") != "6.2"] == [
        str(rod.station) for rod in rods
    ]
    want = {rod.station: float(rod.pitch) for rod in rods if rod.how == "read"}
    read = {int(each["station"]): float(each.get("pitch_pct", "nan")) for each in told}
    assert {station: read[station] for station in want} == want


PLACES = """() => Object.fromEntries([...document.querySelectorAll(
  '.to-strike, .keypad button, .keeps button, .rod-fields input')].map(each => {
    const box = each.getBoundingClientRect();
    return [each.dataset.key ?? each.dataset.step ?? each.value ?? each.name,
      [box.x, box.y, box.width, box.height].map(Math.round).join(' ')]; }))"""
SHIFTS = """window.shifts = 0; new PerformanceObserver(list => list.getEntries().forEach(
  each => window.shifts += each.value)).observe({type: 'layout-shift', buffered: true})"""


FOCUSED = """() => { const on = document.activeElement;
  const name = on.getAttribute('aria-label') ?? on.labels?.[0]?.textContent ?? on.textContent;
  return [name.trim(), getComputedStyle(on).outlineStyle !== 'none']; }"""


def boxes(page: Page) -> dict[str, str]:
    page.wait_for_function("() => scrollY > 0")  # the address leads to the rod, once laid out
    found: dict[str, str] = page.evaluate(PLACES)
    found.pop("", None)
    return {name.split(",")[0]: place for name, place in found.items()}


def test_nothing_moves_under_the_finger(page: Page, signal: Signal) -> None:
    page.context.add_init_script(SHIFTS)
    page.reload(wait_until="domcontentloaded")
    expect(page.locator(".keypad")).to_be_visible()
    first = boxes(page)
    expect(page.locator("#mode")).to_contain_text("Saved in the book")
    page.wait_for_load_state("networkidle")
    assert boxes(page) == first  # late answers, the mode's line
    page.locator('.keeps [value="read"]').tap(force=True)
    expect(page.locator("#press-told")).to_contain_text("Type or step the pitch")
    assert boxes(page) == first  # a message
    # Words settling in their own slot; a row of keys moved by its height would be 0.05 and more.
    assert page.evaluate("window.shifts") < 0.01
    page.locator('.keypad [data-key="2"]').tap()
    press(page, "read")
    page.wait_for_url("**kept=*")
    expect(page.locator("#pitch[data-on]")).to_be_visible()  # its keys write
    assert boxes(page) == first  # the next rod, its note and its way back
    for key in "20":
        page.locator(f'.keypad [data-key="{key}"]').tap()
    press(page, "read")
    expect(page.locator("#over-short")).to_contain_text("Over-steer, rod 18")
    expect(page.locator(".take-back button")).to_be_visible()
    assert boxes(page) == first  # an over-steer told
    page.locator("#over-short a").tap()
    expect(page.locator("#over-told")).to_be_in_viewport()  # opened by a touch, under the keys
    page.evaluate("location.hash = 'this-rod'")
    expect(page.locator(".keypad")).to_be_in_viewport()
    assert boxes(page) == first
    signal.cut(page.context)
    page.locator('.keypad [data-step="+1"]').tap()
    press(page, "read")
    expect(page.locator("#press-told")).to_contain_text("Kept on this device")
    expect(page.locator("#here-from")).to_be_visible()
    assert boxes(page) == first  # no signal, the device's own room
    press(page, "not read")
    expect(page.locator("#here-note")).to_contain_text("without a pitch")
    assert boxes(page) == first


def test_a_touch_that_cannot_be_meant_keeps_nothing(page: Page, book: Path) -> None:
    before = len(kept(book))
    keep, same, not_read = (
        page.locator(f'.keeps [value="{name}"]') for name in ("read", "same", "not read")
    )
    expect(page.locator("#pitch")).to_have_attribute("placeholder", "0.4")
    keep.tap(force=True)
    expect(page.locator("#press-told")).to_contain_text("Type or step the pitch")
    page.locator('.keypad [data-step="+0.1"]').tap()
    expect(page.locator("#pitch")).to_have_value("0.5")
    for each in (same, not_read):
        each.tap(force=True)
        expect(page.locator("#press-told")).to_contain_text("A pitch is typed")
    assert len(kept(book)) == before
    for _ in "0.5":
        page.locator('.keypad [data-key="back"]').tap()
    press(page, "same")
    page.wait_for_url("**kept=*")
    assert len(kept(book)) == before + 1
    page.locator(".take-back button").tap()  # one touch undoes it
    page.wait_for_url("**taken_back=1*")
    expect(page.locator("h1")).to_contain_text(f"Rod {PARTS[0]} of")


def test_while_walking_there_is_nothing_to_read(page: Page) -> None:
    page.goto("/rig-rod/Rig-40?hand=locator#walking")
    state = page.locator("#walking")
    size = page.viewport_size
    assert size is not None
    assert state.bounding_box() == {"x": 0, "y": 0, **size}
    assert state.locator("strong").inner_text() == f"Rod {PARTS[0]}"
    on_top = "([x, y]) => document.elementFromPoint(x, y).closest('#walking') !== null"
    for x in (5, size["width"] // 2, size["width"] - 5):
        for y in (5, size["height"] // 2, size["height"] - 5):
            assert page.evaluate(on_top, [x, y])
    state.tap()
    expect(state).to_be_hidden()
    page.locator('.keypad [data-key="1"]').tap()
    press(page, "read")
    page.wait_for_url("**kept=*#walking")
    expect(state.locator("strong")).to_have_text(f"Rod {PARTS[0] + 1}")


def test_gloves_keep_under_one_wrong_entry_in_100(page: Page) -> None:
    """A finger of 18 mm; *10 mm of scatter* as one sigma of 2.5, 3.5 or, asked twice, 10 mm."""
    rods, is_phone = run(), width(page) < PHONE_BELOW
    for sigma_mm in (2.5, 3.5):
        assert run_in_gloves(Layout.of(page), rods, sigma_mm, 10).wrong < 1.0
    if not is_phone:
        assert run_in_gloves(Layout.of(page, asks_twice=True), rods, 10.0, 10).wrong < 1.0


def test_gloves_switched_on_or_off_hold_on_every_page(page: Page, book: Path) -> None:
    page.goto("/rig-day/Rig-40")
    before = len(kept(book))
    switch = page.locator("#gloves")
    expect(switch).to_be_visible()
    if switch.get_attribute("aria-pressed") == "false":
        switch.tap()
    expect(switch).to_have_attribute("aria-pressed", "true")
    jerk, spike = (page.locator(f'.presses [value="{name}"]') for name in ("jerk", "torque spike"))
    spike.tap()
    expect(spike).to_have_text("Torque spike? Again")
    jerk.tap()  # another one: the first is let go
    expect(spike).to_have_text("Torque spike")
    expect(page.locator("#press-told")).to_contain_text("Touch the same once more")
    expect(jerk).to_have_text("Jerk? Again")
    assert len(kept(book)) == before
    jerk.tap()
    page.wait_for_url("**/rig-events/**entry=*")
    page.get_by_role("button", name="Pressed by mistake: take back").first.tap()  # one touch
    page.wait_for_url("**taken_back=1*")
    switch.tap()
    expect(switch).to_have_attribute("aria-pressed", "false")
    page.locator('.presses [value="weep"]').tap()
    page.wait_for_url("**/rig-events/**entry=*")
    told = [(kind, each.get("what")) for kind, each in kept(book, before)]
    assert told == [("event", "jerk"), ("strike", None), ("event", "weep")]


def test_a_rod_is_logged_by_keyboard_alone(page: Page, book: Path) -> None:
    """Tab from the pitch to Keep through named keys, the focus in sight, the value told."""
    before = len(kept(book))
    page.locator("#pitch").focus()
    page.keyboard.type("1.2")
    names = []
    for _ in range(40):
        page.keyboard.press("Tab")
        name, ring = page.evaluate(FOCUSED)
        assert ring, f"no ring about {name}"
        names.append(name)
        if name == "Keep this pitch":
            break
    assert names[:3] == ["Pushed, ft", "Turned, min", "Heading, °"]
    assert names[3:8] == ["1", "2", "3", "−0.1", "+0.1"]
    assert {"Change the sign", "Point", "Delete"} < set(names)
    page.keyboard.press("Enter")  # one press: nobody types in gloves
    page.wait_for_url("**kept=*")
    expect(page.locator('.rod-slot [role="status"]:visible')).to_have_text(
        f"Rod {PARTS[0]} is kept."
    )
    assert [each.get("pitch_pct") for _, each in kept(book, before)] == ["1.2"]
    expect(page.locator("#pitch[data-on]")).to_be_visible()
    page.locator('.keypad [data-step="+1"]').focus()
    page.keyboard.press("Enter")
    expect(page.locator("#pitch-told[role=status]")).to_have_text("Pitch, % 2.2")
    levels = page.evaluate("() => [...document.querySelectorAll('main h1, main h2')].filter("
                           "each => each.checkVisibility()).map(each => each.tagName)")  # fmt: skip
    assert levels[0] == "H1"
    assert levels.count("H1") == 1
