"""`rodhand backup TARGET`: a copy of the book that can be proved whole."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, BookFolder
from rodhand.words import say


def backup(
    target: Annotated[Path, typer.Argument(help=say("keep.target"))],
    book: BookFolder = DEFAULT_BOOK,
) -> None:
    """Copy the book, even while it is in use, with a list of what the copy holds."""
    from rodhand.book.keeping import back_up

    made = back_up(book, target)
    print(say("keep.backed_up", count=made.entry_count, digest=made.digest, target=target))
