"""The rods of a string drawn where they stand: life used by the height of the fill."""

from __future__ import annotations

import math
from collections.abc import Sequence
from html import escape

from rodhand.book.views import RodRow
from rodhand.sheets.picture_frame import Frame
from rodhand.sheets.shown import life_in_words
from rodhand.sheets.svg import (
    GROUND,
    INK,
    INK_SECOND,
    LETTER,
    LIFE,
    PAPER,
    TEXT_SIZE,
    Pen,
    points,
    tag,
)
from rodhand.units import Figure

Box = tuple[float, float, float, float]
CAPITAL = 0.72  # height of a capital over the size of the text
INSET = 1.6  # paper left between fill and outline, so that a broken outline shows [px]
SCALES = (0.01, 0.1, 1.0)
"""Life used that a full rod may stand for; the smallest that holds the worst rod is printed."""


def life_of(rod: RodRow) -> Figure | None:
    """Life used to then: all of it where the book knows it, else this bore's."""
    return rod.figures.get("life_used_all") or rod.figures.get("life_used")


def full_scale(rods: Sequence[RodRow]) -> float:
    """Life used a full rod stands for: the smallest of `SCALES` that holds every rod."""
    known = [life.value for rod in rods if (life := life_of(rod)) and life.value is not None]
    worst = max(known, default=0.0)
    return next((scale for scale in SCALES if worst <= scale), SCALES[-1])


def hue(share: float) -> str:
    """Colour of a share of the full scale; it repeats what the height says."""
    return LIFE[min(max(int(share * len(LIFE)), 0), len(LIFE) - 1)]


def draw_rod(frame: Frame, rod: RodRow, full: float, thick: float, pen: Pen) -> str:
    """One rod: outline (broken when mostly assumed, dotted when unknown) and its fill."""
    start = max(rod.start, -frame.picture.rod_length)
    gap = min(0.8 / frame.scale, (rod.end - start) / 4)
    start, end, half = start + gap, rod.end - gap, thick / 2
    life = life_of(rod)
    unknown = life is None or life.value is None
    parts = [tag("title", escape(_rod_title(rod, life, pen)))]
    outline = points(frame.band(start, end, -half, half))
    parts.append(tag("polygon", points=outline, fill=PAPER))
    if life is not None and life.value is not None:
        share = min(life.value / full, 1.0)
        low, inside = -half + INSET, thick - 2 * INSET
        inset = min(INSET / frame.scale, (end - start) / 4)
        filled = frame.band(start + inset, end - inset, low, low + share * inside)
        parts.append(tag("polygon", points=points(filled), fill=hue(share)))
    dashes = "1.5 3" if unknown else "5 3" if rod.mostly_assumed else None
    parts.append(
        tag(
            "polygon",
            points=outline,
            fill="none",
            stroke=INK,
            stroke_width=1.3,
            stroke_dasharray=dashes,
        )
    )
    return tag("g", *parts, class_="rod", data_rod=rod.key, data_place=rod.place)


def _rod_title(rod: RodRow, life: Figure | None, pen: Pen) -> str:
    low, best, high = (life.low, life.value, life.high) if life else (None, None, None)
    words = life_in_words(low, best, high, pen.language)
    return pen.say("rod_title", name=rod.name, place=rod.place, life=words)


def draw_names(frame: Frame, rods: Sequence[RodRow], thick: float, pen: Pen) -> list[str]:
    """Names beside the rods, from the tool backward, as many as have room."""
    marks: list[str] = []
    taken: list[Box] = []
    for rod in sorted(rods, key=lambda each: -each.end):
        x, y = _beside(frame, rod, thick)
        wide = pen.width((rod.name,))
        box = (x - wide / 2 - 6, y - TEXT_SIZE, x + wide / 2 + 6, y + 4)
        if box[0] < frame.left - 8 or any(_overlap(box, other) for other in taken):
            continue
        taken.append(box)
        marks.append(_name(frame, x, y, rod.name, "middle", pen))
    return marks


def _name(frame: Frame, x: float, y: float, name: str, anchor: str, pen: Pen) -> str:
    """A name on a halo of what it stands on; the line of entry level gives way to it."""
    top, level = y - TEXT_SIZE * CAPITAL, frame.entry_y
    halo = GROUND if top > level else PAPER
    label = pen.label(x, y, name, anchor=anchor, halo=halo)
    if not top - 2 < level < y + 2:
        return label
    wide = 1.1 * pen.width((name,)) + 4
    left = x - wide / 2 if anchor == "middle" else x - 2
    return tag("rect", x=left, y=level - 1, width=wide, height=2.0, fill=GROUND) + label


def _overlap(one: Box, other: Box) -> bool:
    across = one[0] < other[2] and other[0] < one[2]
    return across and one[1] < other[3] and other[1] < one[3]


def _beside(frame: Frame, rod: RodRow, thick: float) -> tuple[float, float]:
    """Middle of a rod's name: above a level rod, above and aside of a steep one. [px]"""
    middle = (max(rod.start, 0.0) + rod.end) / 2
    half_name = len(rod.name) * TEXT_SIZE * LETTER / 2
    near = frame.band(middle - 0.01, middle, 0.0, thick / 2)
    x, y = near[-1]  # on the upper edge
    (x1, y1), (x2, y2) = near[0], near[1]
    slope = (y2 - y1) / max(x2 - x1, 1e-9)
    # Far enough aside that the name's near end clears a straight line of this slope.
    aside = math.copysign(min(abs(slope), 1.0) * half_name, slope)
    return x + aside, y - 8 if abs(slope) < 0.6 else y - 2


def draw_front(frame: Frame, rods: Sequence[RodRow], thick: float) -> str:
    """What stands between the first rod and the tool: a plain dark bar, its parts not told."""
    first = max((rod.end for rod in rods), default=frame.picture.tool)
    if frame.picture.tool - first < 0.05:
        return ""
    outline = frame.band(first, frame.picture.tool, -0.3 * thick, 0.3 * thick)
    return tag("polygon", points=points(outline), fill=INK, class_="front")


def draw_head(frame: Frame, name: str, thick: float, pen: Pen, right: float) -> str:
    """The tool as a plain wedge at the end of the string; its name stays left of ``right`` [px]."""
    tool = frame.picture.tool
    x, y = frame.x(tool), frame.y(tool)
    behind = max(tool - 0.4 * frame.picture.rod_length, 0.0)
    dx, dy = x - frame.x(behind), y - frame.y(behind)
    size = (dx * dx + dy * dy) ** 0.5 or 1.0
    ux, uy = dx / size, dy / size
    half, long = thick * 0.62, thick * 1.1
    wedge = [
        (x - uy * half, y + ux * half),
        (x + ux * long, y + uy * long),
        (x + uy * half, y - ux * half),
    ]
    shape = tag("polygon", points=points(wedge), fill=INK)
    if not name:
        return shape
    if uy < -0.3:  # a rising string: below the tool its own rods are in the way
        beside = x + ux * long + 6
        if beside + 1.1 * pen.width((name,)) <= right:
            return shape + _name(frame, beside, y + 6, name, "start", pen)
        return shape + pen.label(right - 4, y - thick - 8, name, anchor="end")
    return shape + _name(frame, x + 4, y + thick / 2 + 20, name, "start", pen)


def draw_scale(x: float, y: float, full: float, pen: Pen) -> str:
    """The printed scale: rods filled step by step, from none to what a full rod stands for."""
    wide, high = 40.0, 18.0
    parts = [pen.label(x, y, pen.say("scale"), fill=INK_SECOND)]
    for step in range(len(LIFE)):
        left, share = x + step * (wide + 3), (step + 1) / len(LIFE)
        fill = (high - 2 * INSET) * share
        parts.append(tag("rect", x=left, y=y + 10, width=wide, height=high, fill=PAPER))
        parts.append(
            tag(
                "rect",
                x=left + INSET,
                y=y + 10 + high - INSET - fill,
                width=wide - 2 * INSET,
                height=fill,
                fill=LIFE[step],
            )
        )
        parts.append(
            tag(
                "rect",
                x=left,
                y=y + 10,
                width=wide,
                height=high,
                fill="none",
                stroke=INK,
                stroke_width=1.3,
            )
        )
    right = x + len(LIFE) * (wide + 3) - 3
    parts.append(pen.label(x, y + 46, pen.say("scale_least")))
    most = pen.say(f"scale_full_{SCALES.index(full)}")
    parts.append(pen.label(right, y + 46, most, anchor="end"))
    return "".join(parts)
