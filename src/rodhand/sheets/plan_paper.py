"""The plan of a bore on paper: the pitch at the end of each rod, utilities, cautions."""

from __future__ import annotations

from rodhand.advice.verdict import Sentence
from rodhand.book.plan.plan_views import PlanView
from rodhand.sheets.paper import (
    BookFacts,
    Column,
    Drawn,
    Item,
    Items,
    Line,
    Paper,
    Part,
    Table,
    figure_spans,
    plain,
    sentence_line,
)
from rodhand.sheets.plan_drawing import plan_svg
from rodhand.units import System
from rodhand.words import IN_FORCE, say

RODS = {"pitch": "pitch", "change": "change", "across": "across", "depth": "depth",
        "life": "rod_life"}  # fmt: skip
"""Figure of a rod's row -> its heading."""
UTILITY = ("at", "depth_top", "size", "keep", "clear")
COMPARED = (
    "rods",
    "length",
    "deepest",
    "cover",
    "clear",
    "tightest",
    "time",
    "pull_rig",
    "pull",
    "torque",
    "life",
)
PICTURE = 720.0


def plan_paper(view: PlanView, facts: BookFacts, system: System, language: str = IN_FORCE) -> Paper:
    """The plan as a paper.

    Parameters
    ----------
    view : PlanView
        The plan, with one path shown.
    facts : BookFacts
        Which book it comes from.
    system : {"metric", "us"}
        Unit system.
    language : str, optional
        Language of the words.
    """
    parts: list[Part] = [_said("", (view.told, *view.changes), system, language)]
    drawn = plan_svg(view, PICTURE, language)
    if drawn:
        parts.append(Drawn(say("plan.picture", language), drawn))
    if view.candidates:
        parts.append(_compared(view, system, language))
        parts.append(_said("", view.differs, system, language))
    if view.rows:
        parts.append(_said("", view.loading, system, language))
        parts.append(_rods(view, system, language))
    if view.utilities:
        parts.append(_utilities(view, system, language))
    parts.append(_said(say("plan.limits", language), view.limits, system, language))
    parts.append(_said(say("plan.cautions", language), view.cautions, system, language))
    given = (
        "distance", "entry_pitch", "exit_pitch", "cover", "cover_from", "cover_to", "product_od",
        "product_mass", "reams",
    )  # fmt: skip
    return Paper(
        name="plan",
        title=say("plan.title", language),
        subject=view.name,
        invented=say("paper.invented", language) if view.invented else "",
        facts=(
            (say("field.rig", language), plain(view.rig or say("number.dash", language))),
            (say("field.rod_type", language), plain(view.rod_type or say("number.dash", language))),
            *(
                (say(f"field.{name}", language), figure_spans(view.figures[name], system, language))
                for name in given
                if name in view.figures
            ),
        ),
        parts=tuple(parts),
        book=facts,
        system=system,
        landscape=False,
        language=language,
    )


def _said(heading: str, said: tuple[Sentence, ...], system: System, language: str) -> Items:
    lines = (sentence_line(each, system, language=language) for each in said)
    return Items(heading, tuple(Item((line,)) for line in lines))


def _compared(view: PlanView, system: System, language: str) -> Table:
    shown = [n for n in COMPARED if any(n in each.figures for each in view.candidates)]
    columns = [Column("", "left")]
    columns += [Column(say(f"plan.path.{each.name}", language)) for each in view.candidates]
    rows = [
        (
            plain(say(f"plan.column.{name}", language), "bold"),
            *(
                figure_spans(each.figures[name], system, language)
                if name in each.figures
                else plain(say("number.dash", language))
                for each in view.candidates
            ),
        )
        for name in shown
    ]
    return Table(say("plan.compared", language), tuple(columns), tuple(rows))


def _rods(view: PlanView, system: System, language: str) -> Table:
    columns = [Column(say("plan.column.rod", language), "left")]
    columns += [Column(say(f"plan.column.{name}", language)) for name in RODS.values()]
    columns.append(Column(say("plan.column.read", language), "left", wide=True))
    rows: list[tuple[Line, ...]] = [
        (
            plain(str(row.rod), "bold"),
            *(figure_spans(row.figures[name], system, language) for name in RODS),
            plain(""),
        )
        for row in view.rows
    ]
    title = say("plan.rods", language, which=say(f"plan.path.{view.shown}", language))
    return Table(title, tuple(columns), tuple(rows))


def _utilities(view: PlanView, system: System, language: str) -> Table:
    columns = [Column(say("field.utility", language), "left")]
    columns.append(Column(say("field.how", language), "left"))
    names = [*UTILITY[:-1], "left"]
    columns += [Column(say(f"plan.column.{name}", language)) for name in names]
    rows = [
        (
            plain(each.name, "bold"),
            plain(say(f"choice.{each.how.replace(' ', '_')}", language)),
            *(
                figure_spans(each.figures[name], system, language)
                if name in each.figures
                else plain(say("number.dash", language))
                for name in UTILITY
            ),
        )
        for each in view.utilities
    ]
    return Table(say("plan.utilities", language), tuple(columns), tuple(rows))
