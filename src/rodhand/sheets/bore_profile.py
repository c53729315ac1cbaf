"""The client's picture of a bore: its line from the side and from above, and how much it bends.

No steel stands in it: the picture with the rods is `rodhand.sheets.picture`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from rodhand.book.views import BoreView, Picture, StationRow
from rodhand.sheets.picture_frame import Frame, finite, interpolate, stretch_for
from rodhand.sheets.svg import (
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

WIDTH = 1100
MARGIN = 8.0
SIDE_HIGH = 170.0
SKY = 44.0
PLAN_HIGH = 80.0
BENDS_HIGH = 70.0
GAP = 34.0
UNDER = 54.0  # room under the line for station numbers and the greatest depth
LABEL_EVERY = 5
UNREAD_SHARE = 0.3


def profile_svg(view: BoreView, system: System, language: str = IN_FORCE) -> str:
    """Draw a bore's line without anything that stood in it.

    Parameters
    ----------
    view : BoreView
        The bore; its whole drilled length is drawn, wherever the tool stands.
    system : {"metric", "us"}
        Unit system of the figures.
    language : str, optional
        Language of the words.

    Returns
    -------
    str
        One ``svg`` element for white paper, readable without colour.

    Notes
    -----
    Lengths along are to one scale, depth is stretched by the printed factor. Entry level is drawn
    flat because the surface was not surveyed.
    """
    pen = Pen(system, language, "profile")
    picture = replace(view.picture, tool=view.picture.measured[-1], head_name="")
    frame = _frame(picture)
    deep = max(frame.entry_y, *(frame.y(place) for place in picture.measured)) + UNDER
    parts = [*_side(frame, deep, view.stations, pen)]
    y = deep + GAP
    if picture.right:
        parts += _from_above(frame, y, pen)
        y += PLAN_HIGH + GAP
    else:
        parts.append(_label(pen, MARGIN, y - 8, _say(pen, "no_plan"), INK_SECOND))
        y += GAP
    parts += _bends(frame, y, view.stations, pen)
    high = y + BENDS_HIGH + 26
    return tag(
        "svg",
        *parts,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {WIDTH} {high:.0f}",
        width=WIDTH,
        height=f"{high:.0f}",
    )


def _say(pen: Pen, key: str, **values: object) -> str:
    """Text of the catalogue under ``paper.profile``."""
    return say(f"paper.profile.{key}", pen.language, **values)


def _label(pen: Pen, x: float, y: float, text: str, fill: str = INK, anchor: str = "start") -> str:
    return pen.label(x, y, text, anchor=anchor, fill=fill, halo="#FFFFFF")


def _frame(picture: Picture) -> Frame:
    last = picture.measured[-1]
    reach = interpolate(last, picture.measured, picture.along) - picture.along[0]
    scale = (WIDTH - 2 * MARGIN) / max(reach, 1e-6)
    span = max(picture.down) - min(picture.down)
    stretch = stretch_for(span, scale, SIDE_HIGH)
    above = max(0.0, -min(picture.down)) * scale * stretch
    return Frame(picture, picture.measured[0], last, MARGIN, scale, stretch, SKY + above)


def _side(frame: Frame, deep: float, stations: Sequence[StationRow], pen: Pen) -> list[str]:
    entry = frame.entry_y
    words = _say(pen, "entry", stretch=frame.stretch)
    line = frame.run(frame.first, frame.last)
    return [
        tag("rect", x=0.0, y=entry, width=WIDTH, height=deep - entry, fill=GROUND),
        tag("line", x1=0.0, y1=entry, x2=WIDTH, y2=entry, stroke=INK, stroke_width=1.2),
        _label(pen, MARGIN, TEXT_SIZE, words, INK_SECOND),
        tag("polyline", points=points(line), fill="none", stroke=INK, stroke_width=3),
        *_ticks(frame, stations, pen),
        *_deepest(frame, stations, pen),
    ]


def _whole(stations: Sequence[StationRow]) -> list[tuple[int, float]]:
    """Number and measured length of every full length drilled."""
    return [
        (int(row.station), length.value)
        for row in stations
        if not row.inside
        and (length := row.figures.get("measured_length")) is not None
        and length.value is not None
    ]


def _ticks(frame: Frame, stations: Sequence[StationRow], pen: Pen) -> list[str]:
    """A point at each station, and the number of the first and every fifth."""
    parts: list[str] = []
    free = -math.inf
    for station, place in _whole(stations):
        x, y = frame.x(place), frame.y(place)
        parts.append(tag("circle", cx=x, cy=y, r=2.6, fill=PAPER, stroke=INK, stroke_width=1.1))
        if station != 1 and station % LABEL_EVERY:
            continue
        text = str(station)
        wide = pen.width((text,))
        middle = min(max(x, MARGIN + wide / 2), WIDTH - MARGIN - wide / 2)
        if middle - wide / 2 > free:
            halo = GROUND if y > frame.entry_y else PAPER
            parts.append(pen.label(middle, y + 20, text, anchor="middle", halo=halo))
            free = middle + wide / 2 + 4
    return parts


def _deepest(frame: Frame, stations: Sequence[StationRow], pen: Pen) -> list[str]:
    """The greatest depth, written under its place, below the numbers."""
    known = [
        (depth, length.value)
        for row in stations
        if (depth := row.figures.get("depth")) is not None
        and depth.value is not None
        and (length := row.figures.get("measured_length")) is not None
        and length.value is not None
    ]
    if not known:
        return []
    depth, place = max(known, key=lambda pair: pair[0].value or -math.inf)
    text = _say(pen, "deepest", depth=depth.shown(pen.system))
    wide = pen.width((text,))
    x = min(max(frame.x(place), MARGIN + wide / 2), WIDTH - MARGIN - wide / 2)
    return [pen.label(x, frame.y(place) + 41, text, anchor="middle", halo=GROUND)]


def _from_above(frame: Frame, top: float, pen: Pen) -> list[str]:
    picture = frame.picture
    span = max((abs(value) for value in picture.right), default=0.0)
    stretch = stretch_for(2 * span, frame.scale, PLAN_HIGH - 14)
    middle = top + PLAN_HIGH / 2
    path = [
        (frame.x(place), middle + side * frame.scale * stretch)
        for place, side in zip(picture.measured, picture.right, strict=True)
    ]
    return [
        _label(pen, MARGIN, top - 8, _say(pen, "plan", stretch=stretch), INK_SECOND),
        tag(
            "line",
            x1=MARGIN,
            y1=middle,
            x2=WIDTH - MARGIN,
            y2=middle,
            stroke=LINE,
            stroke_width=1,
            stroke_dasharray="8 4",
        ),
        tag("polyline", points=points(path), fill="none", stroke=INK, stroke_width=3),
    ]


def _bends(frame: Frame, top: float, stations: Sequence[StationRow], pen: Pen) -> list[str]:
    picture, base = frame.picture, top + BENDS_HIGH
    highest = 1.1 * max(finite([*picture.bend, *picture.bend_high]), default=1.0) or 1.0
    parts = [_label(pen, MARGIN, top - 8, _say(pen, "bends"), INK_SECOND)]
    edges = zip(picture.bend_edges[:-1], picture.bend_edges[1:], strict=True)
    for number, (start, end) in enumerate(edges):
        left, wide = frame.x(start) + 1, max(frame.x(end) - frame.x(start) - 2, 1.0)
        parts += _bar(picture, number, left, wide, base, BENDS_HIGH / highest)
    parts.append(
        tag("line", x1=MARGIN, y1=base, x2=WIDTH - MARGIN, y2=base, stroke=INK, stroke_width=1.2)
    )
    for station, place in _whole(stations):
        if station == 1 or station % LABEL_EVERY == 0:
            x = frame.x(place - picture.rod_length / 2)
            parts.append(_label(pen, x, base + 18, str(station), INK_SECOND, "middle"))
    return parts


def _bar(
    picture: Picture, number: int, left: float, wide: float, base: float, scale: float
) -> list[str]:
    bend, low, high = (
        values[number] for values in (picture.bend, picture.bend_low, picture.bend_high)
    )
    if not math.isfinite(bend):
        tall = high * scale if math.isfinite(high) else UNREAD_SHARE * BENDS_HIGH
        return [
            tag(
                "rect",
                x=left,
                y=base - tall,
                width=wide,
                height=tall,
                fill="none",
                stroke=SLATE,
                stroke_width=1.2,
                stroke_dasharray="3 3",
            )
        ]
    tall = bend * scale
    bar = [tag("rect", x=left, y=base - tall, width=wide, height=tall, fill=SLATE)]
    if math.isfinite(low) and math.isfinite(high) and high > low:
        whisker = f"M{left + wide / 2:.1f},{base - max(low, 0.0) * scale:.1f} "
        whisker += f"V{base - high * scale:.1f}"
        # Paper under ink: the lower half of the whisker lies on a dark bar.
        bar.append(tag("path", d=whisker, stroke=PAPER, stroke_width=3, fill="none"))
        bar.append(tag("path", d=whisker, stroke=INK, stroke_width=1.1, fill="none"))
    return bar
