"""No signal in a browser at tablet size: reload, kill and return, lost replies, two devices."""

from __future__ import annotations

import json
import math
import sys
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect
from served import served
from signal_gate import Signal, signal_to

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
def signal(book: Path) -> Iterator[Signal]:
    with served(book) as behind, signal_to(behind) as found:
        yield found


@pytest.fixture
def address(signal: Signal) -> str:
    return signal.address


@contextmanager
def tablet(browser: Browser, disk: Path, address: str) -> Iterator[BrowserContext]:
    """A browser with a disk of its own; what it kept is there when it is started again."""
    context = browser.browser_type.launch_persistent_context(
        disk, executable_path=find_browser(), args=SWITCHES, base_url=address, viewport=SIZE,
        has_touch=True, service_workers="allow",
    )  # fmt: skip
    yield context
    context.close()


def mode(page: Page, text: str) -> None:
    expect(page.locator("#mode")).to_contain_text(text)


def shell_kept(page: Page) -> None:
    page.goto("/rig-day/Rig-40")
    expect(page.locator("#shell")).to_contain_text("open without a signal")


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).first.tap()


def told(page: Page, text: str) -> None:
    expect(page.locator("#press-told")).to_contain_text(text)


def test_a_shift_without_a_signal_survives_reload_and_kill(
    browser: Browser, tmp_path: Path, book: Path, signal: Signal
) -> None:
    disk = tmp_path / "tablet"
    with tablet(browser, disk, signal.address) as context:
        page = context.new_page()
        shell_kept(page)
        signal.cut(context)
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
    with tablet(browser, disk, signal.address) as context:
        signal.cut(context)
        page = context.new_page()
        page.goto("/rig-day/Rig-40")
        mode(page, "4 en espera")
        signal.back(context)
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
    browser: Browser, book: Path, signal: Signal
) -> None:
    devices = [
        browser.new_context(base_url=signal.address, viewport=SIZE, has_touch=True) for _ in "12"
    ]
    pages = [device.new_page() for device in devices]
    for page in pages:
        page.goto("/rig-day/Rig-40")
        mode(page, "Saved in the book")
    signal.cut(*devices)
    for page in pages:
        for number, name in enumerate(("Weep at a joint", "Jerk", "Torque spike"), 1):
            press(page, name)
            mode(page, f"{number} waiting")
    signal.back(*devices)
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


VECTORS = json.loads(
    (Path(__file__).resolve().parents[1] / "unit" / "rig_day" / "room_vectors.json").read_text()
)
WORKED = """({rooms, easy, none, starts, over, places}) => {
  const rad = each => each === null ? null : each * Math.PI / 180;
  const grade = each => each === null ? null : Math.atan(Number(each) / 100);
  const room = each => window.roomLeft.after(grade(each.pitch_pct), each.length_m, each.radius_m);
  const rows = each => each.rows.map(row => ({station: row.station, pitch: grade(row.pitch_pct),
    heading: row.heading_deg === null ? null : rad(Number(row.heading_deg))}));
  const push = row => Number(row.push_m ?? 0.3048 * (row.push_ft ?? 0));
  const pressed = each => rows(each).map((row, n) =>
    ({...row, station: Number(row.station), push: push(each.rows[n])}));
  const all = each => [...pressed(each),
    ...(each.rig_pct === null ? [] : [{station: 0, pitch: grade(each.rig_pct), heading: null}])];
  const middle = each => window.roomLeft.easy(grade(each.pitch_pct), each.length_m, each.radius_m);
  return {rooms: rooms.map(room), easy: [...easy, ...none].map(middle), none: none.map(room),
    starts: starts.map(each => window.roomLeft.start(rows(each), null)),
    over: over.map(each => window.overSteer.last(all(each),
      {length: 3.048, radius: 44.196, back: 0.3048 * each.back_ft})),
    places: places.map(each => window.overSteer.places(
      {begin: each.start, end: each.end}, each.bit, each.front, each.length))};
}"""


def test_the_device_works_the_room_as_the_book_does(browser: Browser, address: str) -> None:
    page = browser.new_page(base_url=address)
    page.goto("/rig-rod/Rig-40")
    found = page.evaluate(WORKED, VECTORS)
    for row, told_room in zip(VECTORS["rooms"], found["rooms"], strict=True):
        wanted = {name: row[name] for name in ("limit", "room", "sideways", "half_sideways")}
        given = {name: told_room[name] for name in wanted}
        assert given == pytest.approx(wanted, rel=1e-9), row["name"]
        pitch = math.atan(row["pitch_pct"] / 100.0)
        assert told_room["to"] - pitch == pytest.approx(row["room"], rel=1e-9)
        assert pitch - told_room["from"] == pytest.approx(row["room"], rel=1e-9)
    assert found["none"] == [None] * len(VECTORS["none"])
    wanted_easy = [{name: pytest.approx(row[name], rel=1e-9) for name in ("from", "to")}
                   for row in VECTORS["easy"]]  # fmt: skip
    assert found["easy"] == [*wanted_easy, *[None] * len(VECTORS["none"])]
    for row, start in zip(VECTORS["starts"], found["starts"], strict=True):
        assert start["unread"] == row["unread"], row["name"]
        pitch, heading = row["pitch_pct"], row["heading_deg"]
        if not row["unread"]:
            wanted_pitch = None if pitch is None else pytest.approx(math.atan(pitch / 100.0))
            assert start["pitch"] == wanted_pitch, row["name"]
            wanted_turn = None if heading is None else pytest.approx(math.radians(heading))
            assert start["heading"] == wanted_turn, row["name"]
    for row, over in zip(VECTORS["over"], found["over"], strict=True):
        wanted_over = row["told"] and {
            name: text if isinstance(text, str) else pytest.approx(text, rel=1e-9)
            for name, text in row["told"].items()
        }
        assert (over and {name: over[name] for name in wanted_over}) == wanted_over, row["name"]
    assert found["places"] == [
        {"passed": row["passed"], "in_it": row["in_it"]} for row in VECTORS["places"]
    ]
    page.close()


def rod(page: Page, pitch: str) -> None:
    page.locator("#pitch").fill(pitch)
    press(page, "Keep this pitch")


def test_rods_are_logged_without_a_signal_and_the_page_counts_on(
    browser: Browser, tmp_path: Path, book: Path, signal: Signal
) -> None:
    disk = tmp_path / "tablet"
    with tablet(browser, disk, signal.address) as context:
        page = context.new_page()
        shell_kept(page)
        page.goto("/rig-rod/Rig-40")
        rod(page, "-2")  # with a signal: the book's own page tells of it
        page.wait_for_url("**kept=8*")
        expect(page.locator("h1")).to_contain_text("Rod 9 of B1")
        signal.cut(context)
        rod(page, "-1.5")
        expect(page.locator("h1")).to_contain_text("Rod 10 of B1")
        # By hand: 10 ft / 145 ft = 0.06897 rad, less 0.005855 of reading error, is 0.06311 about
        # -0.015 rad: tan(-0.07811) = -7.8 %, tan(0.04811) = 4.8 %.
        expect(page.locator("#here-from")).to_contain_text("-7.8")
        expect(page.locator("#here-to")).to_contain_text("4.8")
        expect(page.locator(".room-drawn svg")).to_be_visible()
        expect(page.get_by_text("only the book knows")).to_be_visible()
        press(page, "Not read")
        expect(page.locator("h1")).to_contain_text("Rod 11 of B1")
        expect(page.locator("#here-note")).to_contain_text("last 1 rods")
        page.get_by_role("button", name="Keep this pitch").tap(force=True)  # nothing touched yet
        told(page, "Type or step the pitch")
        page.reload()
        expect(page.locator("h1")).to_contain_text("Rod 11 of B1")
        rod(page, "0.5")
        press(page, "Same as last, 0.5 %")
        mode(page, "4 waiting")
    with tablet(browser, disk, signal.address) as context:
        signal.cut(context)
        page = context.new_page()
        page.goto("/rig-rod/Rig-40")
        expect(page.locator("h1")).to_contain_text("Rod 13 of B1")
        page.goto("/rig-day/Rig-40")
        press(page, "Weep at a joint")
        mode(page, "5 waiting")
        signal.back(context)
        mode(page, "Saved in the book")
        signal.cut(context)
        page.goto("/rig-rod/Rig-40")  # a copy older than what the book has by now
        expect(page.locator("h1")).to_contain_text("Rod 13 of B1")
    said = [(kind, each.get("station"), each.get("pitch_pct")) for kind, each in kept(book, BEGUN)]
    assert said == [
        ("reading", "8", "-2"), ("reading", "9", "-1.5"), ("reading", "10", None),
        ("reading", "11", "0.5"), ("reading", "12", "0.5"), ("event", "12", None),
    ]  # fmt: skip


COPY_SAYS = """async text => {
  for (let tries = 0; tries < 600; tries++) {
    const copy = await (await caches.open("rodhand-pages")).match("/rig-rod/Rig-40?in=en");
    if ((await copy?.text())?.includes(text)) return true;
    await new Promise(done => setTimeout(done, 100));
  }
  return false;
}"""


def test_an_over_steer_of_a_hole_drilled_anew_is_told_without_a_signal(
    browser: Browser, tmp_path: Path, book: Path, signal: Signal
) -> None:
    with tablet(browser, tmp_path / "tablet", signal.address) as context:
        page = context.new_page()
        shell_kept(page)
        page.goto("/rig-rod/Rig-40")
        rod(page, "-2")
        page.wait_for_url("**kept=8*")
        later = datetime.now() + timedelta(hours=1)  # of one minute nobody knows which came first
        anew = {"bore": "B1", "number": "1", "from_station": "8", "to_station": "5"}
        tell(book, [("redrill", anew)], later.isoformat(timespec="minutes"))
        page.goto("/rig-rod/Rig-40")  # its copy comes anew, also where the machine is slow
        assert page.evaluate(COPY_SAYS, "Rod 6 of B1")
        signal.cut(context)
        page.reload()
        expect(page.locator("h1")).to_contain_text("Rod 6 of B1")  # not 9: that was the old hole
        rod(page, "8")
        # By hand: from -5 % to 8 % is 0.07983 + 0.04996 = 0.12979 rad, of 10 ft / 145 ft = 0.06897
        # allowed 188 %; 3.048 m / 0.12979 is a radius of 23.5 m. Easier: 1200 times 2.375 in is
        # 72.39 m, 0.04211 rad over a rod: tan(0.07983 -+ 0.04211) is 3.8 and 12.3 %.
        expect(page.locator("#over-short-here")).to_contain_text("Over-steer, rod 6: 188\u00a0%")
        over = page.locator("#over-here")
        expect(over).to_contain_text(
            "Rod 6 bends past the limit: 188\u00a0% over 3.05\u00a0m, radius 23.5\u00a0m. "
            "In it now: M-01."
        )
        expect(over).to_contain_text("end between 3.8\u00a0% and 12.3\u00a0%")
        rod(page, "7.5")
        expect(page.locator("h1")).to_contain_text("Rod 8 of B1")
        expect(over).to_be_hidden()  # told once, until the next rod is read
        signal.back(context)
        mode(page, "Saved in the book")
    said = [(kind, each.get("station"), each.get("anew")) for kind, each in kept(book, BEGUN)]
    assert said == [
        ("reading", "8", None), ("redrill", None, None),
        ("reading", "6", "1"), ("reading", "7", "1"),
    ]  # fmt: skip


def test_a_pullback_without_a_signal_from_start_to_end(
    browser: Browser, book: Path, signal: Signal
) -> None:
    context = browser.new_context(base_url=signal.address, viewport=SIZE, has_touch=True)
    page = context.new_page()
    page.goto("/rig-pullback/Rig-40")
    mode(page, "Saved in the book")
    signal.cut(context)
    press(page, "Start behind RM-8")
    page.get_by_role("radio", name="galled", exact=True).tap()
    press(page, "M-03")
    mode(page, "2 waiting")
    press(page, "All out: end the pullback")
    expect(page.locator("#pull-ended")).to_contain_text("Pullback ended")
    signal.back(context)
    mode(page, "Saved in the book")
    page.reload()
    expect(page.get_by_text("was in row 2, no.\u00a02").first).to_be_visible()
    told_last = kept(book, BEGUN)
    assert [kind for kind, _ in told_last] == ["pass", "standing", "pass"]
    assert told_last[0][1]["tool"] == "RM-8"
    assert told_last[1][1]["things"] == "M-03"
    assert (told_last[2][1]["from_station"], told_last[2][1]["to_station"]) == ("7", "0")
    context.close()
