"""Which rods in which order for a rig's next bore, and the loading list for the hand."""

from __future__ import annotations

from dataclasses import replace

from rodhand.advice.box_hands import LoadingList, make_list, replay
from rodhand.advice.order_case import Arranged
from rodhand.advice.rod_order import cheapest, pays, planned, turnings
from rodhand.advice.rows_search import tries_all_row_orders
from rodhand.advice.verdict import Sentence
from rodhand.book.order.order_asked import (
    ASSUMED_MOVES_A_BREAK,
    costs_lacking,
    owners_costs,
    rods_of,
    typed_order,
)
from rodhand.book.order.order_case import (
    RigCase,
    box_as_it_lies,
    kind_of,
    rig_case,
)
from rodhand.book.order.order_notes import notes_of, proved_of
from rodhand.book.order.order_rows import RodOrderView, out_of, places_of, steps_of
from rodhand.book.order.order_ways import best_of_each, mostly_assumed, ways_of
from rodhand.book.order.place_work import PlaceWork, expected_work
from rodhand.book.work.assess import Assessment
from rodhand.book.work.booked import booked_work
from rodhand.book.work.box_of import NoSuchRigError, rig_named
from rodhand.book.work.thread_mix import thread_faults
from rodhand.book.work.verdicts import caution
from rodhand.faults import Fault
from rodhand.units import Figure, Standing
from rodhand.words import render_fault

MOST_MOVES = 100_000.0
"""Moved rods for one break saved beyond which the number says nothing to anybody. [rods]"""
C, M, A = Standing.COMPUTED, Standing.MEASURED, Standing.ASSUMED


def rod_order_view(
    assessment: Assessment,
    rig: str,
    places: str = "",
    break_cost: str = "",
    move_cost: str = "",
) -> RodOrderView:
    """Which rods in which order, for a rig's next bore.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    rig : str
        The rig.
    places, break_cost, move_cost : str
        As typed: rods the bore uses; what one break and moving one rod cost, in the same money.
        Blank: by the next booked bore and the owner's own prices, where there are any.

    Returns
    -------
    RodOrderView
        Without a list where the record does not allow one; ``state`` says why.

    Raises
    ------
    NoSuchRigError
        If the book has no such rig.
    BadInputError
        If a number is none or out of range, or only one of the two prices is given.
    """
    name = rig_named(assessment.book, rig) if rig.strip() else ""
    if not name:
        raise NoSuchRigError(rig)
    rods, prices = typed_order(places, break_cost, move_cost)
    bore = next((each for each in booked_work(assessment.book) if each.rig == name), None)
    lacked = () if prices else costs_lacking(assessment, [bore])
    prices = prices or owners_costs(assessment, bore)
    kind, kind_assumed = kind_of(assessment.book.rigs[name])
    view = RodOrderView(assessment.invented, name, kind.name, kind_assumed, "known", lacking=lacked)
    lies = box_as_it_lies(assessment, name)
    if not lies:
        return replace(view, state="order")
    keys = [key for row in lies for key in row]
    refused = tuple(
        render_fault(Fault(f.code, f.found, values=f.values))
        for f in thread_faults(assessment.book, keys)
    )
    if refused:
        return replace(view, state="threads", refused=refused)
    work = expected_work(assessment, name, rods or rods_of(assessment, name, bore), bore)
    if work is None:
        return replace(view, state="type")
    case = rig_case(assessment, name, work, *(prices or (ASSUMED_MOVES_A_BREAK, 1.0)))
    if case is None:
        return replace(view, state="rods")
    known = bool(rods or rods_of(assessment, name, bore))
    return _filled(assessment, replace(view, bore=bore.name if bore else ""), case, work,
                   prices is not None, known)  # fmt: skip


def _filled(
    assessment: Assessment,
    view: RodOrderView,
    of: RigCase,
    work: PlaceWork,
    priced: bool,
    length_known: bool,
) -> RodOrderView:
    turned = turnings(of.case)
    plan, turning = planned(of.case), cheapest(turned)
    chosen = plan if pays(plan, turning) else turning
    whole = make_list(of.case.kind, of.lies, chosen.box, chosen.todo.rows)
    beside = of.case.beside
    replay(
        of.case.kind, of.lies, of.case.capacity, beside, whole
    )  # a list hands cannot follow fails
    needed = len(work.added)
    assumed = mostly_assumed(assessment, chosen.todo.order[:needed])
    ways = ways_of(view.rig, of, work, (*best_of_each(turned), plan), chosen, priced, assumed)
    own = f"order.{view.rig}"
    stand = A if assumed or work.standing is A else C
    figures = {
        "rods": Figure(f"{own}.rods", float(min(needed, len(whole.order))), "count",
                       M if length_known else A),
        "lifted": Figure(f"{own}.lifted", float(whole.lifted), "count", C),
        "gap": Figure(f"{own}.gap", plan.gap, "fine_share", C),
    }  # fmt: skip
    return replace(
        view,
        do=_do(chosen, whole),
        why=_why(own, of, plan, turning, chosen, priced, stand),
        lead=_lead(assessment, own, of, chosen, stand),
        notes=(
            *notes_of(assessment, view, of, work, chosen, priced, needed, length_known),
            proved_of(own, plan, tries_all_row_orders(of.case)),
        ),
        use=whole.rows,
        steps=steps_of(assessment, whole, of.case.kind.reach == "any"),
        order=places_of(assessment, chosen, whole, needed),
        ways=ways,
        out=out_of(assessment, of.out),
        caution=caution("lifting"),
        figures=figures,
    )


def _do(chosen: Arranged, whole: LoadingList) -> Sentence:
    rows = ", ".join(map(str, whole.rows))
    if not whole.steps:
        straight = list(whole.rows) == sorted(whole.rows)
        return Sentence("order.do_as_it_lies" if straight else "order.do_rows", {"rows": rows})
    lifted = Figure("order.do.lifted", float(whole.lifted), "count", C)
    return Sentence(f"order.do_{chosen.how}", {"rows": rows, "lifted": lifted})


def _why(
    own: str,
    of: RigCase,
    plan: Arranged,
    turning: Arranged,
    chosen: Arranged,
    priced: bool,
    stand: Standing,
) -> Sentence:
    """Whether the plan pays against the cheapest turning, and from what price of a break on."""
    with_plan, without = (
        make_list(of.case.kind, of.lies, way.box, way.todo.rows).lifted for way in (plan, turning)
    )
    more = with_plan - without
    saved = turning.breaks - plan.breaks
    if chosen is turning and (saved <= 0.0 or more <= 0):
        return Sentence("order.why_no_gain", {"lifted": Figure(f"{own}.more", 0.0, "count", C)})
    moves = max(more, 0) / max(saved, 1e-300)
    values: dict[str, str | Figure] = {
        "more": Figure(f"{own}.more", float(max(more, 0)), "count", C)
    }
    if moves > MOST_MOVES:
        return Sentence("order.why_hardly_moved" if chosen is plan else "order.why_hardly", values)
    values["moves"] = Figure(f"{own}.break_even", moves, "count", stand)
    if chosen is plan:
        return Sentence("order.why_plan" if more > 0 else "order.why_plan_free", values)
    return Sentence("order.why_turning" if priced else "order.why_turning_assumed", values)


def _lead(
    assessment: Assessment, own: str, of: RigCase, chosen: Arranged, stand: Standing
) -> Sentence:
    lead = chosen.todo.order[0]
    lives = {key: assessment.histories[key].life.worst.design for key in chosen.todo.order}
    fewer = sum(1 for value in lives.values() if value < lives[lead] * (1.0 - 1e-9))
    values: dict[str, str | Figure] = {
        "rod": assessment.book.things[lead].name,
        "fewer": Figure(f"{own}.fewer", float(fewer), "count", C),
        "others": Figure(f"{own}.others", float(len(lives) - 1), "count", C),
        "design": Figure(f"{own}.lead_design", lives[lead], "life", stand),
    }
    if fewer == 0:
        return Sentence("order.lead_least", values)
    return Sentence("order.lead_near" if lead != of.case.rods[0] else "order.lead_stays", values)
