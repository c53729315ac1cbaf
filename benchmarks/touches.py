"""Touches and modelled seconds for each rod of an invented run of 36, in a real browser.

Run: python benchmarks/touches.py
Counted from screen awake to entry on disk at tablet and phone size; pace as tests/browser/touching.
Wanted: at most 6 touches and 8 s in the middle, at most 12 touches for 95 rods in 100.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve().parents[1] / "tests"
FOLDERS = ("browser", "unit/rig_day", "unit/web", "")
sys.path[:0] = [str(HERE / each) for each in FOLDERS]

from gloves import Found, Layout, presses_in_gloves, run_in_gloves  # noqa: E402
from playwright.sync_api import Page, sync_playwright  # noqa: E402
from rig_day_book import BORE, RIG, tell  # noqa: E402
from served import served  # noqa: E402
from touching import logged, run  # noqa: E402

from conftest import SWITCHES, find_browser  # noqa: E402

SIZES = {"tablet": (768, 1024), "phone": (360, 740)}
SIGMAS_MM, TIMES = (2.5, 3.5, 5.0, 10.0), 40
PAGES = ("rig-day", "rig-checks/before", "rig-pullback")


def main() -> None:
    """Print touches and seconds by size, then every rod above 6 touches."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=find_browser(), args=SWITCHES)
        for name, (width, height) in SIZES.items():
            with tempfile.TemporaryDirectory() as folder:
                book = Path(folder) / "book"
                tell(book, (*RIG, BORE[0]))
                with served(book) as address:
                    context = browser.new_context(
                        base_url=address,
                        has_touch=True,
                        viewport={"width": width, "height": height},
                    )
                    context.add_cookies([{"name": "units", "value": "us", "url": address}])
                    page = context.new_page()
                    page.goto("/rig-rod/Rig-40#this-rod")
                    found = logged(page, run())
                    layouts = [Layout.of(page, twice) for twice in (False, True)]
                    tell(book, [("reading", {"bore": "B1", "station": "12", "pitch_pct": "1"})])
                    presses = in_gloves_elsewhere(page)
                    context.close()
            touches = sorted(each.touches for each in found)
            seconds = sorted(each.paced + each.waited for each in found)
            at_95 = -(-len(found) * 95 // 100) - 1
            print(
                f"{name}, {len(found)} rods: {statistics.median(touches):g} touches and "
                f"{statistics.median(seconds):.1f} s in the middle; 95 in 100 within "
                f"{touches[at_95]} touches and {seconds[at_95]:.1f} s; most {touches[-1]}"
            )
            print("  " + " ".join(f"{each.station}:{each.touches}" for each in found))
            for layout in layouts:
                for sigma in SIGMAS_MM:
                    told(f"this rod, {sigma:g} mm", layout.asks_twice,
                         run_in_gloves(layout, run(), sigma, TIMES))  # fmt: skip
            for words, twice, each in presses:
                told(words, twice, each)


def in_gloves_elsewhere(page: Page) -> list[tuple[str, bool, Found]]:
    """The other pages on which a touch keeps an entry, the pullback with rods coming out."""
    found = []
    for path in PAGES:
        page.goto(f"/{path}/Rig-40")
        if path == "rig-pullback":
            page.get_by_role("button", name="Start behind RM-8").tap()
            page.locator(".rods-out button").first.wait_for()
        for twice in (False, True):
            found += [
                (f"{path}, {sigma:g} mm", twice, presses_in_gloves(page, sigma, TIMES, twice))
                for sigma in SIGMAS_MM
            ]
    return found


def told(words: str, twice: bool, found: Found) -> None:
    print(
        f"  {words} of scatter (one sigma), {'two touches' if twice else 'one touch'}: "
        f"{found.wrong:.2f} wrong in 100, {found.touches:.1f} touches, "
        f"95 in 100 within {found.touches_95}"
    )


if __name__ == "__main__":
    main()
