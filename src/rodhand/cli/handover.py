"""`rodhand handover SET`: a set's work as its new owner's book takes it in."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, AsOf, BookFolder
from rodhand.words import say


def handover(
    rod_set: Annotated[str, typer.Argument(metavar="SET", help=say("handover.help_set"))],
    out: Annotated[Path | None, typer.Option("--out", help=say("handover.help_out"))] = None,
    as_of: AsOf = "",
    book: BookFolder = DEFAULT_BOOK,
) -> None:
    """Write what a set's rods have done and used, for the book of their new owner."""
    from rodhand.book.entry.carrying import as_of_day
    from rodhand.book.owner.handover import file_name, handover_of, write_handover

    view = handover_of(book, rod_set, as_of_day(as_of))
    target = out if out is not None else Path(file_name(view.set))
    write_handover(view, target)
    print(say("handover.written", count=len(view.rods), set=view.set, file=target))
    if view.left_out:
        print(say("handover.left_out", names=", ".join(view.left_out)))
    print(say("handover.hash", hash=view.document["sha256"]))
    print(say("handover.what_in_it"))
