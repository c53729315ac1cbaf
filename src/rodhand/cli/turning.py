"""`rodhand turning`: what turning the rods over would give on a rig, by many seasons."""

from __future__ import annotations

from typing import Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, AsOf, BookFolder
from rodhand.cli.book_pages import Json, Units
from rodhand.units import Figure, System, show
from rodhand.words import say


def turning(
    rig: Annotated[str, typer.Argument(help=say("turning.help_rig"))],
    book: BookFolder = DEFAULT_BOOK,
    as_of: AsOf = "",
    seasons: Annotated[int, typer.Option("--seasons", help=say("turning.help_seasons"))] = 1000,
    processes: Annotated[int, typer.Option("--processes", min=1, max=64,
                                           help=say("turning.help_processes"))] = 2,
    units: Units = "metric",
    json_: Json = False,
) -> None:  # fmt: skip
    """What turning the rods over would give: five ways of ordering over many seasons."""
    import json

    from rodhand.book.entry.carrying import as_of_day
    from rodhand.book.opening import open_assessment
    from rodhand.book.order.turning import turning_view
    from rodhand.book.telling import tell
    from rodhand.book.twin import twin
    from rodhand.book.work.box_of import NoSuchRigError
    from rodhand.faults import BadInputError, Fault

    assessment = open_assessment(book, as_of_day(as_of))

    def told(done: int, whole: int) -> None:
        typer.echo(say("turning.progress", done=done, whole=whole), err=True)

    try:
        view = turning_view(assessment, rig, seasons, processes, told)
    except NoSuchRigError as error:
        raise BadInputError([Fault("order_no_rig", rig)], str(book)) from error
    if json_:
        print(json.dumps(twin(view), indent=1, ensure_ascii=False))
        return
    lines = [say("turning.title", rig=view.rig)]
    if view.state != "known":
        print("\n".join([*lines, say("order.no_type")]))
        return
    lines.append(say("turning.own", bores=view.own) if view.own else say("turning.mix"))
    for row in view.rows:
        shown = "; ".join(
            f"{say(f'turning.column.{name}')} {_band(figure, units)}"
            for name, figure in row.figures.items()
        )
        lines.append(f"   {say(f'turning.how.{row.how}')}: {shown}")
    lines += [tell(view.due.told, units), tell(view.due.stagger, units)] if view.due else []
    print("\n".join([*lines, say("turning.note"), say("turning.digest", digest=view.digest)]))


def _band(figure: Figure, units: System) -> str:
    middle, low, high = (
        show(value, figure.quantity, units) for value in (figure.value, figure.low, figure.high)
    )
    return f"{middle} ({low} - {high})"
