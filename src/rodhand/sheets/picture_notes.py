"""What is written on the picture: over-steers with the rods they concern, depths, the inset."""

from __future__ import annotations

import math
from collections.abc import Sequence

from rodhand.book.telling import names_in_words
from rodhand.book.views import OverSteerRow, Picture, StationRow
from rodhand.sheets.picture_frame import Frame, interpolate
from rodhand.sheets.svg import ALARM, GROUND, INK, INK_SECOND, LINE, PAPER, SLATE, Pen, points, tag
from rodhand.units import Figure

LOUDNESS = ("over", "likely", "within_error")
NOTES_AT_MOST = 4
LINE_STEP = 20.0


def loudest(rows: Sequence[OverSteerRow]) -> list[OverSteerRow]:
    """Over-steers with the surest first."""
    return sorted(
        rows, key=lambda row: LOUDNESS.index(row.verdict) if row.verdict in LOUDNESS else 9
    )


def draw_mark(frame: Frame, row: OverSteerRow, thick: float) -> str:
    """A triangle whose point touches the string at the bend: full when over, open when not sure."""
    middle = (row.start + row.end) / 2
    x, y = frame.x(middle), frame.y(middle) + thick / 2 + 3
    sure = row.verdict == "over"
    return tag(
        "polygon",
        points=points([(x, y), (x - 8, y + 14), (x + 8, y + 14)]),
        fill=ALARM if sure else PAPER,
        stroke=ALARM if row.verdict != "within_error" else SLATE,
        stroke_width=1.6,
    )


def note_lines(row: OverSteerRow, pen: Pen, narrow: bool) -> list[list[str | Figure]]:
    """The lines of an over-steer's label: how sure and how much, then the rods."""
    head: list[str | Figure] = [pen.say(f"over_{row.verdict}", station=f"{row.station:g}")]
    size = row.figures.get("bend_percent") or next(iter(row.figures.values()), None)
    if size is not None:
        head += [" ", size]
    rods: list[str] = [
        pen.say(word, rods=names_in_words(names) if names else pen.say("none"))
        for word, names in (("passed", row.passed), ("in_it", row.in_it), ("to_come", row.to_come))
    ]
    if not narrow:
        return [head, [" · ".join(rods)]]
    lines: list[list[str | Figure]] = [head]
    for rod in rods:
        lines.append([rod])
    return lines


def draw_notes(
    frame: Frame,
    rows: Sequence[OverSteerRow],
    top: float,
    thick: float,
    right: float,
    pen: Pen,
) -> tuple[list[str], float]:
    """Labels under the side view, each with a line up to its bend; and the height they take."""
    narrow = right < 900
    chosen = sorted(loudest(rows)[:NOTES_AT_MOST], key=lambda row: -row.start)
    parts: list[str] = []
    y = top
    for row in chosen:  # the bend farthest along stands highest, so that no line crosses a label
        lines = note_lines(row, pen, narrow)
        x = frame.x((row.start + row.end) / 2)
        widest = max(pen.width(line) for line in lines)
        text_x = max(min(x + 10, right - widest), frame.left)
        fill = ALARM if row.verdict == "over" else INK
        ends = [
            (x, frame.y((row.start + row.end) / 2) + thick / 2 + 17),
            (x, y + 4 if text_x > x else y - 8),
        ]
        if text_x > x:
            ends.append((text_x - 3, y + 4))
        parts.append(tag("polyline", points=points(ends), fill="none", stroke=fill, stroke_width=1))
        for number, line in enumerate(lines):
            weight = "bold" if number == 0 else None
            parts.append(
                pen.label(
                    text_x,
                    y + 9,
                    *line,
                    fill=fill if number == 0 else INK,
                    weight=weight,
                    halo=GROUND,
                )
            )
            y += LINE_STEP
        y += 10
    left_out = len(rows) - len(chosen)
    if left_out > 0:
        parts.append(
            pen.label(
                right, y + 9, pen.say("more_bends", count=left_out), anchor="end", halo=GROUND
            )
        )
        y += LINE_STEP
    return parts, y - top


def draw_depths(frame: Frame, stations: Sequence[StationRow], thick: float, pen: Pen) -> str:
    """The greatest depth shown, written under its place."""
    known = [
        (row.figures["depth"], length.value)
        for row in stations
        if "depth" in row.figures
        and row.figures["depth"].value is not None
        and (length := row.figures.get("measured_length")) is not None
        and length.value is not None
        and frame.first <= length.value <= frame.last
    ]
    if not known:
        return ""
    depth, place = max(known, key=lambda pair: pair[0].value or 0.0)
    x, y = frame.x(place), frame.y(place) + thick / 2
    beside_tool = -40 < frame.x(frame.picture.tool) - x < 200
    drop = 46.0 if beside_tool else 28.0  # the tool's name stands in the first line
    tick = tag("line", x1=x, y1=y + 2, x2=x, y2=y + drop - 2, stroke=LINE, stroke_width=1)
    anchor = "end" if x > frame.x(frame.last) - 150 else "start"
    shift = -6 if anchor == "end" else 6
    words = pen.say("below_entry")
    return tick + pen.label(
        x + shift, y + drop, depth, f" {words}", anchor=anchor, fill=INK_SECOND, halo=GROUND
    )


def worst_bend(picture: Picture) -> float | None:
    """Middle of the sharpest bend that was read, along the hole; None when none was. [m]"""
    known = [
        (bend, (start + end) / 2)
        for bend, start, end in zip(
            picture.bend, picture.bend_edges[:-1], picture.bend_edges[1:], strict=True
        )
        if math.isfinite(bend)
    ]
    return max(known)[1] if known else None


def draw_inset(picture: Picture, x: float, y: float, wide: float, high: float, pen: Pen) -> str:
    """The sharpest bend over three rods to one scale, with a straight beside it."""
    middle = worst_bend(picture)
    if middle is None:
        return ""
    start = max(middle - 1.5 * picture.rod_length, picture.measured[0])
    end = min(middle + 1.5 * picture.rod_length, picture.measured[-1])
    places = [start + (end - start) * step / 24 for step in range(25)]
    path = [
        (
            interpolate(place, picture.measured, picture.along),
            interpolate(place, picture.measured, picture.down),
        )
        for place in places
    ]
    left, top = path[0][0], min(point[1] for point in path)
    span = max(path[-1][0] - left, 1e-6)
    fall = max(point[1] for point in path) - top
    scale = min(wide / span, (high - 30) / max(fall, 1e-6))
    drawn = [(x + (px - left) * scale, y + 34 + (py - top) * scale) for px, py in path]
    run = [point for point in drawn if point[0] - drawn[0][0] < wide / 8] or drawn[:2]
    slope = (run[-1][1] - run[0][1]) / max(run[-1][0] - run[0][0], 1e-6)
    straight = [drawn[0], (drawn[-1][0], drawn[0][1] + slope * (drawn[-1][0] - drawn[0][0]))]
    return "".join(
        (
            pen.label(x, y, pen.say("inset"), fill=INK_SECOND),
            tag(
                "polyline",
                points=points(straight),
                fill="none",
                stroke=LINE,
                stroke_width=1,
                stroke_dasharray="4 4",
            ),
            tag("polyline", points=points(drawn), fill="none", stroke=INK, stroke_width=5),
        )
    )
