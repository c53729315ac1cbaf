"""Drawing of one class before and after: what its life may be, as two humps on one axis."""

from __future__ import annotations

import math

from rodhand.book.owner.calibration import CalibrationView, ClassView
from rodhand.sheets.svg import GROUND, INK_SECOND, LINE, PAPER, SLATE, Pen, points, tag
from rodhand.units import System
from rodhand.words import IN_FORCE, say

WIDE, HIGH, LEFT, TOP = 340.0, 130.0, 16.0, 10.0
REACH = math.log(200.0)
"""The axis reaches from a 200th of the printed life to 200 times it."""


def calibration_svg(
    view: CalibrationView, each: ClassView, system: System, language: str = IN_FORCE
) -> str:
    """The drawing of one class as SVG.

    Parameters
    ----------
    view : CalibrationView
        The page, for the marks on the axis.
    each : ClassView
        The class.
    system : {"metric", "us"}
        Unit system of the marks.
    language : str
        Language of the words.

    Returns
    -------
    str
        Filled and thin: before; thick line: after. Axis: life over that of the printed class.
    """
    pen = Pen(system, language, f"calibration-{each.code}")
    most = max(*each.before, *each.after)
    foot = TOP + HIGH

    def x(ln_life: float) -> float:
        return LEFT + (ln_life + REACH) / (2.0 * REACH) * (WIDE - 2.0 * LEFT)

    def line(weights: tuple[float, ...]) -> list[tuple[float, float]]:
        pairs = zip(each.ln_factor, weights, strict=True)
        return [(x(at), foot - HIGH * w / most) for at, w in pairs if abs(at) <= REACH]

    before = line(each.before)
    ends = [(before[-1][0], foot), (before[0][0], foot)]
    marks = []
    for tick in view.ticks:
        at = x(math.log(tick.value or 1.0))
        marks.append(tag("line", x1=at, x2=at, y1=foot, y2=foot + 5.0, stroke=INK_SECOND))
        marks.append(pen.label(at, foot + 21.0, tick, anchor="middle", fill=INK_SECOND))
    name = say(f"calibration.class.{each.code}", language)
    return tag(
        "svg",
        tag("title", say("calibration.drawing", language, name=name)),
        tag("rect", x=0, y=0, width=WIDE, height=foot + 28.0, fill=PAPER),
        tag("polygon", points=points(before + ends), fill=GROUND, stroke=LINE, stroke_width=1),
        tag("polyline", points=points(line(each.after)), fill="none", stroke=SLATE,
            stroke_width=2.5),
        tag("line", x1=LEFT, x2=WIDE - LEFT, y1=foot, y2=foot, stroke=INK_SECOND),
        *marks,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {WIDE:.0f} {foot + 28.0:.0f}",
        width=f"{WIDE:.0f}",
        height=f"{foot + 28.0:.0f}",
        role="img",
    )  # fmt: skip
