"""`rodhand order`: rows of the box for the next bore, and with a rig its loading list."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, AsOf, BookFolder
from rodhand.cli.book_pages import Json, Units
from rodhand.units import show
from rodhand.words import say

if TYPE_CHECKING:
    from rodhand.book.order.rows_order import RowsOrder


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
    out: Annotated[str, typer.Option("--out", help=say("order_print.help_out"))] = "",
    units: Units = "metric",
    json_: Json = False,
) -> None:
    """Which rods lead next: rows of each box; with a rig what to lift and lay, and why."""
    import json
    from dataclasses import asdict

    from rodhand.book.entry.carrying import as_of_day
    from rodhand.book.opening import open_assessment
    from rodhand.book.order.rod_order import rod_order_view
    from rodhand.book.order.rows_order import rows_orders
    from rodhand.book.twin import twin
    from rodhand.book.work.box_of import NoSuchRigError
    from rodhand.cli.order_lines import order_lines
    from rodhand.faults import BadInputError, Fault

    assessment = open_assessment(book, as_of_day(as_of))
    orders = rows_orders(assessment, rig)
    view = None
    if rig:
        try:
            view = rod_order_view(assessment, rig, rods, break_cost, move_cost)
        except NoSuchRigError as error:
            raise BadInputError([Fault("order_no_rig", rig)], str(book)) from error
    if out and view is not None:
        from pathlib import Path

        from rodhand.sheets.loading_paper import loading_paper
        from rodhand.sheets.paper import BookFacts, write_paper

        read = assessment.book
        facts = BookFacts(book.resolve().name, read.entry_count, read.head, read.as_of)
        write_paper(loading_paper(view, facts, units), Path(out))
    if json_:
        told = [asdict(each) for each in orders]
        whole = told if view is None else {"rows": told, "loading": twin(view)}
        print(json.dumps(whole, indent=1, ensure_ascii=False))
        return
    lines = [say("order_print.title"), *(line for each in orders for line in _rows(each))]
    lines.append(say("order_print.general"))
    if view is not None:
        lines += ["", *order_lines(view, units)]
    print("\n".join([*lines, say("caution.lifting")]))


def _rows(each: RowsOrder) -> list[str]:
    """Rows of one rig in order of use, who led, and what turning gives on its own bores."""
    if not each.rows:
        return [say("order_print.no_box", rig=each.rig)]
    lines = [say("order_print.rig", rig=each.rig, rows=", ".join(map(str, each.rows)))]
    if each.led:
        lines.append(say("order_print.led", led=each.led, bores=each.bores, things=each.leaders))
    else:
        lines.append(say("order_print.not_led"))
    if each.leave_out:
        lines.append(say("order_print.leave_out", things=each.leave_out))
    if each.gain is None:
        return [*lines, say("order_print.few")]
    told = {"gain": show(each.gain, "factor", "metric"),
            "same": show(each.worst_same, "life", "metric"),
            "turned": show(each.worst_turned, "life", "metric")}  # fmt: skip
    return [*lines, say("order_print.gain", bores=each.replayed, **told)]
