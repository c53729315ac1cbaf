"""`rodhand import FILE`: take a log or a workbook into the book."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, BookFolder, By
from rodhand.words import render_fault, say

if TYPE_CHECKING:
    from rodhand.sheets.importing import WorkbookTaken
    from rodhand.sheets.recipe_guess import Guess
    from rodhand.sheets.recipes import Recipe
    from rodhand.sheets.tables import Table

_BUILT_IN = "decimal-comma, start-end-pitch, well-survey"


def import_file(
    file: Annotated[Path, typer.Argument(help=say("import.file"))],
    bore: Annotated[str, typer.Option("--bore", help=say("import.bore"))] = "",
    pass_name: Annotated[str, typer.Option("--pass", help=say("import.pass"))] = "",
    columns: Annotated[
        str, typer.Option("--columns", help=say("import.columns", names=_BUILT_IN))
    ] = "",
    happened: Annotated[str, typer.Option("--happened", help=say("import.happened"))] = "",
    by: By = "",
    rod_set: Annotated[str, typer.Option("--set", help=say("handover.help_import_set"))] = "",
    yes: Annotated[bool, typer.Option("--yes", help=say("import.yes"))] = False,
    book: BookFolder = DEFAULT_BOOK,
) -> None:
    """Take a bore's log, a workbook, entries of another device, or a former owner's file.

    All rows are kept, or none. Entries of another device or copy come as lines of JSON in a file
    ending in .jsonl, as export writes them; those already in the book are passed over. A file
    ending in .json is one that handover wrote: what it says counts as assumed.
    """
    from rodhand.faults import BadInputError, Fault
    from rodhand.sheets.importing import import_workbook
    from rodhand.sheets.workbook import holds_our_sheets

    if file.suffix.casefold() == ".jsonl":
        _import_lines(book, file)
    elif file.suffix.casefold() == ".json":
        _import_handover(book, file, rod_set, happened, by)
    elif bore:
        _import_log(book, file, bore, pass_name, columns, happened, by, yes)
    elif holds_our_sheets(file):
        _tell_workbook(book, import_workbook(book, file, happened, by))
    else:
        raise BadInputError([Fault("import_needs_bore", column="--bore")], file.name)


def _import_lines(book: Path, file: Path) -> None:
    from rodhand.book.entry.carrying import take_lines

    taken = take_lines(book, file)
    print(say("copies.lines_taken", count=taken.new, total=taken.total, name=file.name))


def _import_handover(book: Path, file: Path, rod_set: str, happened: str, by: str) -> None:
    from rodhand.book.owner.handover_taken import take_handover_file

    taken = take_handover_file(book, file, rod_set, happened, by)
    key = "handover.taken_new" if taken.new_set else "handover.taken_there"
    print(say(key, count=taken.rods, owner=taken.owner, set=taken.set))
    if taken.told_on:
        print(say("handover.told_on", names=", ".join(taken.told_on)))


def _import_log(
    book: Path, file: Path, bore: str, pass_name: str, columns: str, happened: str, by: str,
    yes: bool,
) -> None:  # fmt: skip
    from rodhand.sheets.flags import told_flag
    from rodhand.sheets.importing import import_log

    recipe, is_new = _recipe(book, file, columns, yes)
    known, new = (None, recipe) if is_new else (recipe, None)
    taken = import_log(book, file, bore, pass_name, known, new, happened, by)
    for flag in taken.log.flags:
        print(say("keep.look_again", told=told_flag(flag)), file=sys.stderr)
    if taken.log.unused:
        print(say("import.unused", columns=", ".join(taken.log.unused)), file=sys.stderr)
    count, passes = len(taken.log.lines), ", ".join(taken.passes)
    print(say("import.log_taken", count=count, bore=bore, passes=passes))
    if new is not None:
        print(say("import.kept_recipe", name=new.name))


def _recipe(book: Path, file: Path, name: str, yes: bool) -> tuple[Recipe | None, bool]:
    """The recipe of that name, or a new one that was proposed and agreed to."""
    from rodhand.faults import BadInputError, Fault
    from rodhand.sheets.grids import read_grid
    from rodhand.sheets.importing import book_in
    from rodhand.sheets.recipe_guess import first_rows, guess_recipe
    from rodhand.sheets.recipes import built_in_names, find_recipe

    if not name:
        return None, False
    kept = book_in(book).recipes
    if name in kept or name in built_in_names() or name.endswith(".toml"):
        return find_recipe(name, kept), False
    grid = read_grid(file)
    guess = guess_recipe(grid, name)
    _show_guess(file, guess, first_rows(grid, guess.recipe))
    if not yes and not (sys.stdin.isatty() and typer.confirm(say("import.ask"))):
        raise BadInputError([Fault("import_not_agreed", name, column="--columns")], file.name)
    return guess.recipe, True


def _show_guess(file: Path, guess: Guess, rows: Table) -> None:
    recipe = guess.recipe
    print(say("import.proposed", file=file.name, name=recipe.name))
    for column in guess.columns:
        if column.spec is None:
            print(say("import.proposed_unused", heading=column.heading))
            continue
        spec = column.spec.as_text()
        if not column.doubts:
            print(say("import.proposed_column", heading=column.heading, spec=spec))
        for doubt in column.doubts:
            told = say(f"guess.{doubt}")
            print(say("import.proposed_doubt", heading=column.heading, spec=spec, doubt=told))
    comma = say("guess.yes" if recipe.decimal_comma else "guess.no")
    print(say("import.proposed_other", comma=comma, line=recipe.heading_line or 1))
    if recipe.number_rows:
        print(say("import.by_number"))
    print(say("import.first_rows"))
    shown = [rows.headings, *rows.rows]
    widths = [max(map(len, cells)) for cells in zip(*shown, strict=True)]
    for row in shown:
        print("  " + "  ".join(cell.rjust(w) for cell, w in zip(row, widths, strict=True)))


def _tell_workbook(book: Path, taken: WorkbookTaken) -> None:
    from rodhand.sheets.flags import told_flag

    if taken.entered.new_book:
        print(say("keep.new_book", folder=book), file=sys.stderr)
    for sheet in taken.flags:
        print(say("keep.look_again", told=told_flag(sheet)), file=sys.stderr)
    for flag in taken.entered.flags:
        print(say("keep.look_again", told=render_fault(flag)), file=sys.stderr)
    print(say("import.workbook_taken", count=len(taken.entered.entries)))
