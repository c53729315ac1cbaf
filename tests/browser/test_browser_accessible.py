"""Rules of accessibility on every page of rig and yard: axe-core's, contrast 7:1, targets of 56 px.

The rules are those of axe-core, a public library, with its rule of enhanced contrast (WCAG 2.2,
success criterion 1.4.6) switched on; the size of targets is this project's own, for gloves.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page
from served import served

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "unit" / "rig_day"))

from rig_day_book import BORE, RIG, tell

pytestmark = pytest.mark.browser

RIG_PAGES = (
    "/rig-day/Rig-40", "/rig-rod/Rig-40", "/rig-rod/Rig-40?hand=locator", "/rig-events/Rig-40",
    "/rig-strike/Rig-40", "/rig-makeup/Rig-40", "/rig-checks/before/Rig-40",
    "/rig-checks/end/Rig-40", "/rig-pullback/Rig-40", "/rig-on", "/rig-outbox",
)  # fmt: skip
YARD_PAGES = (
    "/bore/B1/way", "/check/M-01", "/verdict/M-01", "/copies", "/checks-due", "/bore/B1", "/yard",
    "/turning/Rig-40?work=1", "/order/Rig-40", "/two/B1", "/plan", "/",
)  # fmt: skip
RULES = {"color-contrast-enhanced": {"enabled": True}, "target-size": {"enabled": True}}
WIDTHS = {"en": 360, "es": 768}
LEAST = 55.5
"""Of a target for gloves, 56 px less rounding. [px]"""
TARGETS = "button, input:not([type=hidden]), select, textarea, summary, a.button, a.row-link"
SMALL = f"""() => [...document.querySelectorAll("{TARGETS}")]
  .filter(each => each.checkVisibility({{visibilityProperty: true}}) && !each.closest("footer"))
  .map(each => [each.getBoundingClientRect(), each])
  .filter(([box]) => box.width && Math.min(box.width, box.height) < {LEAST})
  .map(([box, each]) => `${{each.outerHTML.slice(0, 80)}} ${{box.width}} x ${{box.height}}`)"""


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Address of a book with a rig at work."""
    folder = tmp_path_factory.mktemp("accessible") / "book"
    tell(folder, (*RIG, *BORE))
    with served(folder) as address:
        yield address


def broken(page: Page) -> list[str]:
    """Rules a page breaks, with the first place of each."""
    found = Axe().run(page, options={"resultTypes": ["violations"], "rules": RULES})
    return [f"{each['id']}: {each['nodes'][0]['html']}" for each in found.response["violations"]]


@pytest.mark.parametrize("language", list(WIDTHS))
@pytest.mark.parametrize("pages", [RIG_PAGES, YARD_PAGES], ids=["rig", "yard"])
def test_no_page_breaks_a_rule(
    browser: Browser, begun: str, language: str, pages: tuple[str, ...]
) -> None:
    width = WIDTHS[language]
    context = browser.new_context(locale=language, viewport={"width": width, "height": 800})
    page = context.new_page()
    found = {}
    for path in pages:
        page.goto(begun + path)
        assert page.locator("html").get_attribute("lang") == language
        rules = broken(page)
        if page.evaluate("document.documentElement.scrollWidth") > width:
            rules.append("scrolls sideways")
        if pages is RIG_PAGES:
            rules += page.evaluate(SMALL)
        if rules:
            found[path] = rules
    context.close()
    assert found == {}


def test_the_rules_find_what_is_wrong(browser: Browser) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 800})
    page.set_content(
        "<html><body><main><h1>A</h1><h3>B</h3><p style='color:#666;background:#fff'>pale</p>"
        "<img src='data:,'><button>x</button></main></body></html>"
    )
    found = {each.split(":")[0] for each in broken(page)}
    assert {"html-has-lang", "heading-order", "color-contrast-enhanced", "image-alt"} <= found
    assert len(page.evaluate(SMALL)) == 1
    page.close()
