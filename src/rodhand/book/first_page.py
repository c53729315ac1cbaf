"""The first page with what does not stand in the entries: the last copy, what rules moved."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from rodhand.book.entry.copies_page import copy_age, copy_note
from rodhand.book.tasks.moved_page import moved_batches, unusable_settings
from rodhand.book.views import WeekView
from rodhand.book.work.assess import Assessment
from rodhand.book.work.in_force import settings_in_force


def first_page(view: WeekView, folder: Path, assessment: Assessment) -> WeekView:
    """This week with the age of the book's last copy and what changed rules moved.

    Parameters
    ----------
    view : WeekView
        This week as the book says it.
    folder : Path
        The book's folder.
    assessment : Assessment
        The book worked through.

    Returns
    -------
    WeekView
        With ``copy_age`` among its figures, unknown when no copy is known; a book read as of a day
        is left as it is, because nobody knows what lay beside it then.
    """
    if assessment.book.as_of:
        return view
    own = settings_in_force(assessment.book, assessment.today)
    return replace(
        view,
        figures={**view.figures, "copy_age": copy_age(folder)},
        copy_note=copy_note(folder, own.copy_days),
        moved=tuple(each for each in reversed(moved_batches(folder)) if not each.seen),
        warnings=(*view.warnings, *unusable_settings(assessment.book)),
    )
