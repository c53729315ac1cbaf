"""A gloved hand on the page of the rod being drilled: which touches it takes, counted and timed.

Pace by the keystroke-level model (Card, Moran and Newell, 1980, from memory): 1.35 s to take in
the number called over, and 1.35 s to look before it is kept. A touch in a glove 0.8 s, assumed:
about twice what a bare finger takes from key to key. A swipe 1.0 s, assumed. What the page itself
takes is measured and added.
"""

from __future__ import annotations

import csv
import time
from dataclasses import dataclass
from itertools import product
from pathlib import Path

from playwright.sync_api import Page, expect

THINK, TOUCH, SWIPE = 1.35, 0.8, 1.0
"""[s]"""
STEPS = (0.1, 1.0, 5.0)
MOST_OF_A_STEP = 6
PHONE_BELOW = 600
"""Width of a screen that is a phone's. [px]"""


@dataclass(frozen=True)
class Rod:
    """One row of the run."""

    station: int
    how: str
    pitch: str
    push: str
    remark: str
    undo: bool


def run() -> list[Rod]:
    """The invented run of 36 rods."""
    text = (Path(__file__).parent / "rod_run.csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return [
        Rod(int(row["station"]), row["how"], row["pitch_pct"], row["push_ft"], row["remark"],
            row["undo"] == "yes")
        for row in csv.DictReader(lines)
    ]  # fmt: skip


def keys(number: str) -> list[str]:
    """Keys that type a number; a nought before the point is left out."""
    bare = number.lstrip("-").removesuffix(".0")
    if bare.startswith("0."):
        bare = bare[1:]
    return [*bare, *(["sign"] if number.startswith("-") else [])]


def steps(last: str, number: str) -> list[str] | None:
    """Fewest steps from one pitch to another; None where they are too many."""
    if not last:
        return None
    wanted = round((float(number) - float(last)) * 10)
    counts = range(-MOST_OF_A_STEP, MOST_OF_A_STEP + 1)
    found = [
        each for each in product(counts, repeat=3)
        if each[0] + 10 * each[1] + 50 * each[2] == wanted
    ]  # fmt: skip
    best = min(found, key=lambda each: sum(map(abs, each)), default=None)
    if best is None or best == (0, 0, 0):
        return None
    return [
        f"{'+' if count > 0 else '-'}{size:g}"
        for size, count in zip(STEPS, best, strict=True)
        for _ in range(abs(count))
    ]


def shortest(last: str, number: str) -> list[str]:
    """Keys or steps, whichever are fewer."""
    typed, stepped = keys(number), steps(last, number)
    return stepped if stepped is not None and len(stepped) < len(typed) else typed


@dataclass
class Counted:
    """What one rod took."""

    station: int
    touches: int = 0
    swipes: int = 0
    paced: float = 0.0
    """By the hand's pace. [s]"""
    waited: float = 0.0
    """For the page, measured. [s]"""


class Hand:
    """Logs rods on the page and counts. A swipe counts as a touch."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.now = Counted(0)

    def touch(self, selector: str) -> None:
        """Touch one thing, brought into sight by a swipe where it is not."""
        target = self.page.locator(selector).first
        box = target.bounding_box()
        size = self.page.viewport_size
        assert box is not None
        assert size is not None
        if box["y"] < 0 or box["y"] + box["height"] > size["height"]:
            self.now.swipes += 1
            target.scroll_into_view_if_needed()
        target.tap()
        self.now.touches += 1

    def key(self, name: str) -> None:
        """One key or step of the keypad."""
        kind = "data-step" if name[0] in "+-" else "data-key"
        self.touch(f'.keypad [{kind}="{name}"]')

    def keeps(self, rod: Rod, last: str, pitch: str) -> None:
        """Type one row and keep it."""
        if rod.how == "read":
            for name in shortest(last, pitch):
                self.key(name)
            if rod.push:
                self.touch('[name="push_ft"]')
                for name in rod.push:
                    self.key(name)
            if rod.remark:
                self.touch('[name="remark"]')
                self.page.keyboard.type(rod.remark)
                self.now.touches += len(rod.remark)
        keep = f'.keeps [value="{rod.how}"]'
        self.touch(keep)
        size = self.page.viewport_size
        if size is not None and size["width"] < PHONE_BELOW:  # a small screen asks twice
            expect(self.page.locator(f"{keep}[data-once]")).to_be_visible()
            self.touch(keep)
        start = time.perf_counter()
        self.page.wait_for_url(f"**kept={rod.station}*")
        expect(self.page.locator("h1")).to_contain_text(f"Rod {rod.station + 1} of")
        self.now.waited += time.perf_counter() - start

    def log(self, rod: Rod, last: str) -> Counted:
        """One rod from screen awake to entry on disk."""
        self.now = Counted(rod.station)
        if rod.undo:
            self.keeps(rod, last, "6.2")
            self.touch(".take-back button")
            self.page.wait_for_url("**taken_back=1*")
            expect(self.page.locator("h1")).to_contain_text(f"Rod {rod.station} of")
        self.keeps(rod, last, rod.pitch)
        now = self.now
        now.touches += now.swipes
        looks = 1 if rod.how == "read" else 0
        now.paced += THINK * (1 + looks) + TOUCH * (now.touches - now.swipes) + SWIPE * now.swipes
        return now


def logged(page: Page, rods: list[Rod], last: str = "") -> list[Counted]:
    """A whole run, rod by rod."""
    hand, found = Hand(page), []
    for rod in rods:
        found.append(hand.log(rod, last))
        last = rod.pitch if rod.how == "read" else last if rod.how == "same" else ""
    return found
