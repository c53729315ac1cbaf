"""`rodhand strike ENTRY --why TEXT`: take back a wrong entry."""

from __future__ import annotations

from typing import Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, BookFolder, By
from rodhand.words import say


def strike(
    entry: Annotated[str, typer.Argument(help=say("keep.entry"))],
    why: Annotated[str, typer.Option("--why", help=say("keep.why"))],
    by: By = "",
    book: BookFolder = DEFAULT_BOOK,
) -> None:
    """Strike a wrong entry; it stays in the journal and no longer counts.

    Striking the strike brings the entry back.
    """
    from rodhand.book.entry.keeping import strike as use_case

    struck = use_case(book, entry, why, by)
    print(say("keep.struck", id=struck.id, entry=struck.payload["entry"]))
