"""`rodhand verify`: prove that no entry was changed since it was made."""

from __future__ import annotations

import sys

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, BookFolder
from rodhand.cli.exit_codes import ExitCode
from rodhand.words import say


def verify(book: BookFolder = DEFAULT_BOOK) -> None:
    """Recompute every hash and follow every chain; ends with 3 if one does not hold."""
    from rodhand.book.keeping import verify as use_case

    found = use_case(book)
    print(say("keep.counted", count=found.count, digest=found.digest))
    for device, (counter, head) in found.heads.items():
        print(say("keep.head", device=device, counter=counter, hash=head))
    if not found.broken:
        print(say("keep.holds"))
        return
    first = found.broken[0]
    place = say(
        "keep.broken_place",
        device=first.device,
        counter=first.counter,
        entry=first.entry,
        what=say(f"keep.broken_what.{first.code}"),
    )
    print(say("keep.broken", count=len(found.broken), first=place), file=sys.stderr)
    raise typer.Exit(ExitCode.CANNOT_READ)
