"""Drawing of five ways of ordering: length drilled to the first rod used up, with its interval."""

from __future__ import annotations

from rodhand.book.order.turning import TurningView
from rodhand.sheets.svg import INK, INK_SECOND, LIFE, LINE, PAPER, Pen, tag
from rodhand.units import Figure, System
from rodhand.words import IN_FORCE, say

WIDE, LEFT, TOP, STEP = 312.0, 6.0, 6.0, 48.0
BAR, TICK = 12.0, 7.0


def turning_svg(view: TurningView, system: System, language: str = IN_FORCE) -> str:
    """The drawing as SVG.

    Parameters
    ----------
    view : TurningView
        What turning would give; its ``state`` is ``known``.
    system : {"metric", "us"}
        Unit system of the figures.
    language : str
        Language of the words.

    Returns
    -------
    str
        One bar a way, from nothing to the median, its name and figure above it; a line for 90 % of
        the seasons, without an end mark where its end was not reached in the longest season.
    """
    pen = Pen(system, language, f"turning-{view.rig}")
    figures = [row.figures["retire"] for row in view.rows]
    ends = [value for each in figures for value in (each.value, each.high) if value is not None]
    reach = max(ends, default=1.0)
    foot = TOP + STEP * len(figures)
    drawn = []
    for k, (row, figure) in enumerate(zip(view.rows, figures, strict=True)):
        drawn += _way(pen, say(f"turning.how.{row.how}", language), figure, TOP + STEP * k, reach)
    return tag(
        "svg",
        tag("title", say("turning.drawing", language)),
        tag("rect", x=0, y=0, width=WIDE, height=foot + 4.0, fill=PAPER),
        *drawn,
        tag("line", x1=LEFT, x2=LEFT, y1=TOP, y2=foot, stroke=INK_SECOND),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {WIDE:.0f} {foot + 4.0:.0f}",
        width=f"{WIDE:.0f}",
        height=f"{foot + 4.0:.0f}",
        role="img",
    )


def _way(pen: Pen, name: str, figure: Figure, top: float, reach: float) -> list[str]:
    """Name and figure, and under them the bar of the median with its interval."""
    whole = WIDE - 2.0 * LEFT
    y = top + 24.0
    middle = y + BAR / 2.0

    def x(metres: float | None) -> float:
        return LEFT + whole * (1.0 if metres is None else metres / reach)

    parts = [
        pen.label(LEFT + 4.0, top + 16.0, name, fill=INK, weight="bold"),
        pen.label(WIDE - LEFT, top + 16.0, figure, anchor="end", fill=INK),
        tag("rect", x=LEFT, y=y, width=x(figure.value) - LEFT, height=BAR, fill=LIFE[1],
            stroke=LINE),
    ]  # fmt: skip
    if figure.low is not None:
        parts += [
            tag("line", x1=x(figure.low), x2=x(figure.high), y1=middle, y2=middle, stroke=INK,
                stroke_width=3),
            *(
                tag("line", x1=x(end), x2=x(end), y1=middle - TICK, y2=middle + TICK, stroke=INK,
                    stroke_width=3)
                for end in (figure.low, figure.high)
                if end is not None
            ),
        ]  # fmt: skip
    return parts
