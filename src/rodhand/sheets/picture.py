"""The picture of a bore: the hole with its rods, drawn once for page, command and paper."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from html import escape

from rodhand.book.views import BoreView, OverSteerRow, Picture, RodRow, StationRow
from rodhand.sheets.picture_bends import HIGH as BENDS_HIGH
from rodhand.sheets.picture_bends import dotted, draw_bends, draw_plan, hatch
from rodhand.sheets.picture_frame import Frame, interpolate, stretch_for
from rodhand.sheets.picture_notes import draw_depths, draw_inset, draw_mark, draw_notes
from rodhand.sheets.picture_rods import (
    SCALES,
    draw_front,
    draw_head,
    draw_names,
    draw_rod,
    draw_scale,
    full_scale,
)
from rodhand.sheets.svg import GROUND, INK, INK_SECOND, PAPER, Pen, points, tag
from rodhand.units import Figure, System
from rodhand.words import IN_FORCE

MARGIN = 26.0
LEGEND_HIGH = 86.0
SKY = 62.0
HEAD_ROOM = 30.0  # for the wedge of the tool at the end of the hole; its name comes on top
PLAN_HIGH = 90.0
RODS_AROUND_TOOL = 5
COMPACT_THICK = 24.0
COMPACT_WORDS = 68.0  # height of the lines of words above a compact view


@dataclass(frozen=True)
class Drawing:
    """What is drawn: a bore's picture with its rows.

    Parameters
    ----------
    picture : Picture
        Path, bends and lines.
    rods, over_steers, stations : tuple
        Rows of the bore view.
    figures : mapping of str to Figure
        Figures of the bore; ``limit`` and ``long_life`` are written on their lines.
    name : str
        Name of the bore, for the title read aloud.
    """

    picture: Picture
    rods: Sequence[RodRow] = ()
    over_steers: Sequence[OverSteerRow] = ()
    stations: Sequence[StationRow] = ()
    figures: Mapping[str, Figure] = field(default_factory=dict)
    name: str = ""


def bore_svg(view: BoreView, system: System, width: int = 1100, language: str = IN_FORCE) -> str:
    """The picture of a bore view; see `hole_svg`."""
    drawing = Drawing(
        view.picture, view.rods, view.over_steers, view.stations, view.figures, view.name
    )
    return hole_svg(drawing, system, width=width, language=language)


def bore_svg_compact(view: BoreView, system: System, language: str = IN_FORCE) -> str:
    """The picture of a bore view for a hand's screen; see `hole_svg_compact`."""
    drawing = Drawing(
        view.picture, view.rods, view.over_steers, view.stations, view.figures, view.name
    )
    return hole_svg_compact(drawing, system, language=language)


def hole_svg(
    drawing: Drawing, system: System, *, width: int = 1100, language: str = IN_FORCE
) -> str:
    """Draw a bore: side view with its rods, plan where known, bend strip under it.

    Parameters
    ----------
    drawing : Drawing
        What to draw.
    system : {"metric", "us"}
        Unit system of every figure in it.
    width : int, optional
        Width; heights follow. [px]
    language : str, optional
        Language of the words.

    Returns
    -------
    str
        One ``svg`` element, readable without colour, with a title and a description.

    Notes
    -----
    The ground line is drawn flat at entry level and said to be not surveyed: no terrain is made
    up. Depth is stretched by a printed factor; the inset is to one scale.
    """
    picture, pen = drawing.picture, Pen(system, language, f"w{width}")
    right = width - MARGIN
    frame = _wide_frame(picture, width, pen)
    thick = min(18.0, max(12.0, picture.rod_length * frame.scale * 0.8))
    deep = max(
        *(frame.y(place) for place in picture.measured),
        *(frame.at(along, down)[1] for old in picture.old for along, down, _ in old),
    )
    notes_top = deep + thick + 58
    notes, notes_high = draw_notes(frame, drawing.over_steers, notes_top, thick, right, pen)
    ground_end = notes_top + notes_high + 4
    parts = [
        _ground(frame, ground_end, width, pen),
        draw_scale(MARGIN, 20.0, full_scale(drawing.rods), pen),
        draw_inset(
            picture, right - min(330.0, width * 0.42), 20.0, min(330.0, width * 0.42), 74.0, pen
        ),
        *notes,  # before the string, whose labels then lie over the lines
        *_string(frame, drawing, thick, pen, width),
        draw_depths(frame, drawing.stations, thick, pen),
    ]
    y = ground_end + 34
    if picture.right:
        parts += draw_plan(frame, y, PLAN_HIGH, right, pen)
        y += PLAN_HIGH + 34
    else:
        parts.append(pen.label(frame.left, y - 8, pen.say("no_plan"), fill=INK_SECOND))
        y += 28
    parts += draw_bends(
        frame, drawing.over_steers, drawing.stations, drawing.figures, y, right, pen
    )
    return _sheet(drawing, parts, width, y + BENDS_HIGH + 34, pen)


def hole_svg_compact(
    drawing: Drawing, system: System, *, width: int = 340, language: str = IN_FORCE
) -> str:
    """Draw the side view of the five rods nearest the tool, for a screen in the hand.

    Parameters
    ----------
    drawing, system, width, language
        As for `hole_svg`.

    Returns
    -------
    str
        One ``svg`` element.
    """
    picture, pen = drawing.picture, Pen(system, language, f"c{width}")
    first = max(picture.tool - RODS_AROUND_TOOL * picture.rod_length, 0.0)
    last = first + (RODS_AROUND_TOOL + 0.8) * picture.rod_length
    frame = _frame(picture, first, last, 20.0, width - 36.0, 120.0, 110.0)
    near = sorted(
        (rod for rod in drawing.rods if rod.in_hole and rod.end > first), key=lambda rod: -rod.end
    )[:RODS_AROUND_TOOL]
    shown = Drawing(
        picture,
        near,
        [row for row in drawing.over_steers if first <= (row.start + row.end) / 2 <= last],
        drawing.stations,
        drawing.figures,
        drawing.name,
    )
    deep = max(frame.y(first), frame.y(min(last, picture.measured[-1])), frame.entry_y + 20)
    reached = [row for row in drawing.stations if _length(row) <= picture.tool + 1e-6]
    scale = f"scale_full_{SCALES.index(full_scale(near))}"
    parts = [
        _earth(frame, deep + 76, width, COMPACT_WORDS),
        pen.label(10.0, 18.0, pen.say("stretch", stretch=frame.stretch), fill=INK_SECOND),
        pen.label(10.0, 38.0, pen.say("scale"), fill=INK_SECOND),
        pen.label(10.0, 58.0, pen.say(scale), fill=INK_SECOND),
        *_string(frame, shown, COMPACT_THICK, pen, width),
        *_last_depth(reached, deep + 66, pen),
    ]
    return _sheet(shown, parts, width, deep + 76, pen)


def _last_depth(reached: Sequence[StationRow], y: float, pen: Pen) -> list[str]:
    """Depth at the last station the tool has reached, in the lowest line."""
    known = [row for row in reached if not row.inside and "depth" in row.figures]
    if not known:
        return []
    station = f"{known[-1].station:g}"
    words = pen.say("below_entry_at", station=station)
    depth = known[-1].figures["depth"]
    return [pen.label(10.0, y, depth, f" {words}", fill=INK_SECOND, halo=GROUND)]


def _length(row: StationRow) -> float:
    length = row.figures.get("measured_length")
    return math.inf if length is None or length.value is None else length.value


def _wide_frame(picture: Picture, width: int, pen: Pen) -> Frame:
    first = -0.6 * picture.rod_length
    above = max(0.0, -min(picture.down))
    # Capitals and digits are wider than the mean letter; the name may run into the margin.
    named = 1.12 * pen.width((picture.head_name,)) - MARGIN + 4
    room = width - 2 * MARGIN - HEAD_ROOM - max(named, 0.0)
    frame = _frame(picture, first, picture.measured[-1], MARGIN, room, 230.0, 0.0)
    entry = LEGEND_HIGH + SKY + above * frame.scale * frame.stretch
    return Frame(picture, first, frame.last, MARGIN, frame.scale, frame.stretch, entry)


def _frame(
    picture: Picture, first: float, last: float, left: float, wide: float, high: float, top: float
) -> Frame:
    """Frame that fits a stretch of the hole; ``top`` is where its least depth stands."""
    along = [interpolate(place, picture.measured, picture.along) for place in (first, last)]
    scale = wide / max(along[1] - along[0], 1e-6)
    shown = [place for place in picture.measured if first <= place <= last] or [first, last]
    downs = [interpolate(place, picture.measured, picture.down) for place in (first, *shown)]
    stretch = stretch_for(max(downs) - min(downs), scale, high)
    return Frame(picture, first, last, left, scale, stretch, top - min(downs) * scale * stretch)


def _earth(frame: Frame, bottom: float, width: int, top: float = 0.0) -> str:
    """Earth below entry level, under a flat line; ``top`` is where the view starts. [px]"""
    level = max(frame.entry_y, top)
    earth = tag("rect", x=0.0, y=level, width=width, height=max(bottom - level, 0.0), fill=GROUND)
    if frame.entry_y < top:  # entry level lies above what is shown
        return earth
    return earth + tag("line", x1=0.0, y1=level, x2=width, y2=level, stroke=INK, stroke_width=1.2)


def _ground(frame: Frame, bottom: float, width: int, pen: Pen) -> str:
    earth = _earth(frame, bottom, width)
    words = f"{pen.say('ground')} · {pen.say('stretch', stretch=frame.stretch)}"
    return earth + pen.label(width / 2, frame.entry_y - 8, words, anchor="middle", fill=INK_SECOND)


def _string(frame: Frame, drawing: Drawing, thick: float, pen: Pen, right: float) -> list[str]:
    """The hole ahead, the rods, their names, the tool and the marks of over-steers."""
    picture = drawing.picture
    parts: list[str] = []
    end = min(max(picture.drilled, picture.measured[-1]), frame.last)
    if end > picture.tool:
        ahead = frame.run(picture.tool, min(end, frame.last))
        parts.append(
            tag(
                "polyline",
                points=points(ahead),
                fill="none",
                stroke=INK,
                stroke_width=1.2,
                stroke_dasharray="6 5",
            )
        )
    standing = [rod for rod in drawing.rods if rod.in_hole and rod.end > rod.start]
    full = full_scale(drawing.rods)
    parts += [draw_rod(frame, rod, full, thick, pen) for rod in standing]
    parts += draw_names(frame, standing, thick, pen)
    parts.append(draw_front(frame, standing, thick))
    parts.append(draw_head(frame, picture.head_name, thick, pen, right))
    parts += [draw_mark(frame, row, thick) for row in drawing.over_steers]
    parts += _old_holes(frame, pen, thick, right)
    return parts


def _old_holes(frame: Frame, pen: Pen, thick: float, right: float) -> list[str]:
    """Holes left behind, dotted over the string, named under it before where each was left."""
    parts = []
    for number, old in enumerate(frame.picture.old, 1):
        path = [frame.at(along, down) for along, down, _ in old]
        path = [(x, y) for x, y in path if 0.0 <= x <= right]
        if len(path) > 1:
            words = pen.say("old_hole", number=number)
            x, y = path[0]
            x = max(x, pen.width((words,)) + 4.0)
            below = y + thick + 2.0 + 18.0 * number
            parts += [dotted(path), pen.label(x, below, words, anchor="end", halo=GROUND)]
    return parts


def _sheet(drawing: Drawing, parts: Sequence[str], width: int, height: float, pen: Pen) -> str:
    title, about = f"{pen.prefix}-title", f"{pen.prefix}-about"
    rods = sum(rod.in_hole for rod in drawing.rods)
    description = pen.say("about", rods=rods, bends=len(drawing.over_steers))
    return tag(
        "svg",
        tag("title", escape(pen.say("title", name=drawing.name)), id=title),
        tag("desc", escape(description), id=about),
        tag("defs", hatch(pen)),
        tag("rect", width=width, height=float(height), fill=PAPER),
        *parts,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {width} {height:.0f}",
        width=width,
        height=f"{height:.0f}",
        role="img",
        aria_labelledby=f"{title} {about}",
        class_="hole",
    )
