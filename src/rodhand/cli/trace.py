"""`rodhand trace`: what a bad end met since last seen sound, and what may have spoiled it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, AsOf, BookFolder
from rodhand.words import say

if TYPE_CHECKING:
    from rodhand.book.yard.trace import TraceView

End = Annotated[Literal["pin", "box"], typer.Option("--end", help=say("trace_print.help_end"))]


def trace(
    name: Annotated[str, typer.Argument(help=say("trace_print.help_name"))],
    end: End,
    book: BookFolder = DEFAULT_BOOK,
    as_of: AsOf = "",
    json_: Annotated[bool, typer.Option("--json", help=say("check.help_json"))] = False,
) -> None:
    """What a bad end met since it was last seen sound, and what may have spoiled it."""
    import json

    from rodhand.book.entry.carrying import as_of_day
    from rodhand.book.opening import open_assessment
    from rodhand.book.twin import twin
    from rodhand.book.yard.thing_page import NoSuchThingError
    from rodhand.book.yard.trace import trace_view
    from rodhand.faults import BadInputError, Fault

    try:
        view = trace_view(open_assessment(book, as_of_day(as_of)), name, end)
    except NoSuchThingError as error:
        raise BadInputError([Fault("thing_not_known", name)], str(book)) from error
    if json_:
        print(json.dumps(twin(view), indent=1, ensure_ascii=False))
    else:
        print("\n".join(_lines(view)))


def _lines(view: TraceView) -> list[str]:
    from rodhand.book.telling import in_name_order, names_in_words, tell

    lines = [say("trace.title", name=view.name, end=view.end), tell(view.lead, "metric")]
    if view.invented:
        lines.append(say("week_print.invented"))
    if view.suspects:
        lines.append(say("trace_print.suspects"))
    for each in view.suspects:
        lines.append(
            say(
                "trace_print.suspect",
                which=f"{each.name} {each.end}",
                spoiled=each.figures["spoiled"].shown("metric"),
                met=each.figures["met"].shown("metric"),
                known=each.known,
                found=_found(each.found),
            )
        )
    if view.first:
        lines += [say("trace_print.first"), tell(view.caution, "metric")]
    for stop in view.walk:
        things = names_in_words(stop.things)
        lines.append(say("trace_print.walk", where=stop.where, things=things))
    for row in view.first:
        lines.append(
            say(
                "trace_print.row",
                which=f"{row.name} {row.end}",
                by=row.by,
                bore=row.bore,
                known=row.known,
                where=row.where,
                standing=row.standing,
                found=_found(row.found),
            )
        )
    if view.further:
        lines.append(say("trace_print.further", count=len(view.further)))
    for hand in sorted({row.hand for row in view.further}):
        for end in ("pin", "box"):
            met = [row.name for row in view.further if (row.hand, row.end) == (hand, end)]
            if met:
                things = f"{end}: {names_in_words(in_name_order(met))}"
                lines.append(say("trace_print.further_row", hand=hand, things=things))
    for end, names in view.cleared.items():
        lines.append(say("trace_print.cleared", end=end, things=names_in_words(names)))
    lines += [tell(each, "metric") for each in view.limits]
    return [*lines, say("caution.governs")]


def _found(found: str) -> str:
    return f"; {found}" if found else ""
