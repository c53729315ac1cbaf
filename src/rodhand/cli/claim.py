"""`rodhand claim` and `rodhand schedule`: the file of a break or loss, and the insurer's list."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import Annotated, cast

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, AsOf, BookFolder
from rodhand.units import System
from rodhand.words import say

Units = Annotated[str, typer.Option("--units", help=say("claim.help_units"))]


def claim(
    name: Annotated[str, typer.Argument(help=say("claim.help_name"))],
    out: Annotated[Path | None, typer.Option("--out", help=say("claim.help_out"))] = None,
    photos: Annotated[Path | None, typer.Option("--photos", help=say("claim.help_photos"))] = None,
    units: Units = "",
    as_of: AsOf = "",
    book: BookFolder = DEFAULT_BOOK,
) -> None:
    """Write everything on record about a break or loss, with the proof that it is unaltered."""
    from rodhand.book.claim.claim import claim_of
    from rodhand.book.claim.subject import NoSuchSubjectError
    from rodhand.book.entry.carrying import as_of_day
    from rodhand.faults import BadInputError, Fault
    from rodhand.sheets.claim_file import claim_file, write_claim

    _check_units(units)
    day = as_of_day(as_of)
    try:
        found = claim_of(book, name, day, photos)
    except NoSuchSubjectError:
        raise BadInputError([Fault("claim_subject", name)], "claim") from None
    system = cast("System", units or found.units or "metric")
    made = claim_file(found, book.resolve().name, system, day)
    target = out if out is not None else Path(f"{file_part(found.view.subject)}-claim")
    write_claim(made, target)
    print(say("claim.read_first"), file=sys.stderr)
    print(say("claim.written", file=target))
    print(say("claim.manifest_hash", hash=made.manifest_hash))
    print(say("claim.manifest_why"))


def file_part(name: str) -> str:
    """A name as part of a file's name; signs that some systems refuse become underscores."""
    return re.sub(r"[^\w.-]+", "_", name).strip("._") or "subject"


def _check_units(units: str) -> None:
    from rodhand.faults import BadInputError, Fault

    if units not in ("", "metric", "us"):
        raise BadInputError([Fault("claim_units", units, column="--units")], "units")


def schedule(
    out: Annotated[Path | None, typer.Option("--out", help=say("schedule.help_out"))] = None,
    units: Units = "",
    as_of: AsOf = "",
    book: BookFolder = DEFAULT_BOOK,
) -> None:
    """Every thing by serial and value, with where it is now, for the insurer."""
    from rodhand.book.entry.carrying import as_of_day
    from rodhand.book.opening import open_assessment
    from rodhand.book.owner.schedule import schedule_view
    from rodhand.faults import BadInputError, Fault
    from rodhand.sheets.paper import BookFacts
    from rodhand.sheets.schedule_paper import schedule_csv, write_schedule

    _check_units(units)
    if out is not None and out.suffix.lower() not in (".csv", ".pdf"):
        raise BadInputError([Fault("schedule_form", str(out), column="--out")], "schedule")
    assessment = open_assessment(book, as_of_day(as_of))
    view = schedule_view(assessment)
    if out is None:
        sys.stdout.write(schedule_csv(view))
        return
    read = assessment.book
    facts = BookFacts.of(book, read)
    write_schedule(view, facts, cast("System", units or "metric"), out)
    print(say("schedule.written", file=out))
