"""The joints of one pass as bars: what their worst place asked against their make-up."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rodhand.book.bore.joints_views import JointRow, JointsPass
from rodhand.sheets.svg import ALARM, INK, INK_SECOND, LIFE, LINE, PAPER, SLATE, Pen, tag
from rodhand.units import Figure, System
from rodhand.words import IN_FORCE, say

HIGH = 210.0
LEFT, RIGHT, TOP, FOOT = 70.0, 16.0, 40.0, 50.0


def joints_svg(row: JointsPass, system: System, width: int = 1100, language: str = IN_FORCE) -> str:
    """Draw the joints of a pass from the tool to the rig.

    Parameters
    ----------
    row : JointsPass
        The pass.
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
    pen = Pen(system, language, f"j{width}")
    top = row.scale[-1].value or 1.0

    def y(share: float) -> float:
        return TOP + HIGH * (1.0 - min(share, top) / top)

    wide = (width - LEFT - RIGHT) / max(len(row.joints), 1)
    parts = [pen.label(6.0, TOP - 20, pen.say("joints_axis"), fill=INK_SECOND, size=13.0)]
    parts += _scale(row.scale, y, width, pen)
    for number, joint in enumerate(row.joints):
        parts += _bar(joint, LEFT + number * wide, wide, y)
    parts += _places(row.joints, wide, width, pen)
    title = say("picture.joints_title", language, name=row.name)
    high = TOP + HIGH + FOOT
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


def _scale(marks: Sequence[Figure], y: Callable[[float], float], width: int, pen: Pen) -> list[str]:
    parts = []
    for number, mark in enumerate(marks):
        share = mark.value or 0.0
        is_full = share == 1.0
        parts.append(
            tag("line", x1=LEFT, y1=y(share), x2=float(width - RIGHT), y2=y(share),
                stroke=INK if is_full or number == 0 else LINE,
                stroke_width=1.2 if is_full else 0.6,
                stroke_dasharray="7 4" if is_full else None)
        )  # fmt: skip
        parts.append(pen.label(LEFT - 6, y(share) + 5, mark, anchor="end", size=13.0))
    parts.append(
        pen.label(width - RIGHT - 4, y(1.0) - 6, pen.say("joints_full"), anchor="end", size=13.0)
    )
    return parts


def _bar(joint: JointRow, x: float, wide: float, y: Callable[[float], float]) -> list[str]:
    needed, made = joint.figures.get("needed"), joint.figures.get("made_up")
    gap = min(2.0, wide * 0.15)
    left, across = x + gap, wide - 2.0 * gap
    is_open = joint.state == "open"
    parts = []
    if needed is not None and needed.value is not None:
        tall = y(0.0) - y(needed.value)
        fill = ALARM if is_open else LIFE[1] if made is not None else PAPER
        parts.append(
            tag("rect", x=left, y=y(needed.value), width=across, height=max(tall, 0.5), fill=fill,
                stroke=ALARM if is_open else SLATE, stroke_width=1.0,
                stroke_dasharray=None if made is not None else "3 3",
                class_=f"joint {joint.state.replace('_', '-')}")
        )  # fmt: skip
    if made is not None and made.value is not None:
        parts.append(
            tag("line", x1=x, y1=y(made.value), x2=x + wide, y2=y(made.value), stroke=INK,
                stroke_width=3.0, class_="made")
        )  # fmt: skip
    if is_open and needed is not None:
        middle, reach = x + wide / 2.0, min(6.0, across / 2.0)
        at = max(y(needed.value or 0.0) - 10.0, TOP - 6.0)
        parts += [
            tag("line", x1=middle - reach, y1=at - side * reach, x2=middle + reach,
                y2=at + side * reach, stroke=INK, stroke_width=2.0)
            for side in (1.0, -1.0)
        ]  # fmt: skip
    return parts


def _places(joints: Sequence[JointRow], wide: float, width: int, pen: Pen) -> list[str]:
    base = TOP + HIGH
    every = next((k for k in (1, 2, 5, 10, 20) if k * wide >= 30.0), 50)
    parts = [
        pen.label(LEFT + (number + 0.5) * wide, base + 18, str(joint.place), anchor="middle",
                  size=13.0)
        for number, joint in enumerate(joints)
        if joint.place % every == 0
    ]  # fmt: skip
    parts.append(pen.label(LEFT, base + 40, pen.say("joints_along"), fill=INK_SECOND, size=13.0))
    return parts
