"""Drawing of a string in its clearance: bends of hole and steel, steel between the walls."""

from __future__ import annotations

from collections.abc import Sequence

from rodhand.book.bore.bend_views import BendDrawing, BendView
from rodhand.sheets.svg import GROUND, INK, INK_SECOND, LINE, PAPER, SLATE, points, tag
from rodhand.words import IN_FORCE, say

STRIP, BAND, GAP, LEFT = 120.0, 120.0, 44.0, 8.0
TEXT = 15.0
PER_ROD = 26.0
"""Least width of a rod, so that a long string scrolls instead of being pressed. [px]"""


def bend_svg(view: BendView, width: float = 900.0, language: str = IN_FORCE) -> str:
    """The drawing as SVG; empty where the string did not settle.

    Parameters
    ----------
    view : BendView
        The page's view.
    width : float
        Least width; a long string makes it wider. [px]
    language : str
        Language of the words.

    Returns
    -------
    str
        Upper strip: bend of the hole (steps) and of the steel (line), one scale. Lower strip: the
        steel's axis between where it would touch above and below, heights drawn far larger than
        lengths; dots where it lies on the wall.
    """
    d = view.drawing
    if not d.at_m:
        return ""
    wide = max(width, PER_ROD * (len(d.joints_m) - 1))
    high = STRIP + BAND + 2.0 * GAP + 8.0
    start, end = d.at_m[0], d.at_m[-1]
    across = [LEFT + (s - start) / (end - start) * (wide - 2.0 * LEFT) for s in d.at_m]
    joints = [LEFT + (s - start) / (end - start) * (wide - 2.0 * LEFT) for s in d.joints_m]

    def told(key: str, y: float) -> str:
        return tag(
            "text", say(f"bend.{key}", language), x=LEFT, y=y, fill=INK_SECOND, font_size=TEXT
        )

    return tag(
        "svg",
        tag("title", say("bend.drawing", language, name=view.name)),
        tag("rect", x=0, y=0, width=wide, height=high, fill=PAPER),
        told("drawing_bend", 20.0),
        *_bends(d, across, GAP - 8.0),
        told("drawing_room", STRIP + GAP + 16.0),
        *_band(d, across, joints, STRIP + 2.0 * GAP - 8.0),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {wide:.0f} {high:.0f}",
        width=f"{wide:.0f}",
        height=f"{high:.0f}",
        role="img",
        font_family="Rodhand Sans, sans-serif",
    )


def _bends(d: BendDrawing, across: Sequence[float], top: float) -> list[str]:
    most = max(max(d.hole_per_m), max(d.rod_per_m), 1e-9)

    def y(bend: float) -> float:
        return top + STRIP * (1.0 - bend / most)

    steps = [(across[0], top + STRIP)]
    for k in range(len(across) - 1):
        steps += [(across[k], y(d.hole_per_m[k])), (across[k + 1], y(d.hole_per_m[k]))]
    steps.append((across[-1], top + STRIP))
    steel = [(x, y(bend)) for x, bend in zip(across, d.rod_per_m, strict=True)]
    return [
        tag("polygon", points=points(steps), fill=GROUND, stroke=LINE, stroke_width=1),
        tag("polyline", points=points(steel), fill="none", stroke=SLATE, stroke_width=2),
    ]


def _band(
    d: BendDrawing, across: Sequence[float], joints: Sequence[float], top: float
) -> list[str]:
    half, most = BAND / 2.0, max(d.room_m)
    middle = top + half

    def y(height: float) -> float:
        return middle - half * height / most

    above = [(x, y(room)) for x, room in zip(across, d.room_m, strict=True)]
    below = [(x, y(-room)) for x, room in zip(across, d.room_m, strict=True)]
    steel = [(x, y(offset)) for x, offset in zip(across, d.offset_m, strict=True)]
    dots = [
        tag("circle", cx=x, cy=at, r=3.5, fill=INK)
        for (x, at), touches in zip(steel, d.touches, strict=True)
        if touches
    ]
    return [
        tag("polygon", points=points(above + below[::-1]), fill=GROUND, stroke=LINE,
            stroke_width=1),
        *(
            tag("line", x1=x, x2=x, y1=top + BAND, y2=top + BAND + 6.0, stroke=INK_SECOND)
            for x in joints
        ),
        tag("polyline", points=points(steel), fill="none", stroke=SLATE, stroke_width=2),
        *dots,
    ]  # fmt: skip
