"""`rodhand report BORE`: the two papers of a bore as PDF."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, cast

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, AsOf, BookFolder
from rodhand.words import say

if TYPE_CHECKING:
    from rodhand.book.work.assess import Assessment
    from rodhand.sheets.paper import BookFacts, Paper
    from rodhand.units import System

PAPERS = ("bore-log", "rod-sheet")


def report(
    bore: Annotated[str, typer.Argument(help=say("report.bore"))],
    paper: Annotated[str, typer.Option("--paper", help=say("report.paper"))] = "both",
    out: Annotated[Path, typer.Option("--out", help=say("report.out"), file_okay=False)] = Path(),
    units: Annotated[str, typer.Option("--units", help=say("report.units"))] = "",
    as_of: AsOf = "",
    book: BookFolder = DEFAULT_BOOK,
) -> None:
    """Write the bore log for the client and the rod sheet for the crew, and say what is missing."""
    from rodhand.book.entry.carrying import as_of_day
    from rodhand.book.opening import open_assessment
    from rodhand.sheets.paper import BookFacts, write_paper

    _choices(paper, units)
    assessment = open_assessment(book, as_of_day(as_of))
    read = assessment.book
    facts = BookFacts.of(book, read, assessment.today)
    for each in _papers(assessment, bore, paper, units, facts):
        print(say("report.written", file=write_paper(each, out)))
        for what in each.missing:
            print(say("report.missing", what=what))


def _choices(paper: str, units: str) -> None:
    from rodhand.faults import BadInputError, Fault

    faults = []
    if paper not in (*PAPERS, "both"):
        faults.append(Fault("paper_choice", paper, column="--paper"))
    if units not in ("", "metric", "us"):
        faults.append(Fault("paper_units", units, column="--units"))
    if faults:
        raise BadInputError(faults, "report")


def _papers(
    assessment: Assessment, bore: str, paper: str, units: str, facts: BookFacts
) -> list[Paper]:
    """The papers asked for; the rod sheet's tables stand at the end of the last pass."""
    from rodhand.book.bore.bore_page import NoSuchBoreError, bore_view
    from rodhand.faults import BadInputError, Fault
    from rodhand.sheets.bore_log import bore_log
    from rodhand.sheets.rod_sheet import rod_sheet

    try:
        view = bore_view(assessment, bore)
        done = bore_view(assessment, bore, view.slider[-1][0]) if view.slider else view
    except NoSuchBoreError:
        raise BadInputError([Fault("paper_bore", bore)], "report") from None
    rig = assessment.book.rigs.get(view.rig)
    system = cast("System", units or (rig.units if rig else "") or "metric")
    papers = []
    if paper in ("bore-log", "both"):
        papers.append(bore_log(view, facts, system))
    if paper in ("rod-sheet", "both"):
        papers.append(rod_sheet(view, done, facts, system))
    return papers
