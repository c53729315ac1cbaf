"""Keeping the book by hand: enter, strike, export, back up, restore, verify."""

from __future__ import annotations

import io
import math
import os
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Literal

from rodhand.advice.rules import rules_from_rows
from rodhand.advice.settings import setting_fault
from rodhand.book.tasks.look_faults import look_faults
from rodhand.book.work.tables import data_rows
from rodhand.book.work.thread_mix import load_faults
from rodhand.faults import BadInputError, Fault
from rodhand.record import backup as backups
from rodhand.record.book import Book
from rodhand.record.damage import whole_entries
from rodhand.record.database import FILE_NAME, told_plainly
from rodhand.record.difference import Difference
from rodhand.record.entry import Draft, Entry, entry_from_json
from rodhand.record.export import export_csv, export_json_lines
from rodhand.record.intake import flags_of
from rodhand.record.journal import Journal
from rodhand.record.kept_open import journal_of
from rodhand.record.kinds import CALIBRATED_CLASSES, CLASS_CALIBRATION
from rodhand.record.memory import MemoryJournal
from rodhand.record.order import known_by
from rodhand.record.verify import Verification, verify_entries

OF_THE_ENTRY = ("happened", "by")
"""Columns of a rows file that say when and by whom, and not what."""


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
    rules = rules_from_rows(data_rows("rules.csv"))
    found = []
    for draft in drafts:
        said = {column.casefold(): text.strip() for column, text in draft.payload.items()}
        if draft.kind == "setting" and {"setting", "value"} <= said.keys():
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


def drafts_of_rows(
    kind: str,
    headings: Sequence[str],
    rows: Sequence[tuple[int, Sequence[str]]],
    happened: str,
    by: str,
    source: str,
    fields: Mapping[str, str] | None = None,
) -> list[Draft]:
    """Drafts of a file's rows, each with its line.

    Parameters
    ----------
    kind : str
        Kind of every row.
    headings : sequence of str
        Column names; ``happened`` and ``by`` may be among them.
    rows : sequence of (int, sequence of str)
        Line number and cells.
    happened, by : str
        For rows that say nothing of it themselves.
    source : str
        Name of the file.
    fields : mapping of str to str, optional
        Columns that are the same for every row and do not stand in the file, as the bore.

    Returns
    -------
    list of Draft
        One for each row.

    Raises
    ------
    BadInputError
        If a heading stands twice, or a row has more cells than there are headings.
    """
    names = [heading.strip() for heading in headings]
    common = dict(fields or {})
    folded = [*(name.casefold() for name in common), *(name.casefold() for name in names)]
    faults = [
        Fault("entry_heading_twice", name, 1, name)
        for place, name in enumerate(names, len(common))
        if name and folded[place] in folded[:place]
    ]
    faults += [
        Fault("entry_row_too_long", cell, line)
        for line, cells in rows
        for cell in cells[len(names) :]
        if cell
    ]
    faults += [
        Fault("entry_cell_without_heading", cell, line)
        for line, cells in rows
        for name, cell in zip(names, cells, strict=False)
        if cell and not name
    ]
    if faults:
        raise BadInputError(faults, source)
    drafts = []
    for line, cells in rows:
        typed = {name: cell for name, cell in zip(names, cells, strict=False) if name and cell}
        said = {name.casefold(): text for name, text in typed.items()}
        payload = {n: text for n, text in typed.items() if n.casefold() not in OF_THE_ENTRY}
        when, who = said.get("happened") or happened, said.get("by") or by
        drafts.append(Draft(kind, {**common, **payload}, when, "", who, line))
    return drafts


def drafts_of_values(kind: str, fields: Mapping[str, str], happened: str, by: str) -> list[Draft]:
    """The one draft of a command's or form's values."""
    return [Draft(kind, fields, happened, "", by)]


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


def export_form(typed: str) -> Literal["csv", "jsonl"]:
    """The form of an export. Raises BadInputError for any other than csv and jsonl."""
    if typed.casefold() == "csv":
        return "csv"
    if typed.casefold() == "jsonl":
        return "jsonl"
    raise BadInputError([Fault("export_form", typed)], "export")


def as_of_day(typed: str) -> str:
    """The day of ``--as-of``; empty for none. Raises BadInputError if it is no ISO date."""
    try:
        return str(date.fromisoformat(typed)) if typed else ""
    except ValueError:
        raise BadInputError([Fault("date_as_of", typed)], "as-of") from None


def export(folder: Path, form: Literal["csv", "jsonl"], as_of: str = "") -> tuple[str, int]:
    """Every entry of a book as a sheet or as lines of JSON, and how many there are.

    Raises
    ------
    CannotReadError
        If the book cannot be read.
    """
    with Journal.open(folder, write=False) as journal:
        entries = journal.entries()
    known = {entry.id for entry in known_by(entries, as_of or None)}
    kept = [entry for entry in entries if entry.id in known]
    stream = io.StringIO(newline="")
    if form == "csv":
        export_csv(kept, stream)
    else:
        export_json_lines(kept, stream)
    return stream.getvalue(), len(kept)


def write_whole(file: Path, text: str) -> None:
    """Write a file so that it is there whole or not at all.

    Raises
    ------
    CannotReadError
        If it cannot be written; a file that was there before is then as it was.
    """
    with told_plainly(file):
        handle, part = tempfile.mkstemp(dir=file.parent, prefix=".part-")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="") as stream:
                stream.write(text)
            os.replace(part, file)
        except BaseException:
            Path(part).unlink(missing_ok=True)
            raise


@dataclass(frozen=True)
class LinesTaken:
    """How many entries of a file were new, of how many."""

    new: int
    total: int


def take_lines(folder: Path, file: Path) -> LinesTaken:
    """Take entries made elsewhere into a book from a file of JSON lines, all or none.

    Parameters
    ----------
    folder : Path
        The book's folder; a folder without a book gets one.
    file : Path
        One entry a line, as ``rodhand export --form jsonl`` writes them; blank lines are passed
        over.

    Returns
    -------
    LinesTaken
        How many were new; those already in the book are passed over.

    Raises
    ------
    BadInputError
        With every line that is no entry or was changed since it was made; then nothing is kept.
    DamagedError
        If the book's own file is damaged.
    CannotReadError
        If the file cannot be read or the book cannot be written; then nothing is kept.
    """
    with told_plainly(file):
        raw = file.read_bytes()
    entries, faults = [], []
    for number, line in enumerate(raw.splitlines(), 1):
        if not line.strip():
            continue
        try:
            entry = entry_from_json(line.decode("utf-8"))
        except ValueError:
            shown = line[:60].decode("utf-8", "replace")
            faults.append(Fault("entry_line", shown, number))
            continue
        if entry.holds():
            entries.append(entry)
        else:
            faults.append(Fault("entry_changed", entry.id, number))
    if faults:
        raise BadInputError(faults, file.name)
    if (folder / FILE_NAME).exists():
        whole_entries(folder)
    return LinesTaken(journal_of(folder, write=True).append(entries), len(entries))


def back_up(folder: Path, target: Path) -> backups.Manifest:
    """Back a book up; see `rodhand.record.backup.back_up`."""
    return backups.back_up(folder, target)


def restore(backup: Path, folder: Path) -> backups.Restored:
    """Bring a book back from a backup; see `rodhand.record.backup.restore`."""
    return backups.restore(backup, folder)


def compare(backup: Path, folder: Path) -> Difference:
    """What stands only in a book or only in a backup; see `rodhand.record.backup.compare`."""
    return backups.compare(backup, folder)


def verify(folder: Path) -> Verification:
    """Check the book's file and every hash and chain in it.

    Raises
    ------
    CannotReadError
        If the book cannot be read or its file is damaged.
    """
    with Journal.open(folder, write=False) as journal:
        journal.check_file()
        return verify_entries(journal.entries())


def fields_from_options(arguments: Sequence[str]) -> Mapping[str, str]:
    """Columns and values of ``--column value`` or ``--column=value``; hyphens are underscores.

    Raises
    ------
    BadInputError
        If a value has no column, a column no value, or a column stands twice.
    """
    fields: dict[str, str] = {}
    faults = []
    waiting = list(arguments)
    while waiting:
        option = waiting.pop(0)
        name, equals, value = option.partition("=")
        column = name[2:].replace("-", "_")
        if not name.startswith("--") or not column:
            faults.append(Fault("entry_option", option))
            continue
        if not equals and not waiting:
            faults.append(Fault("entry_option_value", option, column=column))
            continue
        text = value if equals else waiting.pop(0)
        if column in fields:
            faults.append(Fault("entry_heading_twice", text, column=column))
        fields[column] = text
    if faults:
        raise BadInputError(faults, "enter")
    return fields
