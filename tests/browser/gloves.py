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
from touching import PHONE_BELOW, Rod, keys, shortest, steps

SIGMA_MM = 2.5
OVERLOOKED = 0.02
PX_PER_MM = {True: 160 / 25.4, False: 768 / 160.0}
"""By whether the screen is a phone's."""
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
    asks_twice: bool
    """Whether a row is kept at the second touch of the same button."""

    @classmethod
    def of(cls, page: Page, asks_twice: bool | None = None) -> Layout:
        """Targets in sight; a small screen asks twice unless said otherwise."""
        is_phone = width(page) < PHONE_BELOW
        found = (Box(*row) for row in page.evaluate(BOXES))
        inside = tuple(box for box in found if 0 <= box.top < height(page))
        return cls(inside, PX_PER_MM[is_phone], is_phone if asks_twice is None else asks_twice)

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
        stepped = steps(text, wanted)
    except ValueError:
        stepped = None
    return "key", stepped[0] if stepped else "back"  # too far to step: it is taken out


@dataclass
class Logged:
    """What became of one rod."""

    is_wrong: bool
    touches: int


def logged_blind(
    layout: Layout, rod: Rod, last: str, sigma_mm: float, chance: random.Random
) -> Logged:
    """One rod by a hand that misses: what is kept in the end, and after how many touches.

    A wrong key overlooked is taken for right, and Keep is aimed at. Where a row is kept at the
    second touch, the first one shows the number on the button: it is looked at once more.
    """
    text, wanted, once, is_blind = "", rod.pitch, "", False
    for touches in range(1, MOST_TOUCHES):
        if rod.how != "read":
            what, name = ("key", "back") if text else ("keep", rod.how)
        else:
            what, name = ("keep", "read") if is_blind else aim_for(text, wanted, last)
        hit = layout.touched(layout.box(what, name), sigma_mm, chance)
        if hit is None or hit.what == "other":
            continue
        if hit.what == "take back":
            return Logged(True, touches)
        if hit.what == "key":
            text, once = keyed(text, hit.name, last), ""
            is_blind |= hit.name != name and chance.random() < OVERLOOKED
        elif (hit.name == "read") == bool(text) and (hit.name != "same" or last):
            if hit.name == "read" and not text.lstrip("-").replace(".", "", 1).isdigit():
                continue  # the page keeps no "-" alone
            if layout.asks_twice and once != hit.name:
                once = hit.name
                is_blind &= chance.random() < OVERLOOKED
                continue
            is_other = hit.name != rod.how
            return Logged(is_other or (bool(text) and float(text) != float(wanted)), touches)
    return Logged(True, MOST_TOUCHES)


@dataclass(frozen=True)
class Found:
    """Of a run drawn some times: wrong entries in 100, touches in the mean and of 95 in 100."""

    wrong: float
    touches: float
    touches_95: int


def run_in_gloves(layout: Layout, rods: list[Rod], sigma_mm: float, times: int) -> Found:
    """A run logged some times over."""
    chance, found = random.Random(1), []
    for _ in range(times):
        last = ""
        for rod in rods:
            found.append(logged_blind(layout, rod, last, sigma_mm, chance))
            last = rod.pitch if rod.how == "read" else last if rod.how == "same" else ""
    touches = sorted(each.touches for each in found)
    wrong = 100.0 * sum(each.is_wrong for each in found) / len(found)
    return Found(wrong, sum(touches) / len(touches), touches[len(touches) * 95 // 100])


PRESSES = """() => [...document.querySelectorAll('main form button[data-kind]')]
  .filter(each => each.offsetParent && !each.closest('.take-back')).map((each, n) => {
    const box = each.getBoundingClientRect();
    return ['press', String(n), box.x, box.y, box.right, box.bottom]; })"""


def presses_in_gloves(page: Page, sigma_mm: float, times: int, asks_twice: bool) -> Found:
    """A page whose every button keeps an entry: each aimed at in turn until one is kept."""
    boxes = tuple(Box(*row) for row in page.evaluate(PRESSES))
    layout = Layout(boxes, PX_PER_MM[width(page) < PHONE_BELOW], asks_twice)
    chance, touches, wrong = random.Random(1), [], 0
    for aim in boxes * times:
        once: Box | None = None
        count = 0
        while count < MOST_TOUCHES:
            count += 1
            hit = layout.touched(aim, sigma_mm, chance)
            if hit is None:
                continue
            if hit == once or not asks_twice:
                wrong += hit != aim
                break
            once = hit
        touches.append(count)
    touches.sort()
    mean = sum(touches) / len(touches)
    return Found(100.0 * wrong / len(touches), mean, touches[len(touches) * 95 // 100])


def width(page: Page) -> int:
    """[px]"""
    size = page.viewport_size
    assert size is not None
    return size["width"]


def height(page: Page) -> int:
    """[px]"""
    size = page.viewport_size
    assert size is not None
    return size["height"]
