"""The first page with what does not stand in the entries: the age of the last copy."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from rodhand.book.copies_page import copy_age, copy_note
from rodhand.book.views import WeekView


def with_copies(view: WeekView, folder: Path) -> WeekView:
    """This week with the age of the book's last copy, and a quiet note when it is old.

    Parameters
    ----------
    view : WeekView
        This week as the book says it.
    folder : Path
        The book's folder.

    Returns
    -------
    WeekView
        The same with ``copy_age`` among its figures; unknown when no copy is known.
    """
    return replace(
        view,
        figures={**view.figures, "copy_age": copy_age(folder)},
        copy_note=copy_note(folder),
    )
