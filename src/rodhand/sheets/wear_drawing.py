"""Drawing of one size: readings against work, the trend, and where it may cross the limit."""

from __future__ import annotations

from rodhand.book.yard.wear_page import WearRow
from rodhand.sheets.svg import ALARM, INK, INK_SECOND, PAPER, SLATE, Pen, tag
from rodhand.units import Figure, System
from rodhand.words import IN_FORCE, say

WIDE, HIGH, LEFT, RIGHT, TOP = 340.0, 150.0, 14.0, 24.0, 28.0
ROOM = 1.15
"""The axis reaches so far past the last thing drawn. [1]"""


def wear_svg(row: WearRow, system: System, language: str = IN_FORCE) -> str:
    """The drawing of one size as SVG.

    Parameters
    ----------
    row : WearRow
        The size.
    system : {"metric", "us"}
        Unit system of the marks.
    language : str
        Language of the words.

    Returns
    -------
    str
        A crossing more than five times as far as the work done lies outside; its bar is cut.
    """
    pen = Pen(system, language, f"wear-{row.name}-{row.item}-{row.end}")
    sizes = [_value(each.figures["size"]) for each in row.readings]
    errors = [_value(each.figures["error"]) for each in row.readings]
    done = [_value(each.figures[row.driver]) for each in row.readings]
    limit = _value(row.figures["limit"])
    crosses = row.figures.get("crosses")
    reach = max([*done, 1e-9])
    if crosses is not None and crosses.value is not None:
        reach = min(max(reach, crosses.value), 5.0 * reach)
    reach *= ROOM
    low = min(limit, *(size - error for size, error in zip(sizes, errors, strict=True)))
    high = max(limit, *(size + error for size, error in zip(sizes, errors, strict=True)))
    margin = 0.08 * (high - low)
    foot = TOP + HIGH

    def x(at: float) -> float:
        return LEFT + min(max(at / reach, 0.0), 1.0) * (WIDE - LEFT - RIGHT)

    def y(size: float) -> float:
        return foot - (size - low + margin) / (high - low + 2.0 * margin) * HIGH

    drawn = [
        tag("line", x1=LEFT, x2=WIDE - RIGHT, y1=y(limit), y2=y(limit), stroke=ALARM,
            stroke_width=1.5)
    ]  # fmt: skip
    if crosses is not None and crosses.value is not None:
        rate = _value(row.figures[f"rate_{row.driver}"]) * (1.0 if sizes[0] > limit else -1.0)
        end = min(crosses.value, reach)
        start_size, end_size = (limit + rate * (crosses.value - at) for at in (done[0], end))
        drawn.append(tag("line", x1=x(done[0]), y1=y(start_size), x2=x(end), y2=y(end_size),
                         stroke=SLATE, stroke_width=2.5))  # fmt: skip
        if crosses.low is not None and crosses.high is not None and crosses.low < reach:
            drawn.append(tag("line", x1=x(crosses.low), x2=x(crosses.high), y1=y(limit),
                             y2=y(limit), stroke=ALARM, stroke_width=7))  # fmt: skip
    for at, size, error, each in zip(done, sizes, errors, row.readings, strict=True):
        drawn.append(tag("line", x1=x(at), x2=x(at), y1=y(size - error), y2=y(size + error),
                         stroke=INK_SECOND))  # fmt: skip
        drawn.append(tag("circle", cx=x(at), cy=y(size), r=4, stroke=INK, stroke_width=1.5,
                         fill=PAPER if each.marked else INK))  # fmt: skip
    last = row.readings[-1].figures[row.driver]
    drawn += [
        tag("line", x1=LEFT, x2=WIDE - RIGHT, y1=foot, y2=foot, stroke=INK_SECOND),
        pen.label(x(done[-1]), foot + 20.0, last, anchor="middle", fill=INK_SECOND),
        pen.label(LEFT, y(limit) - 6.0, row.figures["limit"], fill=ALARM),
        pen.label(LEFT, 16.0, row.figures["size"], fill=INK),
    ]
    item = say(f"rule_item.{row.item.replace('-', '_')}", language)
    return tag(
        "svg",
        tag("title", say("wear.drawing", language, item=item, end=row.end)),
        tag("rect", x=0, y=0, width=WIDE, height=foot + 30.0, fill=PAPER),
        *drawn,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {WIDE:.0f} {foot + 30.0:.0f}",
        width=f"{WIDE:.0f}",
        height=f"{foot + 30.0:.0f}",
        role="img",
    )


def _value(figure: Figure) -> float:
    return 0.0 if figure.value is None else figure.value
