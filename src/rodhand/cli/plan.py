"""`rodhand plan`: a planned bore, its candidates, or why it is refused and what mends it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, BookFolder
from rodhand.cli.exit_codes import ExitCode
from rodhand.units import Figure, System, show
from rodhand.words import say

if TYPE_CHECKING:
    from rodhand.book.plan.plan_views import PlanView

COMPARED = (
    "rods", "length", "deepest", "cover", "clear", "tightest", "time", "thrust", "pull", "torque",
    "pull_product", "pull_rig", "torque_rig", "life",
)  # fmt: skip
RODS = ("pitch", "change", "across", "depth", "life")
LIFE = ("life_plan", "life_driven", "times", "there")
HEADS = {"life": "rod_life"}


def plan(
    name: Annotated[str, typer.Argument(help=say("plan.help_name"))],
    path: Annotated[
        Literal["shortest", "easiest", "deepest", "kept"] | None,
        typer.Option("--path", help=say("plan.help_path")),
    ] = None,
    pdf: Annotated[Path | None, typer.Option("--pdf", help=say("plan.help_pdf"))] = None,
    driven: Annotated[bool, typer.Option("--driven", help=say("plan.help_driven"))] = False,
    book: BookFolder = DEFAULT_BOOK,
    units: Annotated[
        Literal["metric", "us"], typer.Option("--units", help=say("check.help_units"))
    ] = "metric",
    json_: Annotated[bool, typer.Option("--json", help=say("check.help_json"))] = False,
) -> None:
    """A planned bore: three candidates and the pitch of each rod, or why it is refused.

    Ends with 1 when no path keeps what is asked.
    """
    import json

    from rodhand.book.plan.plan_page import plan_view
    from rodhand.book.plan.planned import NoSuchPlanError
    from rodhand.book.twin import twin
    from rodhand.faults import BadInputError, Fault

    try:
        view = plan_view(book, name, path or "", life=driven)
    except NoSuchPlanError as error:
        raise BadInputError([Fault("plan_not_known", name)], str(book)) from error
    if pdf is not None:
        _write(view, book, units, pdf)
    if json_:
        print(json.dumps(twin(view), indent=1, ensure_ascii=False))
    else:
        print("\n".join(_lines(view, units)))
    if not view.possible:
        raise typer.Exit(int(ExitCode.OVER_LIMIT))


def _write(view: PlanView, book: Path, units: System, pdf: Path) -> None:
    from rodhand.book.opening import book_in
    from rodhand.faults import CannotReadError
    from rodhand.sheets.paper import BookFacts, paper_pdf, replace_file
    from rodhand.sheets.plan_paper import plan_paper

    read = book_in(book)
    facts = BookFacts.of(book, read)
    try:
        replace_file(pdf, paper_pdf(plan_paper(view, facts, units)))
    except OSError as error:
        raise CannotReadError(str(pdf), error.strerror or str(error)) from error


def _lines(view: PlanView, units: System) -> list[str]:
    from rodhand.book.telling import tell
    from rodhand.sheets.shown import told as told_with

    lines = [tell(view.told, units), *(f"- {tell(each, units)}" for each in view.changes)]
    lines += [tell(each, units) for each in (*view.life, *view.driven)]
    lines += [told_with(each, lambda figure: _ranged(figure, units), str) for each in view.limits]
    for each in view.candidates:
        told = ", ".join(
            f"{say(f'plan.column.{name}')} {_ranged(each.figures[name], units)}"
            for name in COMPARED
            if name in each.figures
        )
        lines.append(f"{say(f'plan.path.{each.name}')}: {told}")
    lines += [tell(each, units) for each in (*view.differs, *view.loading)]
    for row in view.utilities:
        clear = row.figures.get("clear")
        told = clear.shown(units) if clear is not None else say("number.unknown")
        lines.append(f"{row.name}: {say('plan.column.left')} {told}")
    if view.rows:
        lines += ["", say("plan.rods", which=say(f"plan.path.{view.shown}"))]
        lines.append(
            "\t".join(say(f"plan.column.{HEADS.get(name, name)}") for name in ("rod", *RODS))
        )
        lines += [
            "\t".join([str(row.rod), *(row.figures[name].shown(units) for name in RODS)])
            for row in view.rows
        ]
    if view.life_rows:
        lines += ["", say("plan.life")]
        lines.append("\t".join(say(f"plan.column.{name}") for name in ("rod", "who", *LIFE)))
        lines += [
            "\t".join([
                str(row.rod), row.who or say("number.unknown"),
                *(row.figures[name].shown(units) for name in LIFE),
            ])
            for row in view.life_rows
        ]  # fmt: skip
    return [*lines, "", *(tell(each, units) for each in view.cautions)]


def _ranged(figure: Figure, units: System) -> str:
    """A figure with its range, where it has one."""
    low, high = (show(end, figure.quantity, units, unit=False) for end in (figure.low, figure.high))
    if None in (figure.low, figure.high) or low == high:
        return figure.shown(units)
    return f"{figure.shown(units)} ({say('life.band', low=low, high=high)})"
