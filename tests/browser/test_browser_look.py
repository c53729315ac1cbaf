"""What a hand and an eye need: room, sizes, contrast, labels, no sideways scroll."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

import rodhand.web

pytestmark = pytest.mark.browser
WIDTHS = (360, 768, 1280)
PAGES = ("/", "/yard", "/office", "/bore/B-2?at=60", "/thing/M1-01", "/enter", "/enter/reading",
         "/phones", "/blocks")  # fmt: skip
SMALLEST = 56  # px, every button and what looks like one

UNLABELLED = """() => [...document.querySelectorAll('input:not([type=hidden]), select, textarea')]
  .filter(each => !each.labels.length && !each.getAttribute('aria-label'))
  .map(each => each.outerHTML)"""
NAMELESS = """() => [...document.querySelectorAll('a, button, summary')]
  .filter(each => !each.textContent.trim() && !each.getAttribute('aria-label'))
  .map(each => each.outerHTML)"""
SMALL = """least => [...document.querySelectorAll('button, .button, nav a, summary, .yard-rod')]
  .filter(each => each.offsetParent)
  .map(each => [each.outerHTML.slice(0, 90), each.getBoundingClientRect()])
  .filter(([, box]) => box.width < least - 0.5 || box.height < least - 0.5)
  .map(([html, box]) => `${html} ${box.width}x${box.height}`)"""
WIDE = """() => document.documentElement.scrollWidth - document.documentElement.clientWidth"""
DOUBLED = """() => { const ids = [...document.querySelectorAll('[id]')].map(each => each.id);
  return ids.filter((id, place) => ids.indexOf(id) !== place); }"""
LEVELS = """() => [...document.querySelectorAll('h1, h2, h3')].map(each => +each.tagName[1])"""


def opened(page: Page, path: str, width: int = 1280) -> Page:
    page.set_viewport_size({"width": width, "height": 900})
    page.goto(path)
    return page


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("path", PAGES)
def test_no_page_scrolls_sideways(page: Page, path: str, width: int) -> None:
    assert opened(page, path, width).evaluate(WIDE) <= 0


@pytest.mark.parametrize("width", [360, 1280])
@pytest.mark.parametrize("path", PAGES)
def test_everything_pressed_is_large_enough(page: Page, path: str, width: int) -> None:
    assert opened(page, path, width).evaluate(SMALL, SMALLEST) == []


@pytest.mark.parametrize("path", PAGES)
def test_every_field_and_link_has_a_name(page: Page, path: str) -> None:
    opened(page, path)
    assert page.evaluate(UNLABELLED) == []
    assert page.evaluate(NAMELESS) == []


@pytest.mark.parametrize("path", [path for path in PAGES if path != "/blocks"])
def test_ids_are_single_and_headings_go_down_step_by_step(page: Page, path: str) -> None:
    opened(page, path)
    assert page.evaluate(DOUBLED) == []
    levels = page.evaluate(LEVELS)
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    assert page.evaluate("document.documentElement.lang") == "en"
    assert page.title().endswith("· Rodhand")


@pytest.mark.parametrize(("width", "size"), [(360, "hand"), (768, "middle"), (1280, "wide")])
def test_one_picture_fits_the_screen(page: Page, width: int, size: str) -> None:
    opened(page, "/bore/B-2?at=60", width)
    seen = [
        each.get_attribute("class") for each in page.locator(".picture").all() if each.is_visible()
    ]
    assert seen == [f"picture picture-{size}"]


@pytest.mark.parametrize("width", WIDTHS)
def test_text_in_the_picture_stays_legible(page: Page, width: int) -> None:
    opened(page, "/bore/B-2?at=60", width)
    smallest = page.evaluate(
        """() => Math.min(...[...document.querySelectorAll('.picture svg')]
          .filter(svg => svg.getBoundingClientRect().width)
          .map(svg => 15 * svg.getBoundingClientRect().width / svg.viewBox.baseVal.width))"""
    )
    assert smallest >= 13  # px, drawn at 15 on its own sheet


def test_the_keyboard_reaches_the_page_past_the_places(page: Page) -> None:
    opened(page, "/")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    page.wait_for_url("**/#main")


def test_focus_is_seen(page: Page) -> None:
    opened(page, "/enter/thing")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    width, colour = page.evaluate(
        "(() => { const s = getComputedStyle(document.activeElement);"
        " return [s.outlineWidth, s.outlineColor]; })()"
    )
    assert width == "3px"
    assert colour == "rgb(11, 79, 158)"


def luminance(colour: str) -> float:
    """Relative luminance of #rrggbb, WCAG 2.1 (from memory)."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_of_black_on_white_is_21() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


@pytest.mark.parametrize(
    ("text", "ground", "least"),
    [
        ("ink", "paper", 7.0),
        ("ink", "ground", 7.0),
        ("ink-2", "paper", 7.0),
        ("ink-2", "ground", 7.0),
        ("alarm", "paper", 7.0),
        ("alarm", "ground", 7.0),
        ("slate", "paper", 7.0),
        ("slate", "ground", 7.0),
        ("paper", "slate", 7.0),
        ("line", "paper", 3.0),
        ("focus", "paper", 3.0),
    ],
)
def test_contrast_of_the_tokens(text: str, ground: str, least: float) -> None:
    style = (Path(rodhand.web.__file__).parent / "static" / "rodhand.css").read_text()
    tokens = dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]{6})", style))
    assert contrast(tokens[text], tokens[ground]) >= least


def test_a_bad_form_keeps_what_was_typed(page: Page) -> None:
    opened(page, "/enter/thing", 360)
    page.get_by_label("length", exact=True).fill("10")
    page.get_by_label("note", exact=True).fill("bought used")
    page.get_by_role("button", name="Enter").click()
    expect(page.locator("[aria-invalid=true]")).to_have_count(1)
    expect(page.get_by_label("note", exact=True)).to_have_value("bought used")
    page.get_by_label("thing (mark)").fill("H-7")
    page.get_by_role("button", name="Enter").click()
    page.wait_for_url("**/entry/**")
