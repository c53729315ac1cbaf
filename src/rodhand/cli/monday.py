"""`rodhand monday`: one list per rig from several books' files."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from rodhand.cli.book_options import AsOf
from rodhand.cli.book_pages import Json, Units
from rodhand.words import say

if TYPE_CHECKING:
    from rodhand.book.monday.views import MondayFile, MondayView, RigSheet
    from rodhand.units import System


def monday(
    places: Annotated[list[Path], typer.Argument(help=say("monday.help_places"))],
    out: Annotated[Path | None, typer.Option("--out", help=say("monday.help_out"))] = None,
    units: Units = "metric",
    as_of: AsOf = "",
    json_: Json = False,
) -> None:
    """One list per rig for the week, from several books that stay apart."""
    import json

    from rodhand.book.entry.carrying import as_of_day
    from rodhand.book.monday.monday import monday_view
    from rodhand.book.twin import twin
    from rodhand.faults import BadInputError, CannotReadError, Fault
    from rodhand.sheets.monday_paper import write_monday

    if out is not None and out.is_file() and out.suffix.lower() != ".pdf":
        raise BadInputError([Fault("monday_form", str(out), column="--out")], "monday")
    view = monday_view(places, as_of_day(as_of))
    if json_:
        print(json.dumps(twin(view), indent=1, ensure_ascii=False))
    else:
        print("\n".join(monday_lines(view, units)))
    if out is not None:
        for file in write_monday(view, units, out):
            typer.echo(say("monday.written", file=file), err=json_)
    unread = [each for each in view.files if each.state == "unread"]
    if len(unread) == len(view.files):
        raise CannotReadError(unread[0].path, "; ".join(_reason(each) for each in unread))


def _reason(file: MondayFile) -> str:
    from rodhand.book.telling import tell

    return " ".join(tell(note, "metric") for note in file.notes)


def monday_lines(view: MondayView, system: System) -> list[str]:
    """The lists as lines for a terminal."""
    from rodhand.book.telling import tell

    lines = [f"{say('monday.title')} {view.as_of}", "", say("monday.files")]
    for each in view.files:
        key = "monday.file_line_days" if each.last_typed else "monday.file_line"
        line = say(
            key, name=each.name, form=say(f"monday.form_{each.form}"), typed=each.last_typed,
            state=say(f"monday.state_{each.state}"), age=each.figures["entry_age"].shown(system),
        )  # fmt: skip
        made = f"; {say('monday.file_copy', made=each.made)}" if each.made else ""
        lines += [f"   {line}{made}", *(f"      {tell(note, system)}" for note in each.notes)]
    for sheet in view.sheets:
        lines += ["", *_sheet(sheet, system)]
    lines += ["", say("monday.twice_title")]
    lines += [f"   {tell(each, system)}" for each in view.twice] or [f"   {say('monday.no_twice')}"]
    lines += ["", say("monday.stock")]
    for row in view.stock:
        told = ", ".join(
            f"{say(f'monday.column_{name}')} {row.figures[name].shown(system)}"
            for name in ("rods", "usable", "aside", "replace", "price", "cost")
        )
        lines.append(f"   {row.rod_type} ({', '.join(row.rigs)}): {told}")
    return [*lines, "", say("caution.governs")]


def _sheet(sheet: RigSheet, system: System) -> list[str]:
    from rodhand.book.telling import names_in_words, tell
    from rodhand.sheets.claim_tables import worded

    lines = [
        sheet.rig or say("monday.no_rig"),
        f"   {say('monday.from_file', file=sheet.file, day=sheet.as_of)}",
        *(f"   {tell(note, system)}" for note in sheet.notes),
        "   "
        + say("monday.sum", tasks=sheet.figures["tasks"].shown(system),
              minutes=sheet.figures["minutes"].shown(system)),
    ]  # fmt: skip
    for row in sheet.pull:
        told = say("monday.pull_line", standing=worded("standing", row.standing),
                   things=names_in_words(row.things))  # fmt: skip
        lines.append(f"   {say('monday.pull')}: {told}")
    for number, line in enumerate((*sheet.lines, *sheet.rest, *sheet.due), 1):
        who = say("monday.who", who=line.who, things=names_in_words(line.things),
                  where=line.where, minutes=line.how_long.shown(system))  # fmt: skip
        what, why = tell(line.verdict.what, system), tell(line.verdict.why, system)
        lines += [f"   {number}. {who}", f"      {tell(line.verdict.do, system)}",
                  f"      {say('monday.work', what=what, why=why)}"]  # fmt: skip
    return lines if sheet.figures["tasks"].value else [*lines, f"   {say('monday.nothing')}"]
