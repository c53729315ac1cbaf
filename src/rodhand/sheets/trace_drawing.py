"""Drawing of a trace: the bad end at the left, then hand by hand who met whom."""

from __future__ import annotations

from html import escape

from rodhand.book.yard.trace import TraceRow, TraceView
from rodhand.sheets.svg import ALARM, INK, INK_SECOND, LETTER, LINE, PAPER, tag
from rodhand.words import IN_FORCE, say

STEP, TOP, LEFT, TEXT, GAP = 24.0, 44.0, 8.0, 15.0, 70.0
MOST = 16
"""Names of one hand drawn; the rest is counted below them."""


def trace_svg(view: TraceView, language: str = IN_FORCE) -> str:
    """The drawing as SVG; empty where the end met nothing.

    Parameters
    ----------
    view : TraceView
        The page's view.
    language : str
        Language of the words.

    Returns
    -------
    str
        A full line is a way of joints whose rods are all known by mark or row; a broken line one
        with a rod known by set only or not at all. Ends found bad stand in the alarm's colour.
    """
    hands = [rows for rows in _by_hand(view) if rows]
    if not hands:
        return ""
    texts = [[_label(row) for row in rows[:MOST]] for rows in hands]
    start = f"{view.name} {view.end}"
    widths = [len(start), *(max(len(text) for text in column) for column in texts)]
    across = [LEFT]
    for width in widths:
        across.append(across[-1] + max(width, 13) * TEXT * LETTER + GAP)
    deepest = max(
        len(column) + (len(rows) > MOST) for column, rows in zip(texts, hands, strict=True)
    )
    wide, high = across[-1] - GAP + LEFT, TOP + deepest * STEP + 8.0
    at = {start: (across[0] + len(start) * TEXT * LETTER, TOP)}
    lines, labels = [], [_text(start, across[0], TOP, ALARM)]
    for hand, (rows, column) in enumerate(zip(hands, texts, strict=True), 1):
        labels.append(_text(say("trace.hand", language, hand=hand), across[hand], 18.0, INK_SECOND))
        for k, (row, text) in enumerate(zip(rows, column, strict=False)):
            y = TOP + k * STEP
            labels.append(_text(text, across[hand], y, ALARM if row.found else INK))
            at.setdefault(text, (across[hand] + len(text) * TEXT * LETTER, y))
            if _mate(row) in at:
                lines.append(_line(at[_mate(row)], (across[hand] - 6.0, y), row))
        if len(rows) > MOST:
            more = say("trace.more", language, count=len(rows) - MOST)
            labels.append(_text(more, across[hand], TOP + MOST * STEP, INK_SECOND))
    return tag(
        "svg",
        tag("title", escape(say("trace.drawing", language, name=view.name, end=view.end))),
        tag("rect", x=0, y=0, width=wide, height=high, fill=PAPER),
        *lines,
        *labels,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {wide:.0f} {high:.0f}",
        width=f"{wide:.0f}",
        height=f"{high:.0f}",
        role="img",
        font_family="Rodhand Sans, sans-serif",
    )


def _by_hand(view: TraceView) -> list[list[TraceRow]]:
    """Rows of each hand; those first whose mate is drawn in the hand before."""
    rows = [*view.first, *view.further]
    drawn = {f"{view.name} {view.end}"}
    hands = []
    for hand in range(1, max((row.hand for row in rows), default=0) + 1):
        here = [row for row in rows if row.hand == hand]
        here.sort(key=lambda row: _mate(row) not in drawn)
        drawn = {_label(row) for row in here[:MOST]}
        hands.append(here)
    return hands


def _mate(row: TraceRow) -> str:
    return f"{row.by} {'box' if row.end == 'pin' else 'pin'}"


def _label(row: TraceRow) -> str:
    return f"{row.name} {row.end}"


def _text(text: str, x: float, y: float, fill: str) -> str:
    return tag("text", escape(text), x=x, y=y, fill=fill, font_size=TEXT)


def _line(start: tuple[float, float], end: tuple[float, float], row: TraceRow) -> str:
    unsure = row.known in ("set only", "unknown")
    return tag(
        "line", x1=start[0] + 4.0, y1=start[1] - 5.0, x2=end[0], y2=end[1] - 5.0,
        stroke=ALARM if row.found else LINE, stroke_width=1.2,
        stroke_dasharray="4 4" if unsure else None,
    )  # fmt: skip
