"""The switch of language, in a real browser: this device alone, and it stays."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect

pytestmark = pytest.mark.browser


def language_of(page: Page) -> str:
    return str(page.locator("html").get_attribute("lang"))


@pytest.mark.parametrize("width", [360, 1280])
def test_one_touch_tells_the_pages_in_spanish_on_this_device(
    browser: Browser, address: str, width: int
) -> None:
    mine = browser.new_context(base_url=address, viewport={"width": width, "height": 800})
    other = browser.new_context(base_url=address)
    page, theirs = mine.new_page(), other.new_page()
    page.goto("/yard")
    page.get_by_role("button", name="Español").click()
    expect(page.get_by_role("link", name="Patio", exact=True)).to_be_visible()
    expect(page).to_have_url(f"{address}/yard")
    assert language_of(page) == "es"
    expect(page.locator("footer")).to_contain_text("sin revisar")
    page.reload()
    expect(page.get_by_role("link", name="Patio", exact=True)).to_be_visible()
    theirs.goto("/yard")
    expect(theirs.get_by_role("link", name="Yard", exact=True)).to_be_visible()
    assert language_of(theirs) == "en"
    page.get_by_role("button", name="English").click()
    expect(page.get_by_role("link", name="Yard", exact=True)).to_be_visible()
    mine.close()
    other.close()


def test_a_device_that_wants_spanish_gets_it_unasked(browser: Browser, address: str) -> None:
    context = browser.new_context(base_url=address, locale="es-MX")
    page = context.new_page()
    page.goto("/yard")
    expect(page.get_by_role("button", name="English")).to_be_visible()
    assert language_of(page) == "es"
    context.close()
