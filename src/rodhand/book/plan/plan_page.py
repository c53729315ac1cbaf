"""The page of a planned bore: candidates compared, or why it is refused and what mends it."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.entry.entry_page import entry_view
from rodhand.book.entry.keeping import enter
from rodhand.book.opening import book_in, open_assessment
from rodhand.book.plan.driven import driven_against
from rodhand.book.plan.driven_life import driven_life, life_rows, life_told
from rodhand.book.plan.plan_parts import (
    Worked,
    candidate_figures,
    plan_drawing,
    plan_figures,
    plan_rows,
    utility_rows,
)
from rodhand.book.plan.plan_told import (
    POSSIBLE,
    cautions_told,
    differs_told,
    limits_told,
    loading_told,
    plan_told,
)
from rodhand.book.plan.plan_views import Candidate, LifeRow, PlanList, PlanListed, PlanView
from rodhand.book.plan.plan_work import PlanWork, plan_work
from rodhand.book.plan.planned import Asked, NoSuchPlanError, asked_of, plan_named, plans_of
from rodhand.book.plan.planned_bore import steering_of
from rodhand.book.plan.planned_wear import KEPT_PLAN, candidates
from rodhand.book.work.days import day_of
from rodhand.book.work.in_force import is_invented
from rodhand.faults import BadInputError, Fault
from rodhand.hole.planned_path import PlannedPath, own_path
from rodhand.record.book import Book
from rodhand.record.entry import Draft
from rodhand.record.marks import fold
from rodhand.units import Figure, Standing


def plan_list(folder: Path) -> PlanList:
    """Every plan of a book, the newest first.

    Parameters
    ----------
    folder : Path
        The book's folder.

    Returns
    -------
    PlanList
        With the rigs and rod types a new plan may name.
    """
    book = book_in(folder)
    bores = {fold(name) for name in book.bores}
    rows = tuple(
        PlanListed(
            each.plan, each.rig, each.chosen, fold(each.plan) in bores,
            {"distance": Figure(f"plan.{each.plan}.distance", each.distance, "distance",
                                Standing.MEASURED)},
        )
        for each in reversed(plans_of(book))
    )  # fmt: skip
    return PlanList(is_invented(book), rows, tuple(book.rigs), tuple(book.rod_types))


def plan_view(folder: Path, name: str, shown: str = "", life: bool = False) -> PlanView:
    """One plan worked out.

    Parameters
    ----------
    folder : Path
        The book's folder.
    name : str
        Name of the plan; capitals do not matter.
    shown : str
        Which candidate is drawn and tabled; the kept one, else the easiest, when empty.
    life : bool
        Whether life driven is held against life planned; the whole book is worked through for it.

    Returns
    -------
    PlanView
        Everything its page, paper and twin show.

    Raises
    ------
    NoSuchPlanError
        If there is no such plan.
    """
    book = book_in(folder)
    plan = plan_named(book, name)
    if plan is None:
        raise NoSuchPlanError(name)
    asked = asked_of(book, plan)
    worked = _worked(book, asked)
    key = f"plan.{plan.plan}"
    told, changes = plan_told(book, asked, worked, key)
    here = _shown(worked, shown)
    path = worked[here][0] if here else None
    bore = next((b for n, b in book.bores.items() if fold(n) == fold(plan.plan)), None)
    driven = driven_against(book, bore, asked.rod_type, path, f"{key}.driven")
    told_life, rows_life = (
        _life(folder, bore.name, asked, worked[here], f"{key}.life")
        if life and bore is not None and driven is not None
        else ((), ())
    )
    return PlanView(
        name=plan.plan,
        invented=is_invented(book),
        rig=plan.rig,
        rod_type=asked.rod_type.name if asked.rod_type else plan.rod_type,
        head=plan.head,
        happened=day_of(plan.origin.happened.start),
        possible=told.key == POSSIBLE,
        told=told,
        changes=changes,
        candidates=tuple(
            Candidate(each, candidate_figures(f"{key}.{each}", asked, *work))
            for each, work in worked.items()
        ),
        shown=here,
        chosen=plan.chosen,
        rows=()
        if path is None or asked.ask is None
        else plan_rows(f"{key}.rod", asked.ask, *worked[here], driven),
        utilities=utility_rows(asked, path, key),
        limits=limits_told(asked, worked, here, key),
        cautions=cautions_told(asked),
        figures=plan_figures(plan, key),
        drawing=plan_drawing(asked, worked, path, driven),
        driven=driven.told if driven else (),
        differs=differs_told(worked, key),
        loading=loading_told(worked[here][1], key) if here else (),
        life=told_life,
        life_rows=rows_life,
    )


def typed_plan(folder: Path, name: str) -> dict[str, str]:
    """A plan's columns as they were typed last, without its targets; empty where there is none.

    Parameters
    ----------
    folder : Path
        The book's folder.
    name : str
        Its name.
    """
    plan = plan_named(book_in(folder), name)
    typed = {} if plan is None else dict(entry_view(folder, plan.origin.entry).typed)
    return {
        key: text for key, text in typed.items() if key not in ("chosen", "pitches", "headings")
    }


def keep_path(folder: Path, name: str, chosen: str, by: str = "") -> str:
    """Keep one candidate as the plan.

    Parameters
    ----------
    folder : Path
        The book's folder.
    name, chosen : str
        The plan, and "shortest", "easiest" or "deepest".
    by : str
        Who says it.

    Returns
    -------
    str
        Id of the entry: the plan as it was asked, with the pitch at the end of each rod.

    Raises
    ------
    NoSuchPlanError
        If there is no such plan.
    BadInputError
        If it has no such candidate.
    """
    book = book_in(folder)
    plan = plan_named(book, name)
    if plan is None:
        raise NoSuchPlanError(name)
    ask = asked_of(book, plan).ask
    path = next((each for each in candidates(ask) if each.name == chosen), None) if ask else None
    if not plan_view(folder, name).possible:
        path = None
    if path is None:
        raise BadInputError([Fault("plan_no_candidate", chosen, column="candidate")], "plan")
    pitches = " ".join(f"{100.0 * math.tan(each):.1f}" for each in path.pitch[1:])
    typed = entry_view(folder, plan.origin.entry).typed
    payload = dict(typed) | {"chosen": chosen, "pitches": pitches}
    payload.pop("headings", None)
    return enter(folder, [Draft("plan", payload, "", "", by)], "plan").entries[0].id


def _life(
    folder: Path, bore: str, asked: Asked, worked: tuple[PlannedPath, PlanWork], key: str
) -> tuple[tuple[Sentence, ...], tuple[LifeRow, ...]]:
    """Life the bore's bends took against the path shown."""
    assessment, (path, work) = open_assessment(folder), worked
    found = driven_life(assessment, bore, asked.plan, path, work.steering)
    if found is None:
        return (), ()
    stations = tuple(int(each) for each in assessment.works[bore].hole.rods.station)
    return life_told(found, stations, key), life_rows(found, stations, key)


def _worked(book: Book, asked: Asked) -> Worked:
    ask, rod_type = asked.ask, asked.rod_type
    if ask is None or rod_type is None:
        return {}
    paths = list(candidates(ask))
    targets = asked.plan.target_pitches
    if targets:
        paths.insert(0, own_path(ask, np.array(targets), KEPT_PLAN))
    steering = steering_of(book, asked.plan.rig)
    return {
        each.name: (each, plan_work(book, asked.plan, rod_type, each, steering)) for each in paths
    }


def _shown(worked: Worked, wanted: str) -> str:
    for name in (wanted, KEPT_PLAN, "easiest"):
        if name in worked:
            return name
    return ""
