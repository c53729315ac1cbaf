"""`rodhand rod` and `due`: what the pages of a book show, as lines or JSON."""

from __future__ import annotations

from typing import Annotated, Literal

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, AsOf, BookFolder
from rodhand.words import say

Units = Annotated[Literal["metric", "us"], typer.Option("--units", help=say("check.help_units"))]
Json = Annotated[bool, typer.Option("--json", help=say("check.help_json"))]


def rod(
    name: Annotated[str, typer.Argument(help=say("rod_print.help_name"))],
    book: BookFolder = DEFAULT_BOOK,
    as_of: AsOf = "",
    units: Units = "metric",
    json_: Json = False,
) -> None:
    """One thing's whole history: where it stands and why, what each bore and bend did to it."""
    import json

    from rodhand.book.bore.narrow import narrow_of_thing
    from rodhand.book.entry.carrying import as_of_day
    from rodhand.book.opening import open_assessment
    from rodhand.book.twin import twin
    from rodhand.book.yard.thing_page import NoSuchThingError, thing_view
    from rodhand.cli.rod_lines import rod_lines
    from rodhand.faults import BadInputError, Fault

    assessment = open_assessment(book, as_of_day(as_of))
    try:
        view = thing_view(assessment, name)
    except NoSuchThingError as error:
        raise BadInputError([Fault("thing_not_known", name)], str(book)) from error
    narrow = narrow_of_thing(assessment, view.key)
    if json_:
        whole = twin(view) | {"narrow": twin(narrow) if narrow else None}
        print(json.dumps(whole, indent=1, ensure_ascii=False))
    else:
        print("\n".join(rod_lines(view, units, narrow)))


def due(
    book: BookFolder = DEFAULT_BOOK, as_of: AsOf = "", units: Units = "metric", json_: Json = False
) -> None:
    """Everything to act on, loudest first: looks, dressing, rods to pull, gauges, order."""
    import json

    from rodhand.book.entry.carrying import as_of_day
    from rodhand.book.first_page import first_page
    from rodhand.book.opening import open_assessment
    from rodhand.book.tasks.week import this_week
    from rodhand.book.twin import twin
    from rodhand.cli.week_lines import week_lines

    assessment = open_assessment(book, as_of_day(as_of))
    view = first_page(this_week(assessment), book, assessment)
    if json_:
        print(json.dumps(twin(view), indent=1, ensure_ascii=False))
    else:
        print("\n".join(week_lines(view, units)))
