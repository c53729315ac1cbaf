"""`rodhand order`: which rods in which order for the next bore, of every rig or one in full."""

from __future__ import annotations

from typing import Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, AsOf, BookFolder
from rodhand.cli.book_pages import Json, Units
from rodhand.words import say


def order(
    book: BookFolder = DEFAULT_BOOK,
    as_of: AsOf = "",
    rig: Annotated[str, typer.Option("--rig", help=say("order_print.help_rig"))] = "",
    rods: Annotated[str, typer.Option("--rods", help=say("order_print.help_rods"))] = "",
    break_cost: Annotated[
        str, typer.Option("--break-cost", help=say("order_print.help_break_cost"))
    ] = "",
    move_cost: Annotated[
        str, typer.Option("--move-cost", help=say("order_print.help_move_cost"))
    ] = "",
    booked: Annotated[bool, typer.Option("--booked", help=say("order_print.help_booked"))] = False,
    out: Annotated[str, typer.Option("--out", help=say("order_print.help_out"))] = "",
    units: Units = "metric",
    json_: Json = False,
) -> None:
    """Which rods go in which order next: what to lift and lay, and why; one rig in full."""
    import json
    from pathlib import Path

    from rodhand.book.entry.carrying import as_of_day
    from rodhand.book.opening import open_assessment
    from rodhand.book.order.booked_order import booked_view
    from rodhand.book.order.rod_order import rod_order_view
    from rodhand.book.twin import twin
    from rodhand.book.work.box_of import NoSuchRigError
    from rodhand.cli.order_lines import booked_lines, order_in_short, order_lines
    from rodhand.faults import BadInputError, Fault
    from rodhand.sheets.loading_paper import booked_paper, loading_paper
    from rodhand.sheets.paper import BookFacts, write_paper

    assessment = open_assessment(book, as_of_day(as_of))
    rigs = [rig] if rig else list(assessment.book.rigs)
    try:
        views = [rod_order_view(assessment, each, rods, break_cost, move_cost) for each in rigs]
    except NoSuchRigError as error:
        raise BadInputError([Fault("order_no_rig", rig)], str(book)) from error
    if booked:
        together = [booked_view(assessment, each) for each in rigs]
        if out:
            facts = BookFacts.of(book, assessment.book)
            for view in together:
                write_paper(booked_paper(view, facts, units), Path(out))
        if json_:
            all_told = [twin(view) for view in together]
            print(json.dumps(all_told[0] if rig else all_told, indent=1, ensure_ascii=False))
            return
        lines = [line for view in together for line in booked_lines(view, units)]
        print("\n".join([*lines, say("caution.lifting")]))
        return
    if out:
        facts = BookFacts.of(book, assessment.book)
        for each in views:
            write_paper(loading_paper(each, facts, units), Path(out))
    if json_:
        told = [twin(view) for view in views]
        print(json.dumps(told[0] if rig else told, indent=1, ensure_ascii=False))
        return
    lines = [line for view in views
             for line in (order_lines if rig else order_in_short)(view, units)]  # fmt: skip
    print("\n".join([*lines, say("caution.lifting")]))
