"""`rodhand backup [TARGET]`: a copy of the book that can be proved whole."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, BookFolder
from rodhand.words import say


def backup(
    target: Annotated[Path | None, typer.Argument(help=say("keep.target"))] = None,
    book: BookFolder = DEFAULT_BOOK,
) -> None:
    """Copy the book, even while it is in use, with a list of what the copy holds.

    Where it went is remembered: without a target the next copy goes there too, under a name of
    its own.
    """
    from rodhand.book.entry.copies import copy_now, copy_to

    if target is None:
        made = copy_now(book)
        where, count, digest = made.path, made.entry_count, made.digest
    else:
        manifest = copy_to(book, target)
        where, count, digest = str(target), manifest.entry_count, manifest.digest
    print(say("keep.backed_up", count=count, digest=digest, target=where))
