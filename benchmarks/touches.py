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

from gloves import Layout, wrong_in_100  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402
from rig_day_book import BORE, RIG, tell  # noqa: E402
from served import served  # noqa: E402
from touching import logged, run  # noqa: E402

from conftest import SWITCHES, find_browser  # noqa: E402

SIZES = {"tablet": (768, 1024), "phone": (360, 740)}
SIGMAS_MM, TIMES = (2.5, 3.5, 5.0, 10.0), 60


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
                    layout = Layout.of(page)
                    context.close()
            touches = sorted(each.touches for each in found)
            seconds = sorted(each.seconds for each in found)
            at_95 = -(-len(found) * 95 // 100) - 1
            print(
                f"{name}, {len(found)} rods: {statistics.median(touches):g} touches and "
                f"{statistics.median(seconds):.1f} s in the middle; 95 in 100 within "
                f"{touches[at_95]} touches and {seconds[at_95]:.1f} s; most {touches[-1]}"
            )
            print("  " + " ".join(f"{each.station}:{each.touches}" for each in found))
            for sigma in SIGMAS_MM:
                wrong = wrong_in_100(layout, run(), sigma, TIMES)
                print(
                    f"  gloves, scatter {sigma:g} mm (one sigma): {wrong:.2f} wrong entries in 100"
                )


if __name__ == "__main__":
    main()
