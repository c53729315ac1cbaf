"""`rodhand check LOG`: path, bends, over-steers, turns and life used, with no book."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from rodhand.cli.exit_codes import ExitCode
from rodhand.units import System, show
from rodhand.words import say

if TYPE_CHECKING:
    from rodhand.book.bore.check import CheckedLog

RODS_SHOWN = 12


def check(
    log: Annotated[Path, typer.Argument(help=say("check.help_log"))],
    rod_type: Annotated[str, typer.Option("--rod-type", help=say("check.help_rod_type"))] = "",
    head: Annotated[str, typer.Option("--head", help=say("check.help_head"))] = "",
    bit_to_sensor_m: Annotated[
        float | None, typer.Option("--bit-to-sensor-m", help=say("check.help_bit_to_sensor"))
    ] = None,
    columns: Annotated[str, typer.Option("--columns", help=say("check.help_columns"))] = "",
    sheet: Annotated[str, typer.Option("--sheet", help=say("check.help_sheet"))] = "",
    plot: Annotated[Path | None, typer.Option("--plot", help=say("check.help_plot"))] = None,
    units: Annotated[
        Literal["metric", "us"], typer.Option("--units", help=say("check.help_units"))
    ] = "metric",
    json_: Annotated[bool, typer.Option("--json", help=say("check.help_json"))] = False,
) -> None:
    """Check a log or survey: path, bends, over-steers, turns and life used per rod.

    Ends with 1 when a maker's or head limit is over or likely over.
    """
    from rodhand.sheets.checking import check_file, write_picture

    checked = check_file(log, rod_type, head, bit_to_sensor_m, columns, sheet)
    if plot is not None:
        write_picture(checked, plot, units)
    if json_:
        import json

        from rodhand.book.bore.check_json import check_json
        from rodhand.book.telling import tell

        warnings = [tell(each, units) for each in checked.warnings]
        print(json.dumps(check_json(checked, warnings), indent=1, ensure_ascii=False))
    else:
        print("\n".join(as_lines(checked, units)))
        if plot is not None:
            print(say("check.plot", path=plot))
    if checked.is_over:
        raise typer.Exit(int(ExitCode.OVER_LIMIT))


def as_lines(checked: CheckedLog, system: System) -> list[str]:
    """The check as lines for a person."""
    from rodhand.book.bore.check_view import over_rows_of
    from rodhand.book.telling import tell

    lines = _path_lines(checked, system)
    rows = over_rows_of(checked)
    lines += [tell(row.sentence, system) for row in rows] if checked.held else []
    if checked.held is not None and not rows:
        lines.append(say("check.none_over"))
    lines += _window_lines(checked, system)
    lines += _rod_lines(checked, system)
    lines += ["", *(tell(each, system) for each in checked.warnings)]
    if checked.rods:
        lines.append(say("check.class"))
    return [*lines, "", say("caution.rods"), say("caution.governs")]


def _path_lines(checked: CheckedLog, system: System) -> list[str]:
    from rodhand.book.bore.bore_figures import price_radius

    path = checked.summary
    title = say(
        "check.title",
        source=checked.source,
        count=path.stations,
        length=show(path.length, "distance", system),
    )
    # a survey may stand nearly upright, where percent says nothing
    kind = "slope" if checked.rods else "angle"
    ends = say(
        "check.deepest",
        depth=show(path.deepest, "length", system),
        out=show(path.out, "length", system),
        pitch=show(path.pitch, kind, system),
    )
    lines = [title, ends if path.deepest is not None else say("check.no_path")]
    if checked.work is not None:
        rod = checked.work.rod_type
        limit = math.atan(rod.limit_angle(rod.length))
        lines.append(
            say(
                "check.limit",
                radius=show(rod.limit_radius, "radius", system),
                percent=show(limit, "slope", system),
                price=show(price_radius(rod), "radius", system),
            )
        )
    return [*lines, ""]


def _window_lines(checked: CheckedLog, system: System) -> list[str]:
    held = checked.held
    lines = []
    if held is not None and held.three is not None:
        lines.append(
            say(
                "check.three",
                share=show(held.three.share, "share", system),
                radius=show(held.three.radius, "radius", system),
                start=show(held.three.start, "distance", system),
                end=show(held.three.end, "distance", system),
            )
        )
    if held is not None and held.inside:
        sharpest = min(held.inside, key=lambda bend: bend.radius)
        lines.append(
            say(
                "check.inside",
                count=len(held.inside),
                radius=show(sharpest.radius, "radius", system),
                station=sharpest.station,
            )
        )
    return lines


def _rod_lines(checked: CheckedLog, system: System) -> list[str]:
    if not checked.rods:
        return []
    label = say("check.label_pilot" if checked.label else "check.label_all")
    lines = [""]
    for each in checked.work.passes if checked.work else ():
        lines.append(
            say(
                "check.turns",
                what=each.name,
                turns=show(each.turns.best, "turns", system),
                rung=each.turns.rung,
            )
        )
    lines.append(say("check.rods_head", label=label))
    ranked = sorted(checked.rods, key=lambda rod: -rod.life.worst.design)
    for rod in ranked[:RODS_SHOWN]:
        worst = rod.life.worst
        life = say(
            "check.life",
            best=show(worst.best, "life", system),
            low=show(worst.low, "life", system),
            high=show(worst.high, "life", system),
            design=show(worst.design, "life", system),
            section=worst.section,
        )
        lines.append(
            say(
                "check.rods_row",
                rod=rod.name,
                place=rod.place,
                turns=show(rod.turns, "count", system),
                t50=show(rod.tighter[1], "count", system),
                t100=show(rod.tighter[2], "count", system),
                life=life,
            )
        )
    if len(ranked) > RODS_SHOWN:
        lines.append(say("check.more_rods", count=len(ranked) - RODS_SHOWN))
    return lines
