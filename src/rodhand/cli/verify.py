"""`rodhand verify`: prove that no entry was changed since it was made, or no part of a file."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK
from rodhand.cli.exit_codes import ExitCode
from rodhand.words import say


def verify(
    file: Annotated[Path | None, typer.Argument(help=say("claim_verify.help"))] = None,
    book: Annotated[
        Path | None,
        typer.Option(
            "--book", envvar="RODHAND_BOOK", help=say("claim_verify.book"), file_okay=False
        ),
    ] = None,
) -> None:
    """Recompute every hash and follow every chain; ends with 3 if one does not hold.

    With the folder or zip of a claim file: its parts against its manifest, and against the book
    where one is given.
    """
    if file is None:
        _verify_book(book or DEFAULT_BOOK)
    else:
        _verify_claim(file, book)


def _verify_book(book: Path) -> None:
    from rodhand.book.entry.carrying import verify as use_case

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


def _verify_claim(file: Path, book: Path | None) -> None:
    from rodhand.sheets.claim_verify import verify_claim

    found = verify_claim(file, book)
    print(say("claim_verify.manifest", hash=found.manifest_hash))
    if found.broken:
        first = found.broken[0]
        told = say(f"claim_verify.what.{first.code}", name=first.name)
        count = len(found.broken)
        print(say("claim_verify.broken", count=count, first=told), file=sys.stderr)
        raise typer.Exit(ExitCode.CANNOT_READ)
    print(
        say("claim_verify.holds", subject=found.subject, files=found.files, entries=found.entries)
    )
    if found.since is None:
        print(say("claim_verify.not_against_book"))
    else:
        print(say("claim_verify.book_holds", since=found.since))
