"""Take a log or a workbook into a book: all of it or nothing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from rodhand.book.entry.imports import digest_of, import_draft
from rodhand.book.entry.keeping import Entered, enter
from rodhand.faults import BadInputError, Fault
from rodhand.record.book import Book
from rodhand.record.database import FILE_NAME
from rodhand.record.entry import Draft
from rodhand.record.kept_open import journal_of
from rodhand.record.marks import fold
from rodhand.sheets.flags import Flag
from rodhand.sheets.grids import read_bytes
from rodhand.sheets.log import PILOT, LogFile, read_log
from rodhand.sheets.recipes import Recipe
from rodhand.sheets.workbook import read_workbook


@dataclass(frozen=True)
class LogTaken:
    """A log that was taken into a book."""

    entered: Entered
    log: LogFile
    passes: tuple[str, ...]


@dataclass(frozen=True)
class WorkbookTaken:
    """A workbook that was taken into a book."""

    entered: Entered
    flags: tuple[Flag, ...]


def book_in(folder: Path) -> Book:
    """What a book says; an empty one where the folder holds none yet.

    Raises
    ------
    CannotReadError
        If there is a book that cannot be read.
    """
    if not (folder / FILE_NAME).exists():
        return Book()
    return journal_of(folder).book()


def import_log(
    folder: Path, path: Path, bore: str, pass_name: str = "", recipe: Recipe | None = None,
    new_recipe: Recipe | None = None, happened: str = "", by: str = "",
) -> LogTaken:  # fmt: skip
    """Take a rod-by-rod log into a book as the readings of a bore.

    Parameters
    ----------
    folder : Path
        The book's folder.
    path : Path
        The log, CSV or XLSX.
    bore : str
        The bore; it must be in the book.
    pass_name : str, optional
        Pass of the rows that name none; the pilot when empty.
    recipe : Recipe, optional
        How to read foreign headings.
    new_recipe : Recipe, optional
        The same, to be kept in the book with the readings.
    happened : str, optional
        When it was; now when empty.
    by : str, optional
        Key of the person who says it.

    Returns
    -------
    LogTaken
        The entries, and the log with its flags.

    Raises
    ------
    BadInputError
        With every fault; then nothing is kept.
    CannotReadError
        If the file or the book cannot be read or written; then nothing is kept.
    """
    book = book_in(folder)
    log = read_log(path, new_recipe or recipe, rod_length_of(book, bore), length_needed=False)
    if log.kind == "survey":
        raise BadInputError([Fault("import_survey", column="station")], log.source)
    drafts = drafts_of_log(log, bore, pass_name, happened, by)
    refuse_doubled(book, bore, drafts, log.source)
    if new_recipe is not None:
        mapping = {"name": new_recipe.name, "mapping": new_recipe.to_text()}
        drafts.insert(0, Draft("recipe", mapping, happened, "", by))
    rows = [draft for draft in drafts if draft.kind == "reading"]
    used = new_recipe or recipe
    named = used.name if used else ""
    table = import_draft(log.source, digest_of(read_bytes(path)), rows, bore, named)
    drafts.insert(len(drafts) - len(rows), table)
    entered = enter(folder, drafts, log.source)
    passes = dict.fromkeys(d.payload["pass"] for d in drafts if d.kind == "reading")
    return LogTaken(entered, log, tuple(passes))


def drafts_of_log(
    log: LogFile, bore: str, pass_name: str = "", happened: str = "", by: str = ""
) -> list[Draft]:
    """One reading for each row of a log, as typed; see `import_log`."""
    drafts = []
    for index, line in enumerate(log.lines):
        typed = log.row(index)
        named = typed.pop("pass", "")
        of_pass = log.pass_of[index] if named else pass_name or PILOT
        payload = {"bore": bore, "pass": of_pass, **typed}
        drafts.append(Draft("reading", payload, happened, "", by, line))
    return drafts


def import_workbook(folder: Path, path: Path, happened: str = "", by: str = "") -> WorkbookTaken:
    """Take every row of a workbook into a book.

    Parameters
    ----------
    folder : Path
        The book's folder; one without a book gets one.
    path : Path
        The workbook.
    happened, by : str, optional
        For rows that say nothing of it themselves.

    Returns
    -------
    WorkbookTaken
        The entries, and what was left out.

    Raises
    ------
    BadInputError
        With every fault at its sheet, row and column; then nothing is kept.
    CannotReadError
        If the file or the book cannot be read or written; then nothing is kept.
    """
    read = read_workbook(path, happened, by)
    try:
        entered = enter(folder, read.drafts, read.source)
    except BadInputError as error:
        raise BadInputError(read.placed(error.faults), read.source) from error
    placed = Entered(entered.entries, read.placed(entered.flags), entered.new_book)
    return WorkbookTaken(placed, read.flags)


def rod_length_of(book: Book, bore: str) -> float | None:
    """Length of the rods of a bore's rig, to find metres typed as feet; None if not known. [m]"""
    found = next((each for name, each in book.bores.items() if fold(name) == fold(bore)), None)
    rig = book.rigs.get(found.rig) if found else None
    rod_type = book.rod_types.get(rig.rod_type) if rig else None
    return rod_type.length if rod_type else None


def refuse_doubled(book: Book, bore: str, drafts: Sequence[Draft], source: str) -> None:
    """A log that is in the book already would count as two crews' readings of one bore."""
    known = next((each for name, each in book.bores.items() if fold(name) == fold(bore)), None)
    held = {
        _what_it_says(travel.name, said.typed)
        for travel in (known.passes if known else ())
        for reading in travel.readings
        for said in (reading, *reading.alternatives)
    }
    again = [d for d in drafts if _what_it_says(d.payload["pass"], d.payload) in held]
    if again:
        values = {"count": str(len(again))}
        raise BadInputError(
            [Fault("reading_already_there", again[0].payload["station"], again[0].line,
                   "station", values)], source,
        )  # fmt: skip


def _what_it_says(pass_name: str, typed: Mapping[str, str]) -> tuple[str, frozenset[object]]:
    said = {column: text for column, text in typed.items() if column not in ("bore", "pass")}
    return fold(pass_name), frozenset(said.items())
