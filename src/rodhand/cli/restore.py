"""`rodhand restore BACKUP`: bring the book back."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, BookFolder
from rodhand.words import say


def restore(
    backup: Annotated[Path, typer.Argument(help=say("keep.from"))],
    book: BookFolder = DEFAULT_BOOK,
) -> None:
    """Bring a book back from a backup: whole into a folder without one, else what it lacks.

    A book with entries that the backup lacks is left alone, and the difference is told.
    """
    from rodhand.book.keeping import restore as use_case

    print(say("keep.restored", count=use_case(backup, book), folder=book))
