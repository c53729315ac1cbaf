"""The row that follows the last one of a grid."""

from __future__ import annotations

from collections.abc import Sequence

from rodhand.book.grid.grid import GridRow

COUNTED = ("station", "place")
CARRIED = ("row", "item")


def row_after(rows: Sequence[GridRow], step: int) -> GridRow:
    """A blank row that counts on from the last.

    Parameters
    ----------
    rows : sequence of GridRow
        Rows so far.
    step : int
        What stations and places count on by; 0 where rows are not numbered.

    Returns
    -------
    GridRow
        With its number, and what is the same from row to row.
    """
    if not rows:
        return GridRow({}, {})
    last = rows[-1]
    cells = {name: last.cells[name] for name in CARRIED if last.cells.get(name)}
    for name in COUNTED:
        text = last.cells.get(name, "")
        if step and text.isdigit() and int(text) + step >= 0:
            cells[name] = str(int(text) + step)
    return GridRow(cells, {})
