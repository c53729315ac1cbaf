"""The slider in a real browser: what it shows equals the JSON twin at that place."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page
from web_reading import differences, read

pytestmark = pytest.mark.browser


def shown_equals_twin(page: Page, at: str) -> None:
    figures = page.request.get(f"/bore/B-2.json?pass=pilot&at={at}").json()["figures"]
    shown = read(page.locator("#moment").inner_html())
    assert shown.figures
    assert differences(shown, figures, "metric") == []


def move_to(page: Page, value: str) -> None:
    page.eval_on_selector(
        "#at",
        "(range, value) => { range.value = value;"
        " range.dispatchEvent(new Event('input', {bubbles: true})); }",
        value,
    )
    page.wait_for_function(
        "value => document.getElementById('moment').dataset.at === value"
        " && document.getElementById('moment').getAttribute('aria-busy') === 'false'",
        arg=value,
    )


@pytest.mark.parametrize("at", ["0", "9.75", "41.2", "100"])
def test_moving_the_slider_shows_the_twin_of_that_place(page: Page, at: str) -> None:
    page.goto("/bore/B-2?pass=pilot&at=60")
    move_to(page, at)
    shown_equals_twin(page, at)


def test_moving_redraws_rods_turns_and_sentences(page: Page) -> None:
    page.goto("/bore/B-2?at=60")
    rods = page.locator(".picture-wide .rod")
    before = rods.count()
    passed = page.locator("#moment .told").first.inner_text()
    move_to(page, "20")
    assert rods.count() < before
    assert page.locator("#moment .told").first.inner_text() != passed
    assert page.locator("#at").get_attribute("aria-valuetext") == "20.0\u00a0m"


def test_quick_moves_end_at_the_last_place(page: Page) -> None:
    page.goto("/bore/B-2?at=60")
    for value in ("10", "20", "30", "40"):
        page.eval_on_selector(
            "#at",
            "(range, value) => { range.value = value;"
            " range.dispatchEvent(new Event('input', {bubbles: true})); }",
            value,
        )
    move_to(page, "50")
    page.wait_for_timeout(300)
    shown_equals_twin(page, "50")


def test_one_rod_on_and_back(page: Page) -> None:
    page.goto("/bore/B-2?at=30.48")
    page.get_by_role("link", name="One rod on").click()
    page.wait_for_function("() => document.getElementById('moment').dataset.at === '33.528'")
    shown_equals_twin(page, "33.528")
    page.get_by_role("link", name="One rod back").click()
    page.wait_for_function("() => document.getElementById('moment').dataset.at === '30.48'")
    shown_equals_twin(page, "30.48")
    page.wait_for_url("**at=30.48**")


def test_keys_move_the_slider(page: Page) -> None:
    page.goto("/bore/B-2?at=60")
    page.locator("#at").focus()
    page.keyboard.press("ArrowLeft")
    page.wait_for_function(
        "() => document.getElementById('moment').dataset.at !== '60.0'"
        " && document.getElementById('moment').getAttribute('aria-busy') === 'false'"
    )
    shown_equals_twin(page, page.locator("#moment").get_attribute("data-at") or "")


def test_without_scripts_the_links_and_the_button_work(browser: Browser, address: str) -> None:
    context = browser.new_context(base_url=address, java_script_enabled=False)
    page = context.new_page()
    page.goto("/bore/B-2?at=30.48")
    page.get_by_role("link", name="One rod on").click()
    page.wait_for_url("**at=33.528**")
    shown = {each.key: each.value for each in read(page.content()).figures}
    assert float(shown["bore.at"]) == pytest.approx(33.528)
    page.get_by_role("button", name="Show").click()
    page.wait_for_url("**pass=pilot**")
    assert "at=" in page.url
    context.close()
