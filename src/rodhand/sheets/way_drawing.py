"""The picture of a way back: the whole bore small, the stretch at hand from the side and above."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from rodhand.book.rig.way_views import Points, WayDrawing
from rodhand.sheets.svg import (
    ALARM,
    GROUND,
    INK,
    INK_SECOND,
    LINE,
    PAPER,
    SLATE,
    TEXT_SIZE,
    Pen,
    points,
    tag,
)
from rodhand.units import System
from rodhand.words import IN_FORCE, say

SIDE = 14.0
ROW = 26.0
"""Height of a line of words above a view. [px]"""
WHOLE, NEAR, ABOVE = 64.0, 210.0, 130.0
"""Heights of the three views. [px]"""
MOST_STRETCH = 8.0
BEHIND, BEYOND = 4, 2
"""Rods shown behind the tool and beyond the way."""
NAME_ROWS = 3
NUMBER_ROOM = 26.0
"""A rod's number needs so much room. [px]"""


@dataclass(frozen=True)
class _View:
    """A window on the bore: along the line, and up from the entry or to its right. [m]"""

    left: float
    right: float
    low: float
    high: float
    top: float
    width: float
    tall: float
    most: float

    @property
    def across(self) -> float:
        return (self.width - 2.0 * SIDE) / (self.right - self.left)

    @property
    def up(self) -> float:
        return min(self.tall / (self.high - self.low), self.most * self.across)

    def x(self, along: float) -> float:
        return SIDE + (along - self.left) * self.across

    def y(self, value: float) -> float:
        middle = self.top + self.tall / 2.0
        return middle + ((self.high + self.low) / 2.0 - value) * self.up

    def line(self, path: Points) -> str:
        return points([(self.x(a), self.y(b)) for a, b in path])

    def shows(self, start: float, end: float) -> bool:
        return end >= self.left and start <= self.right


def way_svg(
    drawing: WayDrawing, name: str, width: float = 900.0, system: System = "metric",
    language: str = IN_FORCE,
) -> str:  # fmt: skip
    """The picture as SVG.

    Parameters
    ----------
    drawing : WayDrawing
        What is drawn.
    name : str
        Of the bore.
    width : float
        Width. [px]
    system : {"metric", "us"}
        Of the label's figures.
    language : str
        Language of the words.

    Returns
    -------
    str
        Heights are drawn larger than lengths by a factor that is printed; without what lies
        sideways there is no view from above.
    """
    pen = Pen(system, language, f"way{width:.0f}")
    whole, near, above = _views(drawing, width)
    seen = near.top + near.tall + 8.0 if above is None else above.top + above.tall + 8.0
    title, about = f"{pen.prefix}-title", f"{pen.prefix}-about"
    told = say(
        "way.drawing_about", language, drilled=len(drawing.drilled_m) - 1,
        rods=len(drawing.stations), utilities=len(drawing.utilities_m), old=len(drawing.old_m),
    )  # fmt: skip
    stretch = f"{near.up / near.across:.1f}"
    parts = [
        pen.label(SIDE, whole.top - 8.0, say("way.drawing_whole", language), fill=INK_SECOND),
        *_whole(drawing, whole, near),
        pen.label(
            SIDE, near.top - 8.0, say("way.drawing_side", language, stretch=stretch),
            fill=INK_SECOND,
        ),
        *_side(drawing, near, pen),
    ]  # fmt: skip
    if above is not None:
        words = say("way.drawing_above", language, stretch=f"{above.up / above.across:.1f}")
        parts.append(pen.label(SIDE, above.top - 8.0, words, fill=INK_SECOND))
        parts += _above(drawing, above, pen)
    return tag(
        "svg",
        tag("title", escape(say("way.drawing", language, name=name)), id=title),
        tag("desc", escape(told), id=about),
        tag("rect", x=0, y=0, width=width, height=seen, fill=PAPER),
        tag("defs", *(_clip(pen, each) for each in (whole, near, above) if each is not None)),
        *parts,
        xmlns="http://www.w3.org/2000/svg", viewBox=f"0 0 {width:.0f} {seen:.0f}",
        width=f"{width:.0f}", height=f"{seen:.0f}", role="img",
        aria_labelledby=f"{title} {about}",
    )  # fmt: skip


def _views(d: WayDrawing, width: float) -> tuple[_View, _View, _View | None]:
    rod = _rod_length(d)
    ends = [p[0] for path in (d.drilled_m, d.way_m, d.plan_m, *d.old_m) for p in path]
    far = max([*ends, d.exit_m[0] if d.exit_m else 0.0, rod])
    heights = [p[1] for path in (d.drilled_m, d.way_m, d.plan_m, *d.old_m) for p in path]
    top = d.exit_m[1] if d.exit_m else 0.0
    whole = _View(
        0.0, far, min([*heights, -1.0]), max([*heights, 0.0, top]), ROW, width, WHOLE, MOST_STRETCH
    )
    tool = d.drilled_m[-1][0]
    begins = min([tool, *(path[0][0] for path in d.old_m if tool - path[0][0] < 12 * rod)])
    left = max(begins - BEHIND * rod, -0.5 * rod)
    right = (d.way_m[-1][0] if d.way_m else tool + 2 * rod) + BEYOND * rod
    seen = _inside(left, right, (d.drilled_m, d.way_m, d.plan_m, *d.old_m))
    for _, at, to, height, _, keep, _ in d.utilities_m:
        if height is not None and to + keep >= left and at - keep <= right:
            seen += [height - keep, height + keep]
    near = _View(
        left, right, min(seen) - 0.2, min(max(seen) + 0.2, max(0.5, top + 0.5)),
        whole.top + WHOLE + ROW + 12.0, width, NEAR, MOST_STRETCH,
    )  # fmt: skip
    if not d.drilled_aside_m:
        return whole, near, None
    beside = _inside(
        left, right, (d.drilled_aside_m, d.way_aside_m, d.plan_aside_m, *d.old_aside_m)
    )
    for _, at, to, _, _, keep, offset in d.utilities_m:
        if offset is not None and to >= left and at <= right:
            beside += [-offset - keep, -offset + keep]
    most = max([0.5, *(abs(each) for each in beside)]) + 0.1
    return whole, near, _View(
        left, right, -most, most, near.top + NEAR + ROW + 14.0, width, ABOVE, MOST_STRETCH
    )  # fmt: skip


def _rod_length(d: WayDrawing) -> float:
    return d.drilled_m[-1][0] / max(len(d.drilled_m) - 1, 1)


def _inside(left: float, right: float, paths: Sequence[Points]) -> list[float]:
    """Values of paths where they are shown."""
    found = [b for path in paths for a, b in path if left <= a <= right]
    return found or [0.0]


def _clip(pen: Pen, view: _View) -> str:
    window = tag("rect", x=0, y=view.top, width=view.width, height=view.tall)
    return tag("clipPath", window, id=f"{pen.prefix}-{view.top:.0f}")


def _clipped(pen: Pen, view: _View, *parts: str) -> str:
    return tag("g", *parts, clip_path=f"url(#{pen.prefix}-{view.top:.0f})")


def _whole(d: WayDrawing, view: _View, near: _View) -> list[str]:
    bottom = view.top + view.tall
    end = d.exit_m if d.exit_m is not None else (view.right, 0.0)
    parts = [
        tag("polygon", fill=GROUND, points=points([
            (view.x(0.0), view.y(0.0)), (view.x(end[0]), view.y(end[1])),
            (view.x(end[0]), bottom), (view.x(0.0), bottom)])),
        tag("line", x1=view.x(0.0), y1=view.y(0.0), x2=view.x(end[0]), y2=view.y(end[1]),
            stroke=INK, stroke_width=1.5),
    ]  # fmt: skip
    for _, at, to, height, _, keep, _ in d.utilities_m:
        if height is not None:
            parts.append(_keep(view, at, to, height, keep))
    parts += _lines(view, d.plan_m, d.old_m, d.drilled_m, d.way_m)
    parts.append(
        tag("rect", x=max(view.x(near.left), 1.0), y=view.top + 1.0,
            width=min(view.x(near.right), view.width - 1.0) - max(view.x(near.left), 1.0),
            height=view.tall - 2.0, fill="none", stroke=INK, stroke_width=1.2)
    )  # fmt: skip
    return parts


def _lines(
    view: _View, plan: Points, old: Sequence[Points], drilled: Points, way: Points
) -> list[str]:
    """Plan dashed, old holes dotted, the hole drilled black, the way slate."""
    plain = {"fill": "none", "stroke_linejoin": "round", "stroke_linecap": "round"}
    parts = [
        tag("polyline", points=view.line(plan), stroke=INK, stroke_width=2,
            stroke_dasharray="9 6", **plain)
    ]  # fmt: skip
    parts += [
        tag("polyline", points=view.line(each), stroke=INK_SECOND, stroke_width=3,
            stroke_dasharray="1 6", **plain)
        for each in old
    ]  # fmt: skip
    parts.append(tag("polyline", points=view.line(drilled), stroke=INK, stroke_width=4, **plain))
    parts.append(tag("polyline", points=view.line(way), stroke=SLATE, stroke_width=4, **plain))
    return parts


def _keep(view: _View, at: float, to: float, middle: float, keep: float) -> str:
    return tag(
        "rect", x=view.x(at - keep), y=view.y(middle + keep),
        width=(to - at + 2.0 * keep) * view.across, height=2.0 * keep * view.up,
        rx=keep * view.across, ry=keep * view.up, fill=LINE, fill_opacity=0.35, stroke=ALARM,
        stroke_width=1,
    )  # fmt: skip


def _body(view: _View, at: float, to: float, middle: float, half: float) -> str:
    wide, high = max(half * view.across, 3.0), max(half * view.up, 3.0)
    return tag(
        "rect", x=view.x(at) - wide, y=view.y(middle) - high,
        width=(to - at) * view.across + 2.0 * wide, height=2.0 * high, fill=ALARM,
    )  # fmt: skip


def _side(d: WayDrawing, view: _View, pen: Pen) -> list[str]:
    slope = d.exit_m[1] / d.exit_m[0] if d.exit_m else 0.0
    beside = SIDE / view.across
    ends = [(at, slope * at) for at in (view.left - beside, view.right + beside)]
    bottom = view.top + view.tall
    earth = [(view.x(a), max(view.y(b), view.top)) for a, b in ends]
    parts = [
        tag("polygon", points=points([*earth, (earth[1][0], bottom), (earth[0][0], bottom)]),
            fill=GROUND),
        tag("polyline", points=view.line((ends[0], ends[1])), stroke=INK, stroke_width=2),
    ]  # fmt: skip
    words = []
    shown = [each for each in d.utilities_m if view.shows(each[1] - each[5], each[2] + each[5])]
    for n, (name, at, to, height, half, keep, _) in enumerate(shown):
        if height is None:
            parts.append(_unknown(view, at, to))
        else:
            parts += [_keep(view, at, to, height, keep), _body(view, at, to, height, half)]
        y = view.top + 20.0 + n % NAME_ROWS * 18.0  # names of neighbours stand in rows of their own
        told = name if height is not None else f"{name} ?"
        words.append(_word(view, (at + to) / 2.0, y, told, pen))
    parts += _lines(view, d.plan_m, d.old_m, d.drilled_m, d.way_m)
    parts += _ends(view, d.drilled_m[1:-1], PAPER, 3.0)
    parts += _ends(view, d.drilled_m[-1:], INK, 6.0)
    parts += _ends(view, d.way_m[1:], PAPER, 5.0)
    return [
        _clipped(pen, view, *parts), *words, *_numbers(d, view, pen), *_old_names(d, view, pen),
        *_entry_and_exit(d, view, pen),
    ]  # fmt: skip


def _ends(view: _View, ends: Points, fill: str, radius: float) -> list[str]:
    return [
        tag("circle", cx=view.x(a), cy=view.y(b), r=radius, fill=fill, stroke=INK, stroke_width=2)
        for a, b in ends
        if view.left <= a <= view.right
    ]


def _numbers(d: WayDrawing, view: _View, pen: Pen) -> list[str]:
    """Rod numbers under the ends of the way, as many as there is room for."""
    every = max(1, round(NUMBER_ROOM / max(_rod_length(d) * view.across, 1.0) + 0.49))
    last = len(d.stations) - 1
    return [
        pen.label(view.x(a), min(view.y(b) + 24.0, view.top + view.tall - 4.0), str(station),
                  anchor="middle", halo=GROUND, weight="bold")
        for n, (station, (a, b)) in enumerate(zip(d.stations, d.way_m[1:], strict=True))
        if (last - n) % every == 0
    ]  # fmt: skip


def _old_names(d: WayDrawing, view: _View, pen: Pen) -> list[str]:
    """Names of holes left behind, under the hole before where each was left."""
    found = []
    for number, path in enumerate(d.old_m, 1):
        if view.shows(path[0][0], path[-1][0]):
            words = say("way.drawing_old", pen.language, number=number)
            y = min(view.y(path[0][1]) + 20.0 + 18.0 * number, view.top + view.tall - 4.0)
            found.append(_word(view, path[0][0] - 2.0 * _rod_length(d), y, words, pen, INK))
    return found


def _entry_and_exit(d: WayDrawing, view: _View, pen: Pen) -> list[str]:
    found = []
    if view.shows(0.0, 0.0) and view.high > 0.0:
        words = say("way.drawing_entry", pen.language)
        found.append(_word(view, 0.0, view.y(0.0) - 6.0, words, pen, INK))
    if d.exit_m is not None and view.shows(d.exit_m[0], d.exit_m[0]) and view.high > d.exit_m[1]:
        words = say("way.drawing_exit", pen.language)
        found.append(_word(view, d.exit_m[0], view.y(d.exit_m[1]) - 6.0, words, pen, INK))
    return found


def _unknown(view: _View, at: float, to: float) -> str:
    return tag(
        "rect", x=view.x(at) - 6.0, y=view.top, width=(to - at) * view.across + 12.0,
        height=view.tall, fill=LINE, fill_opacity=0.45, stroke=ALARM, stroke_width=1,
        stroke_dasharray="4 3",
    )  # fmt: skip


def _word(view: _View, along: float, y: float, text: str, pen: Pen, fill: str = ALARM) -> str:
    """A word at a place, kept inside the sheet."""
    half = pen.width((text,)) / 2.0
    x = min(max(view.x(along), SIDE + half), view.width - SIDE - half)
    return pen.label(x, max(y, view.top + TEXT_SIZE), text, anchor="middle", fill=fill)


def _above(d: WayDrawing, view: _View, pen: Pen) -> list[str]:
    """From above: to the right of the line is down on the sheet, as seen along the drilling."""

    def turned(path: Points) -> Points:
        return tuple((a, -b) for a, b in path)

    parts = [
        tag("rect", x=0, y=view.top, width=view.width, height=view.tall, fill=GROUND),
        tag("line", x1=0, x2=view.width, y1=view.y(0.0), y2=view.y(0.0), stroke=LINE,
            stroke_width=1),
    ]  # fmt: skip
    for _, at, to, _, half, keep, offset in d.utilities_m:
        if not view.shows(at - keep, to + keep):
            continue
        if offset is None:
            parts.append(
                tag("rect", x=view.x(at - keep), y=view.top, height=view.tall,
                    width=(to - at + 2.0 * keep) * view.across, fill=LINE, fill_opacity=0.35)
            )  # fmt: skip
            parts.append(
                tag("line", x1=view.x((at + to) / 2.0), x2=view.x((at + to) / 2.0), y1=view.top,
                    y2=view.top + view.tall, stroke=ALARM, stroke_width=4)
            )  # fmt: skip
        else:
            parts += [_keep(view, at, to, -offset, keep), _body(view, at, to, -offset, half)]
    way = turned(d.way_aside_m)
    parts += _lines(
        view, turned(d.plan_aside_m), [turned(each) for each in d.old_aside_m],
        turned(d.drilled_aside_m), way,
    )  # fmt: skip
    parts += _ends(view, turned(d.drilled_aside_m[-1:]), INK, 6.0) + _ends(
        view, way[1:], PAPER, 5.0
    )
    left, right = (say(f"way.drawing_{side}", pen.language) for side in ("left", "right"))
    return [
        _clipped(pen, view, *parts),
        pen.label(SIDE, view.top + 17.0, left, fill=INK_SECOND, halo=GROUND),
        pen.label(SIDE, view.top + view.tall - 6.0, right, fill=INK_SECOND, halo=GROUND),
    ]
