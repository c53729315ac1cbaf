"""`rodhand demo`: the invented season in a book of its own, this week, and the pages."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

import typer

from rodhand.cli.book_options import BookFolder
from rodhand.cli.serve import serve_book
from rodhand.words import say

DEMO_BOOK = Path("demo-book")


def demo(
    book: BookFolder = DEMO_BOOK,
    no_serve: Annotated[bool, typer.Option("--no-serve", help=say("demo.help_no_serve"))] = False,
    seed: Annotated[int, typer.Option("--seed", help=say("demo.help_seed"))] = 7,
    units: Annotated[
        Literal["metric", "us"], typer.Option("--units", help=say("check.help_units"))
    ] = "us",
) -> None:
    """Build the invented season, print this week, and open its pages."""
    from rodhand.book.entry.demo_book import build_demo_book
    from rodhand.book.first_page import first_page
    from rodhand.book.opening import open_assessment
    from rodhand.book.tasks.week import this_week
    from rodhand.cli.week_lines import week_lines

    print(say("demo.building", folder=book), flush=True)
    build_demo_book(book, seed)
    assessment = open_assessment(book, told=_told)
    facts = assessment.book
    rods = sum(1 for thing in facts.things.values() if thing.what == "rod")
    print(say("demo.built", entries=facts.entry_count, bores=len(facts.bores), rods=rods))
    print()
    view = first_page(this_week(assessment), book, assessment)
    print("\n".join(week_lines(view, units)), flush=True)
    if not no_serve:
        print()
        serve_book(book)


def _told(number: int, count: int) -> None:
    """A line at every fifth of the bores."""
    if number and number % max(count // 5, 1) == 0:
        print(say("demo.working", number=number, count=count), flush=True)
