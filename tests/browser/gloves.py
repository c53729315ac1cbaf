"""Gloved fingers on the page of the rod being drilled, by chance, on its own boxes.

A finger of 18 mm lies on the glass; the screen takes its centre, as touch screens do. The centre
scatters about what is aimed at, normal and alike both ways. *10 mm of scatter* is read as: 95 in
100 touches fall within 10 mm across, one sigma 2.5 mm. Glass: a phone has 160 CSS px to the inch
(6.3 px/mm), a tablet 768 px over 160 mm (4.8 px/mm). A hand looks at the number after each key and
mends what is wrong, but overlooks 2 wrong keys in 100 (assumed).
"""

from __future__ import annotations

import random
from dataclasses import dataclass

from playwright.sync_api import Page
from touching import Rod, keys, shortest

SIGMA_MM = 2.5
OVERLOOKED = 0.02
PX_PER_MM = {True: 160 / 25.4, False: 768 / 160.0}
"""By whether the screen is a phone's."""
PHONE_BELOW = 600
MOST_TOUCHES = 400

BOXES = """() => [...document.querySelectorAll('main a, main button, main input')]
  .filter(each => each.offsetParent && each.type !== 'hidden').map(each => {
    const box = each.getBoundingClientRect();
    const name = each.dataset.key ?? each.dataset.step ??
      (each.closest('.keeps') ? each.value : '');
    const what = each.closest('.keypad') ? 'key' : each.closest('.keeps') ? 'keep'
      : each.closest('.take-back') ? 'take back' : 'other';
    return [what, name, box.x, box.y, box.right, box.bottom]; })"""


@dataclass(frozen=True)
class Box:
    """One target. [px]"""

    what: str
    name: str
    left: float
    top: float
    right: float
    bottom: float

    def holds(self, x: float, y: float) -> bool:
        return self.left <= x <= self.right and self.top <= y <= self.bottom


@dataclass(frozen=True)
class Layout:
    """Targets of the page in sight."""

    boxes: tuple[Box, ...]
    px_per_mm: float

    @classmethod
    def of(cls, page: Page) -> Layout:
        size = page.viewport_size
        assert size is not None
        found = (Box(*row) for row in page.evaluate(BOXES))
        inside = tuple(box for box in found if 0 <= box.top < size["height"])
        return cls(inside, PX_PER_MM[size["width"] < PHONE_BELOW])

    def box(self, what: str, name: str) -> Box:
        return next(each for each in self.boxes if (each.what, each.name) == (what, name))

    def touched(self, aim: Box, sigma_mm: float, chance: random.Random) -> Box | None:
        sigma = sigma_mm * self.px_per_mm
        x = chance.gauss((aim.left + aim.right) / 2, sigma)
        y = chance.gauss((aim.top + aim.bottom) / 2, sigma)
        return next((each for each in self.boxes if each.holds(x, y)), None)


def keyed(text: str, name: str, last: str) -> str:
    """What a key makes of the number, as the page does."""
    if name == "back":
        return text[:-1]
    if name == "sign":
        return text[1:] if text.startswith("-") else f"-{text}"
    if name[0] in "+-":
        try:
            return f"{float(text or last or '0') + float(name):.1f}".replace("-0.0", "0.0")
        except ValueError:
            return text
    return text if name == "." and "." in text else text + name


def aim_for(text: str, wanted: str, last: str) -> tuple[str, str]:
    """What a hand touches next: a key, Delete, or Keep once the number stands there."""
    try:
        if text and float(text) == float(wanted):
            return "keep", "read"
    except ValueError:
        pass
    typed = keys(wanted)
    if not text or not any(name[0] in "+-" and len(name) > 1 for name in shortest(last, wanted)):
        if not text:
            return "key", shortest(last, wanted)[0]
        bare = "".join(name for name in typed if name != "sign")
        if text == bare:
            return "key", "sign"
        if bare.startswith(text):
            return "key", bare[len(text)]
        return "key", "back"
    try:
        return "key", shortest(text, wanted)[0] if abs(float(text)) < 100 else "back"
    except ValueError:
        return "key", "back"


def entry_is_wrong(
    layout: Layout, rod: Rod, last: str, sigma_mm: float, chance: random.Random
) -> bool:
    """Whether what a hand ends up keeping of one rod is not what it meant."""
    text, wanted = "", rod.pitch
    for _ in range(MOST_TOUCHES):
        what, name = aim_for(text, wanted, last) if rod.how == "read" else ("keep", rod.how)
        if rod.how != "read" and text:
            what, name = "key", "back"
        hit = layout.touched(layout.box(what, name), sigma_mm, chance)
        if hit is None or hit.what == "other":
            continue
        if hit.what == "take back":
            return True
        if hit.what == "key":
            after = keyed(text, hit.name, last)
            if (hit.what, hit.name) != (what, name) and chance.random() < OVERLOOKED:
                return True
            text = after
        elif (hit.name == "read") == bool(text) and (hit.name != "same" or last):
            if hit.name == "read" and not text.lstrip("-").replace(".", "", 1).isdigit():
                continue  # the page keeps no "-" alone
            return hit.name != rod.how or (rod.how == "read" and float(text) != float(rod.pitch))
    return True


def wrong_in_100(layout: Layout, rods: list[Rod], sigma_mm: float, times: int) -> float:
    """Wrong entries in 100 over the run, drawn some times."""
    chance, wrong = random.Random(1), 0
    for _ in range(times):
        last = ""
        for rod in rods:
            wrong += entry_is_wrong(layout, rod, last, sigma_mm, chance)
            last = rod.pitch if rod.how == "read" else last if rod.how == "same" else ""
    return 100.0 * wrong / (times * len(rods))
