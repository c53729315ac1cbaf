"""Any table in: looked at first, as found and as understood, then kept whole or not at all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from rodhand.book.entry.imports import digest_of, import_draft, imports_of
from rodhand.book.entry.keeping import Entered, enter, setting_faults
from rodhand.faults import BadInputError, Fault
from rodhand.record.database import FILE_NAME
from rodhand.record.entry import Draft
from rodhand.record.intake import flags_of
from rodhand.record.kept_open import journal_of
from rodhand.record.memory import MemoryJournal
from rodhand.sheets.flags import Flag
from rodhand.sheets.grids import Grid, grid_from_bytes
from rodhand.sheets.importing import book_in, drafts_of_log, refuse_doubled, rod_length_of
from rodhand.sheets.log import log_of
from rodhand.sheets.numbers import BLANKS
from rodhand.sheets.recipes import READING, Recipe, fields_of
from rodhand.sheets.tables import Table, table_of

FIRST_ROWS = 5


@dataclass(frozen=True)
class Purpose:
    """What a table is taken in as.

    Parameters
    ----------
    bore, pass_name : str
        For a log: the bore, and the pass of rows that name none. For a load: the bore or nothing.
    rig : str
        For a load: whose box was filled.
    happened, by : str
        For rows that say nothing of it themselves.
    """

    bore: str = ""
    pass_name: str = ""
    rig: str = ""
    happened: str = ""
    by: str = ""


@dataclass(frozen=True)
class Looked:
    """A table before it is taken in.

    Parameters
    ----------
    found : Table
        Its first rows as they stand in the file.
    understood : Table or None
        The same rows under our headings; None where the recipe knows none of the columns.
    drafts : tuple of Draft
        What would be entered.
    faults : tuple of Fault
        Everything that stands against it, by line and column.
    flags : tuple of Flag or Fault
        What would be kept and should be looked at.
    unused : tuple of str
        Headings that are left out.
    rows : int
        How many rows the file has under its headings.
    """

    found: Table
    understood: Table | None
    drafts: tuple[Draft, ...]
    faults: tuple[Fault, ...]
    flags: tuple[Flag | Fault, ...]
    unused: tuple[str, ...]
    rows: int


def look(folder: Path, data: bytes, file: str, recipe: Recipe, purpose: Purpose) -> Looked:
    """Understand a table by a recipe and try it on the book; nothing is written.

    Parameters
    ----------
    folder : Path
        The book's folder.
    data : bytes
        Content of the file.
    file : str
        Its name.
    recipe : Recipe
        How to read it.
    purpose : Purpose
        What it is taken in as.

    Returns
    -------
    Looked
        First rows beside what is understood, and every fault.

    Raises
    ------
    BadInputError
        If the file as a whole cannot be used.
    CannotReadError
        If the book cannot be read.
    """
    grid = grid_from_bytes(data, file)
    table = table_of(grid, *recipe.lines)
    found = _first(table)
    try:
        understood, unused = recipe.apply(found)
    except BadInputError as error:
        return Looked(found, None, (), error.faults, (), table.headings, len(table.rows))
    drafts: Sequence[Draft] = ()
    flags: tuple[Flag | Fault, ...] = ()
    faults: tuple[Fault, ...] = ()
    try:
        drafts, told = _drafts(folder, grid, recipe, purpose)
        flags = (*told, *flags_of(drafts))
        _try(folder, drafts, file, digest_of(data))
    except BadInputError as error:
        faults = _in_the_file(error.faults, recipe, table)
    return Looked(found, understood, tuple(drafts), faults, flags, unused, len(table.rows))


def take(
    folder: Path, data: bytes, file: str, recipe: Recipe, purpose: Purpose, keep: bool
) -> Entered:
    """Take a table into a book whole or not at all; see `look`.

    Parameters
    ----------
    folder, data, file, recipe, purpose
        As for `look`.
    keep : bool
        Whether the recipe is kept in the book under its name.

    Returns
    -------
    Entered
        The entries, that of the table itself first among its rows.

    Raises
    ------
    BadInputError
        With every fault; then nothing is kept.
    CannotReadError
        If the book cannot be read or written; then nothing is kept.
    """
    grid = grid_from_bytes(data, file)
    table = table_of(grid, *recipe.lines)
    try:
        return _taken(folder, data, file, grid, recipe, purpose, keep)
    except BadInputError as error:
        raise BadInputError(_in_the_file(error.faults, recipe, table), file) from error


def _taken(
    folder: Path, data: bytes, file: str, grid: Grid, recipe: Recipe, purpose: Purpose, keep: bool
) -> Entered:
    drafts, _ = _drafts(folder, grid, recipe, purpose)
    digest = digest_of(data)
    _refuse_twice(folder, file, digest)
    head = [import_draft(file, digest, drafts, purpose.bore, recipe.name)]
    if keep:
        mapping = {"name": recipe.name, "mapping": recipe.to_text()}
        head.insert(0, Draft("recipe", mapping, "", "", purpose.by))
    return enter(folder, [*head, *drafts], file)


def _first(table: Table) -> Table:
    return replace(
        table, rows=table.rows[:FIRST_ROWS], lines=table.lines[:FIRST_ROWS], faults=(), flags=()
    )


def _drafts(
    folder: Path, grid: Grid, recipe: Recipe, purpose: Purpose
) -> tuple[list[Draft], tuple[Flag, ...]]:
    """Drafts of the whole table, each with its line."""
    table = table_of(grid, *recipe.lines)
    if recipe.kind == READING:
        return _readings(folder, table, recipe, purpose)
    rows, _ = recipe.apply(table)
    faults = list(rows.faults)
    headings = [recipe.spec_of(h) for h in table.headings]
    named = {spec.field.name for spec in headings if spec is not None} | set(recipe.same)
    for field in fields_of(recipe.kind).values():
        if field.required and field.name not in named:
            faults.append(Fault("table_field_missing", column=field.name))
    if recipe.kind == "load" and not purpose.rig:
        faults.append(Fault("table_no_rig", column="rig"))
    if faults:
        raise BadInputError(faults, table.source)
    if recipe.kind == "load":
        return [_load(rows, purpose)], rows.flags
    return [
        _draft(recipe, dict(zip(rows.headings, cells, strict=True)), line, purpose)
        for line, cells in zip(rows.lines, rows.rows, strict=True)
    ], rows.flags


def _readings(
    folder: Path, table: Table, recipe: Recipe, purpose: Purpose
) -> tuple[list[Draft], tuple[Flag, ...]]:
    if not purpose.bore:
        raise BadInputError([Fault("import_needs_bore", column="bore")], table.source)
    book = book_in(folder)
    log = log_of(table, recipe, rod_length_of(book, purpose.bore), length_needed=False)
    if log.kind == "survey":
        raise BadInputError([Fault("import_survey", column="station")], table.source)
    drafts = drafts_of_log(log, purpose.bore, purpose.pass_name, purpose.happened, purpose.by)
    refuse_doubled(book, purpose.bore, drafts, table.source)
    return drafts, log.flags


def _draft(recipe: Recipe, cells: Mapping[str, str], line: int, purpose: Purpose) -> Draft:
    """One row as an entry; a blank cell is left out, because nobody said anything there."""
    said = {name: cell for name, cell in cells.items() if cell not in BLANKS}
    happened = said.pop("happened", "") or purpose.happened
    by = said.pop("by", "") or purpose.by
    return Draft(recipe.kind, {**recipe.same, **said}, happened, "", by, line)


def _load(rows: Table, purpose: Purpose) -> Draft:
    """One load of all the rows in their order."""
    marks = rows.column(rows.headings.index("things"))
    blank = [Fault("table_mark_missing", cell, line, "things")
             for cell, line in zip(marks, rows.lines, strict=True) if cell in BLANKS]  # fmt: skip
    if blank:
        raise BadInputError(blank, rows.source)
    payload = {"rig": purpose.rig, "bore": purpose.bore, "things": ", ".join(marks),
               "how": "marked"}  # fmt: skip
    said = {name: text for name, text in payload.items() if text}
    return Draft("load", said, purpose.happened, "", purpose.by)


def _in_the_file(faults: Sequence[Fault], recipe: Recipe, table: Table) -> tuple[Fault, ...]:
    """Faults where they stand in the file: under its own headings, a load's at their marks."""
    heading_of = {}
    for heading in reversed(table.headings):
        spec = recipe.spec_of(heading) if heading else None
        if spec is not None:
            heading_of[spec.heading.casefold()] = heading
    line_of = {
        cell.casefold(): line
        for cells, line in zip(reversed(table.rows), reversed(table.lines), strict=True)
        for cell in cells
        if recipe.kind == "load"
    }
    return tuple(
        replace(
            fault,
            line=fault.line or line_of.get(fault.found.casefold()),
            column=heading_of.get((fault.column or "").casefold(), fault.column),
        )
        for fault in faults
    )


def _try(folder: Path, drafts: Sequence[Draft], file: str, digest: str) -> None:
    """Enter the drafts into a copy of the book in memory."""
    _refuse_twice(folder, file, digest)
    faults = setting_faults(drafts)
    if faults:
        raise BadInputError(faults, file)
    copy = MemoryJournal()
    if (folder / FILE_NAME).exists():
        copy.append(journal_of(folder).entries())
    copy.write_many(drafts, file)


def _refuse_twice(folder: Path, file: str, digest: str) -> None:
    """The same file once more would say everything twice; taken back, it may be taken in again."""
    if not (folder / FILE_NAME).exists():
        return
    for before in imports_of(folder):
        if before.digest == digest and not before.struck:
            fault = Fault("table_taken_before", before.file, values={"day": before.entered})
            raise BadInputError([fault], file)
