"""`rodhand why`: what a number rests on, input by input."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, AsOf, BookFolder
from rodhand.units import System
from rodhand.words import say

if TYPE_CHECKING:
    from rodhand.book.why.rod import WhyRod
    from rodhand.book.why.why import WhyInput, WhyView
    from rodhand.book.work.assess import Assessment

What = Annotated[
    Literal["life", "bend", "makeup", "room", "force", "chance"],
    typer.Argument(help=say("why_print.help_what")),
]


def why(
    what: What,
    name: Annotated[str, typer.Argument(help=say("why_print.help_name"))],
    station: Annotated[
        float | None, typer.Option("--station", help=say("why_print.help_station"))
    ] = None,
    pass_name: Annotated[str, typer.Option("--pass", help=say("why_print.help_pass"))] = "pilot",
    bore: Annotated[str, typer.Option("--bore", help=say("why_print.help_bore"))] = "",
    section: Annotated[str, typer.Option("--section", help=say("why_print.help_section"))] = "",
    out: Annotated[Path | None, typer.Option("--out", help=say("why_print.help_out"))] = None,
    book: BookFolder = DEFAULT_BOOK,
    as_of: AsOf = "",
    units: Annotated[
        Literal["metric", "us"], typer.Option("--units", help=say("check.help_units"))
    ] = "metric",
    json_: Annotated[bool, typer.Option("--json", help=say("check.help_json"))] = False,
) -> None:
    """What a number rests on: its inputs, their standing and where they come from."""
    import json

    from rodhand.book.entry.carrying import as_of_day
    from rodhand.book.opening import open_assessment
    from rodhand.book.twin import twin
    from rodhand.book.why.rod import WhyRod
    from rodhand.faults import BadInputError, Fault

    if what in ("bend", "force") and station is None:
        raise BadInputError([Fault("why_no_station", column="--station")], what)
    try:
        if what == "makeup":
            from rodhand.book.why.makeup import why_makeup

            view: WhyView | WhyRod = why_makeup(book, name, bore)
        elif what == "room":
            from rodhand.book.why.room import why_room

            view = why_room(book, name, bore)
        else:
            assessment = open_assessment(book, as_of_day(as_of))
            if out is not None and what == "life":
                _write(assessment, name, section, out)
            if what == "life":
                view = _life(assessment, name, bore, section)
            else:
                view = _view(assessment, what, name, station or 0.0, pass_name)
    except LookupError as error:
        raise BadInputError([Fault("why_nothing", str(error))], str(book)) from error
    if json_:
        print(json.dumps(twin(view), indent=1, ensure_ascii=False))
    elif isinstance(view, WhyRod):
        print("\n".join(_rod_lines(view, units)))
    else:
        print("\n".join(_lines(view, units)))


def _life(assessment: Assessment, name: str, bore: str, section: str) -> WhyRod:
    from rodhand.book.why.rod import why_rod

    view = why_rod(assessment, name, bore, section)
    if view is None:
        raise LookupError(name)
    return view


def _view(assessment: Assessment, what: str, name: str, station: float, pass_name: str) -> WhyView:
    if what == "chance":
        from rodhand.book.why.chance import why_chance

        return why_chance(assessment, name)
    if what == "bend":
        from rodhand.book.why.bend import why_bend

        return why_bend(assessment, name, station)
    from rodhand.book.why.force import why_force

    if station % 1:
        raise LookupError(f"{name} {station:g}")
    return why_force(assessment, name, int(station), pass_name)


def _write(assessment: Assessment, name: str, section: str, out: Path) -> None:
    """All lines of a life used as CSV, or as a workbook where the name ends in .xlsx."""
    from rodhand.book.why.table import why_table
    from rodhand.faults import CannotReadError
    from rodhand.sheets.why_table import table_csv, table_workbook

    table = why_table(assessment, name, section)
    if table is None:
        raise LookupError(name)
    as_book = out.suffix.casefold() == ".xlsx"
    data = table_workbook(table) if as_book else table_csv(table).encode("utf-8")
    try:
        out.write_bytes(data)
    except OSError as error:
        raise CannotReadError(str(out), error.strerror or str(error)) from error


def _lines(view: WhyView, system: System) -> list[str]:
    from rodhand.book.telling import tell

    lines = [tell(view.title, system)]
    if view.invented:
        lines.append(say("week_print.invented"))
    for part in view.parts:
        lines += ["", tell(part.title, system)]
        lines += [_line(each, system) for each in part.results]
        lines += [tell(each, system) for each in part.how]
        lines += [f"{say('why.inputs')}:", *(_line(each, system) for each in part.inputs)]
    return lines


def _rod_lines(view: WhyRod, system: System) -> list[str]:
    lines = [
        say("why.title", name=view.name),
        say("why.lead" if view.governs else "why.lead_other", section=view.section),
    ]
    if view.invented:
        lines.append(say("week_print.invented"))
    for code, figure in view.figures.items():
        lines.append(f"  {say(f'why.total.{code}')}: {figure.shown(system)}")
    lines += [f"{say('why.band')}:", *(_line(each, system) for each in view.band)]
    lines += [
        say("why.how_band"),
        say("why.how_total"),
        say("why.formula"),
        f"{say('why.inputs')}:",
    ]
    lines += [_line(each, system) for each in view.inputs]
    lines.append(f"{say('why.sources')}:")
    for row in view.sources:
        lines.append(f"  {row.name}  {row.happened}  {row.figures['damage'].shown(system)}")
    for each in view.passes:
        lines += ["", say("why_print.passed", bore=view.bore, name=each.name,
                          damage=each.figures["damage"].shown(system))]  # fmt: skip
        for line in each.lines:
            figures = line.figures
            lines.append(say("why_print.line", station=f"{line.station:g}", **{
                name: figures[name].shown(system) if name in figures else say("bend.straight")
                for name in ("turns", "harder", "bend_radius", "stress", "cycles", "damage")
            }))  # fmt: skip
    return lines


def _line(each: WhyInput, system: System) -> str:
    """One input: what, value with band, standing, whence, the entry's id."""
    from rodhand.book.telling import tell
    from rodhand.sheets.shown import printed

    value = tell(each.said, system) if each.said else ""
    if each.figure is not None:
        shown = printed(each.figure, system)
        value = " ".join(filter(None, (shown.number, shown.unit)))
        value += f" ({shown.band})" if shown.band else ""
    unknown = each.figure is not None and each.known_as == "unknown"  # the number says it itself
    rest = [] if unknown else [say(f"why.is_{each.known_as}")]
    rest += [tell(each.source, system)] if each.source else []
    rest += [f"{say('why.entry')} {each.entry}"] if each.entry else []
    return " · ".join([f"  {say(f'why.input_{each.code}')}: {value}", *rest])
