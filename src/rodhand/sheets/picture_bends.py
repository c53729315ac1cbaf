"""The bend strip under the picture, and the plan strip where heading was read."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from rodhand.book.views import OverSteerRow, Picture, StationRow
from rodhand.sheets.picture_frame import Frame, finite, interpolate, stretch_for
from rodhand.sheets.svg import ALARM, INK, INK_SECOND, LINE, PAPER, SLATE, Pen, points, tag
from rodhand.units import Figure

HIGH = 130.0
UNREAD_SHARE = 0.3  # height of an open bar whose bend nobody read and no band is known for


def _top_of(picture: Picture) -> float:
    values = finite([*picture.bend, *picture.bend_high, picture.limit, picture.long_life])
    return 1.1 * max(values, default=1.0) or 1.0


def hatch(pen: Pen) -> str:
    """The hatching of a bend over a limit, so that it is told without colour."""
    line = tag("path", d="M0,7 L7,0", stroke=PAPER, stroke_width=1.6)
    return tag(
        "pattern",
        tag("rect", width=7, height=7, fill=ALARM),
        line,
        id=f"{pen.prefix}-hatch",
        width=7,
        height=7,
        patternUnits="userSpaceOnUse",
    )


def draw_bends(
    frame: Frame,
    over_steers: Sequence[OverSteerRow],
    stations: Sequence[StationRow],
    figures: Mapping[str, Figure],
    top: float,
    right: float,
    pen: Pen,
) -> list[str]:
    """Bars of mean bend with their bands, the limit and long-life lines, and station numbers."""
    picture = frame.picture
    base, highest = top + HIGH, _top_of(picture)
    parts = [pen.label(frame.left, top - 8, pen.say("bend_strip"), fill=INK_SECOND)]
    for number, (start, end) in enumerate(
        zip(picture.bend_edges[:-1], picture.bend_edges[1:], strict=True)
    ):
        parts.append(_bar(frame, number, start, end, over_steers, base, highest, pen))
    parts.append(
        tag("line", x1=frame.left, y1=base, x2=right, y2=base, stroke=INK, stroke_width=1.2)
    )
    parts += _lines(picture, figures, base, highest, frame.left, right, pen)
    parts += _station_numbers(frame, stations, base, pen)
    return parts


def _verdict_at(rows: Sequence[OverSteerRow], place: float) -> str:
    here = [row.verdict for row in rows if row.start <= place <= row.end]
    return next((verdict for verdict in ("over", "likely") if verdict in here), "")


def _bar(
    frame: Frame,
    number: int,
    start: float,
    end: float,
    rows: Sequence[OverSteerRow],
    base: float,
    highest: float,
    pen: Pen,
) -> str:
    picture = frame.picture
    x1, x2 = frame.x(start) + 1, frame.x(end) - 1
    wide = max(x2 - x1, 1.0)
    bend, low, high = (
        picture.bend[number],
        picture.bend_low[number],
        picture.bend_high[number],
    )
    if not math.isfinite(bend):
        share = high / highest if math.isfinite(high) else UNREAD_SHARE
        return tag(
            "rect",
            x=x1,
            y=base - share * HIGH,
            width=wide,
            height=share * HIGH,
            fill="none",
            stroke=SLATE,
            stroke_width=1.2,
            stroke_dasharray="3 3",
            class_="unread",
        )
    tall = bend / highest * HIGH
    verdict = _verdict_at(rows, (start + end) / 2)
    ahead = start >= picture.tool - 1e-6
    fill = f"url(#{pen.prefix}-hatch)" if verdict else SLATE
    bar = tag(
        "rect",
        x=x1,
        y=base - tall,
        width=wide,
        height=tall,
        fill=fill,
        fill_opacity=0.35 if ahead else None,
        stroke=ALARM if verdict else None,
        class_="bend",
    )
    return bar + _whisker((x1 + x2) / 2, low, high, wide, base, highest)


def _whisker(x: float, low: float, high: float, wide: float, base: float, highest: float) -> str:
    if not (math.isfinite(low) and math.isfinite(high)) or high <= low:
        return ""
    y1, y2 = base - max(low, 0.0) / highest * HIGH, base - high / highest * HIGH
    cap = min(wide / 3, 4.0)
    path = f"M{x:.1f},{y1:.1f} V{y2:.1f} M{x - cap:.1f},{y2:.1f} h{2 * cap:.1f}"
    path += f" M{x - cap:.1f},{y1:.1f} h{2 * cap:.1f}"
    # Paper under ink: the lower half of the whisker lies on a dark bar.
    under = tag("path", d=path, stroke=PAPER, stroke_width=3, fill="none")
    return under + tag("path", d=path, stroke=INK, stroke_width=1.1, fill="none", class_="band")


def _lines(
    picture: Picture,
    figures: Mapping[str, Figure],
    base: float,
    highest: float,
    left: float,
    right: float,
    pen: Pen,
) -> list[str]:
    parts: list[str] = []
    last_label = -99.0
    for name, value, dashes in (
        ("limit", picture.limit, None),
        ("long_life", picture.long_life, "6 4"),
    ):
        if not math.isfinite(value):
            continue
        y = base - value / highest * HIGH
        parts.append(
            tag(
                "line",
                x1=left,
                y1=y,
                x2=right,
                y2=y,
                stroke=INK,
                stroke_width=1.2,
                stroke_dasharray=dashes,
            )
        )
        words: list[str | Figure] = [pen.say(f"line_{name}")]
        if name in figures:
            words += [" ", figures[name]]
        label_y = y - 5 if abs(y - 5 - last_label) > 17 else y + 16
        parts.append(pen.label(right, label_y, *words, anchor="end"))
        last_label = label_y
    return parts


def _station_numbers(
    frame: Frame, stations: Sequence[StationRow], base: float, pen: Pen
) -> list[str]:
    whole = [
        (row.station, length.value)
        for row in stations
        if not row.inside
        and (length := row.figures.get("measured_length")) is not None
        and length.value is not None
    ]
    parts: list[str] = []
    free = frame.left
    for station, place in whole:
        x = frame.x(place) - frame.picture.rod_length * frame.scale / 2
        wanted = station == 1 or station % 5 == 0
        if wanted and x - 14 > free and x > frame.left:
            words = f"{station:g}" if parts else pen.say("station", station=f"{station:g}")
            x = max(x, frame.left + pen.width((words,)) / 2)
            parts.append(pen.label(x, base + 19, words, anchor="middle", fill=INK_SECOND))
            free = x + pen.width((words,)) / 2
    return parts


def dotted(path: list[tuple[float, float]]) -> str:
    """A hole left behind: dots on a light line, so that they show on earth and rods alike."""
    line = {"points": points(path), "fill": "none", "stroke_linecap": "round"}
    dots = tag("polyline", stroke=INK, stroke_width=3, stroke_dasharray="1 6", **line)
    return tag("polyline", stroke=PAPER, stroke_width=5, **line) + dots


def draw_plan(frame: Frame, top: float, high: float, right: float, pen: Pen) -> list[str]:
    """The path seen from above, rods' string dark and the rest dashed, sideways stretched."""
    picture = frame.picture
    aside = [*picture.right, *(side for old in picture.old for *_, side in old)]
    span = max((abs(value) for value in aside), default=0.0)
    stretch = stretch_for(2 * span, frame.scale, high - 14)
    middle = top + high / 2

    def point(place: float) -> tuple[float, float]:
        side = interpolate(place, picture.measured, picture.right)
        return frame.x(place), middle + side * frame.scale * stretch

    old = [
        dotted([(frame.at(along, 0.0)[0], middle + side * frame.scale * stretch)
                for along, _, side in each])
        for each in picture.old
    ]  # fmt: skip
    behind = [point(place) for place in picture.measured if place <= picture.tool]
    behind.append(point(picture.tool))
    ahead = [point(picture.tool)]
    ahead += [point(place) for place in picture.measured if place > picture.tool]
    parts = [
        pen.label(frame.left, top - 8, pen.say("plan", stretch=stretch), fill=INK_SECOND),
        tag("line", x1=frame.left, y1=middle, x2=right, y2=middle, stroke=LINE, stroke_width=1),
        *old,
        tag("polyline", points=points(behind), fill="none", stroke=INK, stroke_width=4),
    ]
    if len(ahead) > 1:
        parts.append(
            tag(
                "polyline",
                points=points(ahead),
                fill="none",
                stroke=INK,
                stroke_width=1.2,
                stroke_dasharray="5 4",
            )
        )
    return parts
