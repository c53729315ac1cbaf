"""Keeping the book: entries taken in all or none, what refuses them, and striking one."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from rodhand.advice.rules import rules_from_rows
from rodhand.advice.settings import setting_fault
from rodhand.book.tasks.look_faults import look_faults
from rodhand.book.work.tables import data_rows
from rodhand.book.work.thread_mix import load_faults
from rodhand.faults import BadInputError, Fault
from rodhand.record.book import Book
from rodhand.record.choices import CALIBRATED_CLASSES, CLASS_CALIBRATION
from rodhand.record.database import FILE_NAME
from rodhand.record.entry import Draft, Entry
from rodhand.record.intake import flags_of
from rodhand.record.kept_open import journal_of
from rodhand.record.memory import MemoryJournal


@dataclass(frozen=True)
class Entered:
    """What was taken into the book.

    Parameters
    ----------
    entries : tuple of Entry
        In the order given; on disk.
    flags : tuple of Fault
        What was kept as typed but should be looked at again.
    new_book : bool
        Whether the folder held no book before.
    """

    entries: tuple[Entry, ...]
    flags: tuple[Fault, ...]
    new_book: bool


def enter(folder: Path, drafts: Sequence[Draft], source: str) -> Entered:
    """Take entries into a book, all or none; a folder without a book gets one.

    Parameters
    ----------
    folder : Path
        The book's folder.
    drafts : sequence of Draft
        What is to be entered; later ones may refer to names that earlier ones define.
    source : str
        Name of the file or command they came from.

    Returns
    -------
    Entered
        The entries and what should be looked at again.

    Raises
    ------
    BadInputError
        With every fault; then nothing is kept.
    CannotReadError
        If the book cannot be written; then nothing is kept.
    """
    faults = [*setting_faults(drafts), *factor_faults(drafts)]
    if faults:
        raise BadInputError(faults, source)
    new_book = not (folder / FILE_NAME).exists()
    if new_book:  # no empty book is left behind by bad input
        MemoryJournal().write_many(drafts, source, also=_refused)
    entries = journal_of(folder, write=True).write_many(drafts, source, also=_refused)
    return Entered(entries, tuple(flags_of(drafts)), new_book)


def _refused(book: Book, drafts: Mapping[str, Draft]) -> list[Fault]:
    """What the record would take and the book refuses."""
    return [*load_faults(book, drafts), *look_faults(book, drafts)]


def setting_faults(drafts: Sequence[Draft]) -> list[Fault]:
    """What is wrong with the settings among some drafts: the record takes any, the program not."""
    drafts = [draft for draft in drafts if draft.kind == "setting"]
    if not drafts:
        return []
    rules = rules_from_rows(data_rows("rules.csv"))
    found = []
    for draft in drafts:
        said = {column.casefold(): text.strip() for column, text in draft.payload.items()}
        if {"setting", "value"} <= said.keys():
            code = setting_fault(said["setting"], said["value"], rules)
            if code:
                column = "setting" if code == "setting_unknown" else "value"
                found.append(Fault(code, said[column], draft.line, column))
    return found


def factor_faults(drafts: Sequence[Draft]) -> list[Fault]:
    """What is wrong with the factors of calibrations among some drafts."""
    found = []
    for draft in drafts:
        if draft.kind != CLASS_CALIBRATION:
            continue
        said = {column.strip().casefold(): text.strip() for column, text in draft.payload.items()}
        for name in CALIBRATED_CLASSES:
            factor, sigma = said.get(f"{name}_factor", ""), said.get(f"{name}_sigma", "")
            if not (factor or sigma):
                continue
            if not is_class_factor(factor, sigma):
                found.append(
                    Fault("calibration_factor", factor or sigma, draft.line, f"{name}_factor")
                )
    return found


def is_class_factor(factor: str, sigma: str) -> bool:
    """Whether two texts are a factor above 0 and a standard deviation of its ln, 0 or above."""
    try:
        return 0.0 < float(factor) < math.inf and 0.0 <= float(sigma) < math.inf
    except ValueError:
        return False


def strike(folder: Path, entry: str, why: str, by: str) -> Entry:
    """Strike an entry of a book; a struck strike restores what it struck.

    Raises
    ------
    BadInputError
        If there is no such entry or no reason.
    CannotReadError
        If the book is not there or cannot be written.
    """
    journal_of(folder)  # striking never makes a book
    return journal_of(folder, write=True).strike(entry, why, by)
