"""`rodhand export`: every entry of the book, as typed."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated, Literal

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, AsOf, BookFolder
from rodhand.words import say


def export(
    to: Annotated[Path | None, typer.Option("--to", help=say("keep.to"))] = None,
    form: Annotated[str, typer.Option("--form", help=say("keep.form"))] = "",
    units: Annotated[
        Literal["metric", "us"], typer.Option("--units", help=say("keep.units"))
    ] = "metric",
    as_of: AsOf = "",
    book: BookFolder = DEFAULT_BOOK,
) -> None:
    """Write every entry of the book as typed: CSV, lines of JSON, or a workbook to work on.

    CSV and JSON hold struck entries too; a workbook holds what stands and is read back by import.
    Without a book the workbook is an empty one to fill in.
    """
    from rodhand.book.entry.carrying import as_of_day, export_form
    from rodhand.book.entry.carrying import export as use_case
    from rodhand.book.whole_file import write_whole

    day = as_of_day(as_of)
    if to is not None and (form or to.suffix.lstrip(".")).casefold() == "xlsx":
        from rodhand.sheets.workbook_out import export_or_blank

        count = export_or_blank(book, to, units, day)
        print(say("keep.exported", count=count, file=to))
        return
    chosen = export_form(form or (to.suffix.lstrip(".") if to else "csv"))
    text, count = use_case(book, chosen, day)
    if to is None:
        sys.stdout.write(text)
        return
    write_whole(to, text)
    print(say("keep.exported", count=count, file=to))
