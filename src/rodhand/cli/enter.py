"""`rodhand enter KIND`: put entries into the book."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, BookFolder, By
from rodhand.words import render_fault, say


def enter(
    context: typer.Context,
    kind: Annotated[str, typer.Argument(help=say("keep.kind", kinds=say("keep.kinds")))],
    file: Annotated[Path | None, typer.Option("--file", help=say("keep.file"))] = None,
    happened: Annotated[str, typer.Option("--happened", help=say("keep.happened"))] = "",
    by: By = "",
    book: BookFolder = DEFAULT_BOOK,
) -> None:
    """Enter one thing with --column value, or many with --file; prints each entry's id.

    All rows are kept, or none. A folder without a book gets one.
    """
    from rodhand.book.entry.keeping import enter as use_case
    from rodhand.book.entry.typed_rows import drafts_of_rows, drafts_of_values, fields_from_options

    fields = fields_from_options(context.args)
    if file is None:
        drafts, source = drafts_of_values(kind, fields, happened, by), kind
    else:
        from rodhand.faults import BadInputError, Fault
        from rodhand.sheets.grids import read_grid

        grid = read_grid(file)
        rows = list(zip(grid.lines[1:], grid.cells[1:], strict=True))
        if not rows:
            raise BadInputError([Fault("no_rows")], grid.source)
        drafts = drafts_of_rows(kind, grid.cells[0], rows, happened, by, grid.source, fields)
        source = grid.source
    entered = use_case(book, drafts, source)
    if entered.new_book:
        print(say("keep.new_book", folder=book), file=sys.stderr)
    for flag in entered.flags:
        print(say("keep.look_again", told=render_fault(flag)), file=sys.stderr)
    if kind == "check":
        from rodhand.book.telling import tell
        from rodhand.book.yard.rod_card_kept import asked_about

        for asked in asked_about(book, [entry.id for entry in entered.entries]):
            print(say("keep.look_again", told=tell(asked, "metric")), file=sys.stderr)
    if kind == "booked-bore":
        from rodhand.book.opening import book_in
        from rodhand.book.telling import tell
        from rodhand.book.work.booked import booked_of_begun

        read = book_in(book)
        for entry in entered.entries:
            for asked in booked_of_begun(read, entry=entry.id):
                print(say("keep.look_again", told=tell(asked, "metric")), file=sys.stderr)
    for entry in entered.entries:
        print(entry.id)
