"""Force and torque on the hole's own axis: a line with its band, and gauge readings as dots."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from rodhand.book.bore.forces import PassRow, Trace
from rodhand.sheets.svg import INK, INK_SECOND, LIFE, LINE, PAPER, SLATE, Pen, points, tag
from rodhand.units import Figure, System
from rodhand.words import IN_FORCE, say

HIGH = 210.0
LEFT, RIGHT, TOP, BETWEEN, FOOT = 92.0, 20.0, 36.0, 56.0, 44.0


def forces_svg(
    row: PassRow,
    along: Mapping[str, tuple[Figure, ...]],
    length: float,
    system: System,
    width: int = 1100,
    language: str = IN_FORCE,
) -> str:
    """Draw what the rig feels with the tool at each place of the hole: force above, torque below.

    Parameters
    ----------
    row : PassRow
        The pass.
    along : mapping
        Marks of the hole's length, for each unit system.
    length : float
        The hole's. [m]
    system : {"metric", "us"}
        Unit system of every figure in it.
    width : int
        Width. [px]
    language : str
        Language of the words.

    Returns
    -------
    str
        One ``svg`` element, readable without colour.
    """
    pen = Pen(system, language, f"f{width}")
    marks = [figure for figure in along[system] if (figure.value or 0.0) <= length]

    def x(place: float) -> float:
        return LEFT + place / length * (width - LEFT - RIGHT)

    parts = []
    top = TOP
    for name, trace in (("force", row.force), ("torque", row.torque)):
        parts += _panel(name, trace, marks, x, top, width, pen)
        top += HIGH + BETWEEN
    parts += _length_marks(marks, x, top - BETWEEN, width, pen)
    high = top - BETWEEN + FOOT
    title = say("picture.forces_title", language, name=row.name)
    return tag(
        "svg",
        tag("title", title),
        tag("rect", width=width, height=high, fill=PAPER),
        *parts,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {width} {high:.0f}",
        role="img",
        aria_label=title,
    )


def _panel(
    name: str,
    trace: Trace,
    marks: Sequence[Figure],
    x: Callable[[float], float],
    top: float,
    width: int,
    pen: Pen,
) -> list[str]:
    ticks = trace.ticks[pen.system]
    values = [figure.value or 0.0 for figure in ticks]
    least, most = min(values), max(values)

    def y(value: float) -> float:
        return top + HIGH - (value - least) / (most - least) * HIGH

    parts = [pen.label(6.0, top - 18, pen.say(f"forces_{name}"), fill=INK_SECOND)]
    for figure, value in zip(ticks, values, strict=True):
        wide = 1.2 if value == 0 else 0.6
        parts.append(
            tag("line", x1=LEFT, y1=y(value), x2=float(width - RIGHT), y2=y(value),
                stroke=INK if value == 0 else LINE, stroke_width=wide)
        )  # fmt: skip
        parts.append(pen.label(LEFT - 8, y(value) + 5, figure, anchor="end", size=13.0))
    known = [k for k, value in enumerate(trace.best) if math.isfinite(value)]
    if known:
        upper = [(x(trace.places[k]), y(trace.high[k])) for k in known]
        lower = [(x(trace.places[k]), y(trace.low[k])) for k in reversed(known)]
        line = [(x(trace.places[k]), y(trace.best[k])) for k in known]
        parts.append(tag("polygon", points=points(upper + lower), fill=LIFE[0], class_="band"))
        if trace.other:
            other = [(x(trace.places[k]), y(trace.other[k])) for k in known]
            parts.append(
                tag("polyline", points=points(other), fill="none", stroke=INK, stroke_width=1.2,
                    stroke_dasharray="6 4", class_="sliding")
            )  # fmt: skip
        parts.append(
            tag("polyline", points=points(line), fill="none", stroke=SLATE, stroke_width=2.4,
                stroke_dasharray="2 4" if trace.own_part else None, class_="line")
        )  # fmt: skip
    for dot in trace.dots:
        parts.append(
            tag("circle", cx=float(x(dot.at)), cy=float(y(dot.value)), r=5.0 if dot.free else 3.4,
                fill=PAPER if dot.free else INK, stroke=INK, stroke_width=1.6,
                class_="free" if dot.free else "dot")
        )  # fmt: skip
    if not known and not trace.dots:
        parts.append(pen.label(LEFT + 10, top + HIGH / 2, pen.say("forces_unknown")))
    return parts


def _length_marks(
    marks: Sequence[Figure], x: Callable[[float], float], base: float, width: int, pen: Pen
) -> list[str]:
    parts = []
    for figure in marks:
        place = float(x(figure.value or 0.0))
        parts.append(
            tag("line", x1=place, y1=base, x2=place, y2=base + 6, stroke=INK, stroke_width=1.2)
        )
        anchor = "end" if place > width - RIGHT - 30 else "middle"
        parts.append(pen.label(place, base + 21, figure, anchor=anchor, size=13.0))
    parts.append(pen.label(LEFT, base + 39, pen.say("forces_along"), fill=INK_SECOND, size=13.0))
    return parts
