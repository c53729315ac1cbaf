"""`rodhand restore BACKUP`: bring the book back."""

from __future__ import annotations

import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, BookFolder
from rodhand.words import say

if TYPE_CHECKING:
    from rodhand.book.entry.copies_page import KindRow


def restore(
    backup: Annotated[Path, typer.Argument(help=say("keep.from"))],
    book: BookFolder = DEFAULT_BOOK,
) -> None:
    """Bring a book back from a backup: whole into a folder without one, else what it lacks.

    A book with entries that the backup lacks is left alone, and the difference is told. A damaged
    file is put aside, and what can still be read of it is added to what the backup holds.
    """
    from rodhand.book.entry.carrying import restore as use_case
    from rodhand.book.entry.copies_page import compare_view
    from rodhand.faults import BadInputError

    try:
        done = use_case(backup, book)
    except BadInputError as error:
        if error.faults[0].code == "restore_over_newer":
            found = compare_view(book, backup)
            _tell(say("copies.only_here", count=sum(each.count for each in found.here)), found.here)
            _tell(
                say("copies.only_there", count=sum(each.count for each in found.there)),
                found.there,
            )
        raise
    print(say("keep.restored", count=done.added, folder=book))
    if done.aside is not None:
        print(say("copies.restored_aside", file=done.aside, saved=done.saved))


def _tell(heading: str, rows: tuple[KindRow, ...]) -> None:
    print(heading, file=sys.stderr)
    for each in rows:
        print(say("copies.difference_kind", **asdict(each)), file=sys.stderr)
    if not rows:
        print(say("copies.difference_none"), file=sys.stderr)
