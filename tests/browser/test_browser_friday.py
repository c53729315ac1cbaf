"""A rainy Friday on a phone, in both languages: six rods, sub, jaws, dressing, a trace."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from served import served

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "unit" / "rig_day"))

from rig_day_book import BORE, RIG, kept, tell

pytestmark = pytest.mark.browser
PULLED = ("pass", {"bore": "B1", "pass": "pullback", "what": "pullback"})
WIDTH = 360


@pytest.fixture
def book(tmp_path: Path) -> Path:
    tell(tmp_path / "book", [*RIG, *BORE, PULLED])
    tell(tmp_path / "book", RIG[-1:], "2025-09-10")  # back in the box
    return tmp_path / "book"


@pytest.fixture(params=["en-US", "es-MX"])
def page(browser: Browser, book: Path, request: pytest.FixtureRequest) -> Iterator[Page]:
    with served(book) as address:
        context = browser.new_context(
            base_url=address, viewport={"width": WIDTH, "height": 740}, has_touch=True,
            locale=request.param,
        )  # fmt: skip
        opened = context.new_page()
        yield opened
        context.close()


def shown(page: Page, name: str) -> None:
    """Nothing stands out of the screen; a picture of it where somebody asked for pictures."""
    assert page.evaluate("document.documentElement.scrollWidth") <= WIDTH
    folder = os.environ.get("RODHAND_PICTURES")
    if folder:
        language = page.locator("html").get_attribute("lang")
        page.screenshot(path=f"{folder}/friday_{language}_{name}.png", full_page=True)


def told(page: Page, address: str) -> dict[str, Any]:
    answer = page.request.get(f"{address}.json")
    assert answer.ok
    return dict(answer.json()["view"])


def check(
    page: Page, rod: str, by: str, faults: Mapping[str, str] | None = None,
    numbers: Mapping[str, str] | None = None,
) -> None:  # fmt: skip
    """One rod: its faults touched, the rest sound, who looked, keep."""
    page.goto(f"/check/{rod}")
    for item, fault in (faults or {}).items():
        page.locator(f"label:has(input[name='s.{item}'][value='{fault}'])").tap()
    for name, text in (numbers or {}).items():
        item = name.split(".", 1)[1]
        box = page.locator(f"[name='{name}']").first
        if page.locator(f"[id='{item}'] .measured[open]").count() == 0:
            page.locator(f"[id='{item}'] .measured > summary").tap()
        if box.get_attribute("type") == "radio":
            page.locator(f"label:has(input[name='{name}'][value='{text}'])").tap()
        else:
            box.fill(text)
    for line in page.locator("fieldset.card-line").all():
        item = str(line.get_attribute("id"))
        named = f"s.{item}" in {f"s.{key}" for key in (faults or {})}
        if named or item.startswith("profile") or any(item in key for key in numbers or {}):
            continue
        sound = line.locator(".touch-sound")
        if sound.count():
            sound.tap()
    page.locator("#by").fill(by)
    shown(page, f"card_{rod}_{by}")
    page.locator(".keep button").tap()
    page.wait_for_url("**/verdict/**")
    shown(page, f"verdict_{rod}_{by}")


def test_a_whole_friday(page: Page, book: Path) -> None:
    page.goto("/yard")
    shown(page, "yard")
    page.locator("a[href='/checks-due']").tap()
    page.wait_for_url("**/checks-due")
    shown(page, "checks_due")
    before = len(kept(book))

    check(page, "M-01", "ann")
    check(page, "M-02", "ann", {"thread-form.pin": "galled"})
    gaps = {"r1.straightness.tube": "2", "r2.straightness.tube": "9", "r3.straightness.tube": "2",
            "span.straightness.tube": "3"}  # fmt: skip
    check(page, "M-03", "ann", numbers={"m.straightness.tube": "three gaps", **gaps})
    check(page, "M-04", "ann", {"thread-form.box": "torn"})
    check(page, "M-06", "ann")
    assert told(page, "/verdict/M-02")["standing"] != "fit"
    assert told(page, "/verdict/M-04")["standing"] == "set aside"

    # Two people on one rod: the stricter stands until a third look, the same day.
    check(page, "M-05", "ann", {"shoulder.pin": "nick"})
    check(page, "M-05", "bob")
    assert told(page, "/verdict/M-05")["disputed"]
    standings = [told(page, "/verdict/M-05")["ends"][0]["standing"]]
    check(page, "M-05", "cy")
    standings.append(told(page, "/verdict/M-05")["ends"][0]["standing"])
    assert standings == ["dress", "fit"]

    # The saver sub and the jaws.
    page.goto("/checks-due")
    page.locator("a[href='/enter/rig-check']").tap()
    page.wait_for_url("**/enter/rig-check")
    shown(page, "enter_rig_check")
    for name, text in (("rig", "Rig-40"), ("item", "jaws"), ("found", "sharp")):
        page.locator(f"[name='v.{name}']").fill(text)
    page.locator("main form button.primary").tap()
    page.wait_for_url("**/entry/**")
    check(page, "SS-1", "ann", {"thread-form.box": "galled"})

    # The bad pin: where it was, what to look at, what is to be done, done.
    page.goto("/verdict/M-02")
    page.locator("a[href='/trace/M-02/pin']").tap()
    page.wait_for_url("**/trace/**")
    shown(page, "trace")
    # Its mates were all seen sound the same day: none is left to look at, one is left to suspect.
    found = told(page, "/trace/M-02/pin")
    assert "M-01" in found["cleared"]["box"]
    assert [(each["name"], each["end"]) for each in found["suspects"]] == [("M-01", "box")]
    page.goto("/verdict/M-02")
    page.locator("#pin a[href^='/enter/dressing']").first.tap()
    page.wait_for_url("**/enter/dressing?**")
    shown(page, "dressing")
    page.locator("main form button.primary").tap()
    page.wait_for_url("**/entry/**")

    page.goto("/")
    shown(page, "week")
    page.goto("/labels")
    shown(page, "labels")
    kinds = [kind for kind, _ in kept(book, before)]
    assert kinds.count("rig-check") == 1
    assert kinds.count("dressing") == 1
    assert set(kinds) == {"check", "rig-check", "dressing"}
    expect(page.locator("html")).to_have_attribute("lang", page.evaluate("navigator.language")[:2])
