"""A book carried away and back: export, lines of entries, backup, restore, verify."""

from __future__ import annotations

import io
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Literal

from rodhand.faults import BadInputError, Fault
from rodhand.record import backup as backups
from rodhand.record.damage import whole_entries
from rodhand.record.database import FILE_NAME, told_plainly
from rodhand.record.difference import Difference
from rodhand.record.entry import entry_from_json
from rodhand.record.export import export_csv, export_json_lines
from rodhand.record.journal import Journal
from rodhand.record.kept_open import journal_of
from rodhand.record.order import known_by
from rodhand.record.verify import Verification, verify_entries


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
    entries = journal_of(folder).entries()
    known = {entry.id for entry in known_by(entries, as_of or None)}
    kept = [entry for entry in entries if entry.id in known]
    stream = io.StringIO(newline="")
    if form == "csv":
        export_csv(kept, stream)
    else:
        export_json_lines(kept, stream)
    return stream.getvalue(), len(kept)


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
