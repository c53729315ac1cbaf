"""Loading lists for all booked bores of a rig, planned together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rodhand.advice.booked_case import BookedBore, BookedCase, BookedWay
from rodhand.advice.booked_order import booked_plan, booked_turnings
from rodhand.advice.box_hands import replay
from rodhand.advice.order_case import Arranged
from rodhand.advice.verdict import Sentence
from rodhand.book.order.order_asked import (
    ASSUMED_MOVES_A_BREAK,
    costs_lacking,
    owners_costs,
    rods_of,
)
from rodhand.book.order.order_case import RigCase, must_not_stand, rig_case
from rodhand.book.order.order_notes import EXACT, not_broken_in
from rodhand.book.order.order_rows import StepRow, steps_of
from rodhand.book.order.place_work import expected_work
from rodhand.book.telling import names_in_words
from rodhand.book.work.assess import Assessment
from rodhand.book.work.booked import BoreToCome, booked_of_begun, booked_work
from rodhand.book.work.box_of import NoSuchRigError, rig_named
from rodhand.book.work.lacking import Lacking
from rodhand.book.work.thread_mix import thread_faults
from rodhand.book.work.verdicts import caution
from rodhand.units import Figure, Standing

MOST_BORES = 10
"""Booked bores planned together at most. [bores]"""
C, A = Standing.COMPUTED, Standing.ASSUMED


@dataclass(frozen=True)
class BoreList:
    """One booked bore's loading list.

    Parameters
    ----------
    bore : str
        Its name.
    lead : Sentence
        Why its lead rod leads.
    use : tuple of int
        Rows in order of use.
    steps : tuple of StepRow
        Hand movements before it; none where the box is used as it lies.
    figures : dict of str to Figure
        ``rods`` it uses, ``lifted`` before it.
    notes : tuple of Sentence
        What to mind in this bore.
    order : tuple of str
        Rods in order into the hole, the lead first.
    """

    bore: str
    lead: Sentence
    use: tuple[int, ...]
    steps: tuple[StepRow, ...]
    figures: dict[str, Figure]
    notes: tuple[Sentence, ...] = ()
    order: tuple[str, ...] = ()


@dataclass(frozen=True)
class BookedView:
    """Loading lists of a rig's booked bores.

    Parameters
    ----------
    state : str
        ``known``; else ``none`` (no bore booked), ``order`` (of the box not known, or no rod may
        go in), ``threads`` or ``type``: then there are no lists.
    why, proved : Sentence or None
        What planning saves against the cheapest turning; how surely it is the least.
    notes : tuple of Sentence
        What is assumed.
    lacking : tuple of Lacking
        Prices they are weighed by that nobody gave.
    """

    invented: bool
    rig: str
    state: str
    why: Sentence | None = None
    proved: Sentence | None = None
    notes: tuple[Sentence, ...] = ()
    lists: tuple[BoreList, ...] = ()
    caution: Sentence | None = None
    lacking: tuple[Lacking, ...] = ()


def booked_view(assessment: Assessment, rig: str) -> BookedView:
    """Loading lists of a rig's booked bores, planned together.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    rig : str
        The rig.

    Returns
    -------
    BookedView
        The first `MOST_BORES` booked bores; rods that stay out today stay out of all of them.

    Raises
    ------
    NoSuchRigError
        If the book has no such rig.
    """
    name = rig_named(assessment.book, rig) if rig.strip() else ""
    if not name:
        raise NoSuchRigError(rig)
    bores = [each for each in booked_work(assessment.book) if each.rig == name][:MOST_BORES]
    if not bores:
        notes = booked_of_begun(assessment.book, name)
        return BookedView(assessment.invented, name, "none", notes=notes)
    works = [expected_work(assessment, name, rods_of(assessment, name, each), each)
             for each in bores]  # fmt: skip
    if any(work is None for work in works):
        return BookedView(assessment.invented, name, "type")
    added = [work.added for work in works if work is not None]
    costs = [owners_costs(assessment, each) for each in bores]
    priced = all(each is not None for each in costs)
    told = [each if each and priced else (ASSUMED_MOVES_A_BREAK, 1.0) for each in costs]
    first = next(work for work in works if work is not None)
    of = rig_case(assessment, name, first, *told[0])
    if of is None:
        return BookedView(assessment.invented, name, "order")
    if thread_faults(assessment.book, [key for row in of.lies for key in row]):
        return BookedView(assessment.invented, name, "threads")
    design = np.array([assessment.histories[key].life.worst.design for key in of.case.rods])
    case = BookedCase(
        of.case.kind, of.case.box, of.case.beside, of.case.capacity, of.means, of.spread,
        tuple(
            BookedBore(bore.name, each, cost, must_not_stand(
                design, len(each), assessment.thresholds.downgrade, bool(bore.under)))
            for bore, each, (cost, _) in zip(bores, added, told, strict=True)
        ),
        told[0][1],
    )  # fmt: skip
    assumed = any(work is not None and work.standing is A for work in works)
    return _filled(assessment, name, bores, case, of, priced, A if assumed else C)


def _filled(
    assessment: Assessment, rig: str, bores: list[BoreToCome], case: BookedCase, of: RigCase,
    priced: bool, stand: Standing,
) -> BookedView:  # fmt: skip
    plan = booked_plan(case)
    turning = min(booked_turnings(case), key=lambda way: (way.against, way.cost))
    own = f"booked.{rig}"
    lists = tuple(
        _list(
            assessment,
            f"{own}.{bore.name}",
            bore,
            plan,
            k,
            len(case.bores[k].added),
            case.kind.reach == "any",
            stand,
        )
        for k, bore in enumerate(bores)
    )
    for k, way in enumerate(plan.ways):  # a list hands cannot follow fails
        inside = {rod for row in plan.boxes[k] for rod in row}
        beside = [rod for rod in case.rods if rod not in inside]
        replay(case.kind, plan.boxes[k], case.capacity, beside, way.todo)
    notes = [*booked_of_begun(assessment.book, rig)]
    if not priced:
        moves = Figure(f"{own}.assumed_moves", ASSUMED_MOVES_A_BREAK, "count", A)
        notes.append(Sentence("order.note_prices", {"moves": moves}))
    if of.out:
        count = Figure(f"{own}.out", float(len(of.out)), "count", C)
        notes.append(Sentence("order.booked_out", {"count": count}))
    return BookedView(
        assessment.invented, rig, "known", _why(own, plan, turning, stand),
        _proved(own, plan),
        tuple(notes), lists, caution("lifting"), costs_lacking(assessment, bores),
    )  # fmt: skip


def _proved(own: str, plan: BookedWay) -> Sentence:
    if plan.gap <= EXACT:
        return Sentence("order.booked_proved")
    return Sentence("order.booked_gap", {"gap": Figure(f"{own}.gap", plan.gap, "fine_share", C)})


def _why(own: str, plan: BookedWay, turning: BookedWay, stand: Standing) -> Sentence:
    """What planning saves for each rod it lifts more than the cheapest turning, in moves."""
    more, saved = plan.lifted - turning.lifted, turning.breaks - plan.breaks
    values: dict[str, str | Figure] = {
        "lifted": Figure(f"{own}.lifted", float(plan.lifted), "count", C),
        "over": Figure(f"{own}.over", plan.breaks / max(turning.breaks, 1e-300), "share", stand),
    }
    if plan.cost >= turning.cost * (1.0 - 1e-9):
        return Sentence("order.booked_no_gain", values)
    if more <= 0 or saved <= 0.0:
        return Sentence("order.booked_free", values)
    values["moves"] = Figure(f"{own}.break_even", more / saved, "count", stand)
    values["more"] = Figure(f"{own}.more", float(more), "count", C)
    return Sentence("order.booked_pays", values)


def _list(
    assessment: Assessment, own: str, bore: BoreToCome, plan: BookedWay, k: int, places: int,
    loose: bool, stand: Standing,
) -> BoreList:  # fmt: skip
    way = plan.ways[k]
    order, lead = way.todo.order, way.todo.order[0]
    lives = {key: assessment.histories[key].life.worst.design for key in order}
    fewer = sum(1 for value in lives.values() if value < lives[lead] * (1.0 - 1e-9))
    reason = "stays" if k and lead == plan.ways[k - 1].todo.order[0] else "takes"
    values: dict[str, str | Figure] = {
        "rod": assessment.book.things[lead].name,
        "fewer": Figure(f"{own}.fewer", float(fewer), "count", C),
        "others": Figure(f"{own}.others", float(len(order) - 1), "count", C),
        "design": Figure(f"{own}.lead_design", lives[lead], "life", stand),
    }
    figures = {
        "rods": Figure(f"{own}.rods", float(min(places, len(order))), "count", C),
        "lifted": Figure(f"{own}.lifted", float(way.todo.lifted), "count", C),
    }
    names = tuple(assessment.book.things[key].name for key in order[:places])
    return BoreList(
        bore.name, Sentence(f"order.booked_lead_{reason}", values), way.todo.rows,
        steps_of(assessment, way.todo, loose), figures,
        _notes(assessment, own, bore, way, places), names,
    )  # fmt: skip


def _notes(
    assessment: Assessment, own: str, bore: BoreToCome, way: Arranged, places: int
) -> tuple[Sentence, ...]:
    """What to mind in one bore: its length not known, rods short, against the rules, not new."""
    notes = []
    if bore.length is None:
        rods = Figure(f"{own}.length", float(places), "count", A)
        notes.append(Sentence("order.note_length", {"rods": rods}))
    short = places - len(way.todo.order)
    if short > 0:
        count = Figure(f"{own}.short", float(short), "count", C)
        notes.append(Sentence("order.note_short", {"short": count}))
    if way.against:
        against = Figure(f"{own}.against", float(way.against), "count", C)
        notes.append(Sentence("order.note_against", {"against": against}))
    unbroken = not_broken_in(assessment, way.todo.order[:places])
    if unbroken:
        notes.append(Sentence("order.note_break_in", {"rods": names_in_words(unbroken)}))
    return tuple(notes)
