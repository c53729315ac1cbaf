"""Which rods in which order for a rig's next bore, and the loading list for the hand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from rodhand.advice.box_hands import LoadingList, make_list, replay
from rodhand.advice.order_case import Arranged
from rodhand.advice.rod_order import cheapest, pays, planned, turnings
from rodhand.advice.rows_search import tries_all_row_orders
from rodhand.advice.verdict import Sentence
from rodhand.book.order.order_case import (
    RigCase,
    StaysOut,
    any_breaks,
    box_as_it_lies,
    kind_of,
    rig_case,
)
from rodhand.book.order.place_work import PlaceWork, expected_work, rod_type_of_rig
from rodhand.book.tasks.set_tasks import bores_of_rig, leading_on, replay_on
from rodhand.book.tasks.task_parts import names_of
from rodhand.book.telling import names_in_words
from rodhand.book.work.assess import Assessment
from rodhand.book.work.booked import BoreToCome, booked_work
from rodhand.book.work.box_of import NoSuchRigError, rig_named
from rodhand.book.work.box_order import order_now
from rodhand.book.work.prices import owner_prices
from rodhand.book.work.thread_mix import thread_faults
from rodhand.book.work.verdicts import caution
from rodhand.book.yard.old_new import MAKE_UPS, is_new, new_rod
from rodhand.book.yard.yard import rod_in_yard
from rodhand.faults import BadInputError, Fault
from rodhand.units import Figure, Standing
from rodhand.wear.chance import CLASS_ERROR, MOST_ASSUMED, one_in
from rodhand.words import render_fault

ASSUMED_MOVES_A_BREAK = 1000.0
"""Rods that may be moved for one break less where no prices are given (ours, invented). [rods]"""
EXACT = 1e-6
SOURCE = "order"
LEAST, MOST_PLACES = 1, 500
C, M, A = Standing.COMPUTED, Standing.MEASURED, Standing.ASSUMED


@dataclass(frozen=True)
class StepRow:
    """Hand movements of one row, in the order they are made; ``places`` only in a loose rack."""

    what: str
    row: int
    rods: tuple[str, ...]
    places: tuple[int, ...]


@dataclass(frozen=True)
class PlaceRow:
    """A rod in the order of use: where it lies, and whether it was laid there for this bore."""

    place: int
    name: str
    row: int
    number: int
    moved: bool
    in_bore: bool
    figures: dict[str, Figure]


@dataclass(frozen=True)
class WayRow:
    """One way to order the rods: expected breaks over those as it lies, and rods moved."""

    how: str
    chosen: bool
    figures: dict[str, Figure]


@dataclass(frozen=True)
class OutRow:
    """Rods that stay out, and the code of why."""

    why: str
    rods: tuple[str, ...]


@dataclass(frozen=True)
class RodOrderView:
    """A rig's rods for its next bore.

    Parameters
    ----------
    kind : str
        How the box gives its rods; ``kind_assumed`` where nobody entered it.
    state : str
        ``known``; else ``order`` (of the box not known), ``rods`` (none may go in), ``type`` (no
        rod type) or ``threads`` (they differ): then there is no list.
    bore : str
        The booked bore it is for; empty where none is booked.
    do, why, lead : Sentence or None
        What to do, why, and why this rod leads.
    use : tuple of int
        Rows in order of use.
    """

    invented: bool
    rig: str
    kind: str
    kind_assumed: bool
    state: str
    bore: str = ""
    refused: tuple[str, ...] = ()
    do: Sentence | None = None
    why: Sentence | None = None
    lead: Sentence | None = None
    notes: tuple[Sentence, ...] = ()
    use: tuple[int, ...] = ()
    steps: tuple[StepRow, ...] = ()
    order: tuple[PlaceRow, ...] = ()
    ways: tuple[WayRow, ...] = ()
    out: tuple[OutRow, ...] = ()
    caution: Sentence | None = None
    figures: dict[str, Figure] | None = None


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
    rods, prices = _typed(places, break_cost, move_cost)
    bore = next((each for each in booked_work(assessment.book) if each.rig == name), None)
    prices = prices or owners_costs(assessment, bore)
    kind, kind_assumed = kind_of(assessment.book.rigs[name])
    view = RodOrderView(assessment.invented, name, kind.name, kind_assumed, "known")
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


def owners_costs(assessment: Assessment, bore: BoreToCome | None) -> tuple[float, float] | None:
    """The owner's own price of a break, there where the next bore runs, and of moving one rod."""
    own = owner_prices(assessment)
    a_break = own.a_break(bore.under if bore else "")
    return None if a_break is None or own.move is None else (a_break, own.move)


def rods_of(assessment: Assessment, rig: str, bore: BoreToCome | None) -> int:
    """Rods the next booked bore uses by its length; 0 where nobody said how long it is."""
    rod = rod_type_of_rig(assessment, rig)
    if bore is None or bore.length is None or rod is None:
        return 0
    return min(max(math.ceil(bore.length / rod.length), LEAST), MOST_PLACES)


def _typed(places: str, break_cost: str, move_cost: str) -> tuple[int, tuple[float, float] | None]:
    faults, numbers = [], []
    text = places.strip()
    if text and not (text.isascii() and text.isdecimal() and LEAST <= int(text) <= MOST_PLACES):
        faults.append(Fault("order_rods", text, column="rods", values={"most": f"{MOST_PLACES}"}))
    for column, typed in (("break_cost", break_cost.strip()), ("move_cost", move_cost.strip())):
        try:
            number = float(typed) if typed else None
        except ValueError:
            number = -1.0
        if number is not None and not 0.0 < number < 1e12:
            faults.append(Fault("order_price", typed, column=column))
        numbers.append(number)
    given = [number for number in numbers if number is not None]
    if len(given) == 1 and not faults:
        faults.append(Fault("order_one_price", break_cost or move_cost, column="move_cost"))
    if faults:
        raise BadInputError(faults, SOURCE)
    return int(text or 0), (given[0], given[1]) if given else None


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
    assumed = _mostly_assumed(assessment, chosen.todo.order[:needed])
    ways = _ways(view.rig, of, work, (*_best_of_each(turned), plan), chosen, priced, assumed)
    own = f"order.{view.rig}"
    stand = A if assumed or work.standing is A else C
    figures = {
        "rods": Figure(f"{own}.rods", float(min(needed, len(whole.order))), "count",
                       M if length_known else A),
        "lifted": Figure(f"{own}.lifted", float(whole.lifted), "count", C),
        "gap": Figure(f"{own}.gap", plan.gap, "share", C),
    }  # fmt: skip
    return replace(
        view,
        do=_do(chosen, whole),
        why=_why(own, of, plan, turning, chosen, priced, stand),
        lead=_lead(assessment, own, of, chosen, stand),
        notes=(
            *_notes(assessment, view, of, work, chosen, priced, needed, length_known),
            _proved(own, plan, tries_all_row_orders(of.case)),
        ),
        use=whole.rows,
        steps=steps_of(assessment, whole, of.case.kind.reach == "any"),
        order=_order(assessment, of, chosen, whole, needed),
        ways=ways,
        out=_out(assessment, of.out),
        caution=caution("lifting"),
        figures=figures,
    )


def _mostly_assumed(assessment: Assessment, keys: Sequence[str]) -> bool:
    """Whether more than half of the history of any of some rods is assumed or not known."""
    shares = [assessment.histories[key].known_share for key in keys]
    return any(share is None or 1.0 - share > MOST_ASSUMED for share in shares)


def _best_of_each(turned: Sequence[Arranged]) -> list[Arranged]:
    hows = dict.fromkeys(way.how for way in turned)
    return [cheapest([way for way in turned if way.how == how]) for how in hows]


def _ways(
    rig: str, of: RigCase, work: PlaceWork, ways: Sequence[Arranged], chosen: Arranged,
    priced: bool, assumed: bool,
) -> tuple[WayRow, ...]:  # fmt: skip
    rows = []
    stand = A if assumed or work.standing is A else C
    for way in ways:
        own = f"order.{rig}.{way.how}"
        whole = make_list(of.case.kind, of.lies, way.box, way.todo.rows)
        over = way.breaks / ways[0].breaks if ways[0].breaks > 0.0 else 1.0
        figures = {
            "breaks_over": Figure(f"{own}.breaks_over", over, "ratio", stand),
            "lifted": Figure(f"{own}.lifted", float(whole.lifted), "count", C),
        }
        if priced:
            figures["cost"] = Figure(f"{own}.cost", way.cost, "money", stand)
        if not assumed:
            for name, factor in (("low", 1.0 / CLASS_ERROR), ("high", CLASS_ERROR)):
                chance = any_breaks(of, work.added, way.todo.order, factor)
                figures[f"chance_{name}"] = Figure(
                    f"{own}.chance_{name}", float(one_in(chance)), "one_in", A
                )
        rows.append(WayRow(way.how, way.how == chosen.how, figures))
    return tuple(rows)


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
    values: dict[str, str | Figure] = {
        "more": Figure(f"{own}.more", float(max(more, 0)), "count", C),
        "moves": Figure(f"{own}.break_even", max(more, 0) / max(saved, 1e-300), "count", stand),
    }
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


def _notes(
    assessment: Assessment, view: RodOrderView, of: RigCase, work: PlaceWork, chosen: Arranged,
    priced: bool, needed: int, length_known: bool,
) -> tuple[Sentence, ...]:  # fmt: skip
    own, notes = f"order.{view.rig}", []
    if not length_known:
        rods = Figure(f"{own}.rods", float(needed), "count", A)
        notes.append(Sentence("order.note_length", {"rods": rods}))
    if work.plan:
        notes.append(Sentence("order.note_plan", {"bore": work.plan}))
    elif work.bores:
        bores = Figure(f"{own}.bores", float(work.bores), "count", C)
        notes.append(Sentence("order.note_own", {"bores": bores}))
    else:
        notes.append(Sentence("order.note_mix"))
    if not priced:
        moves = Figure(f"{own}.assumed_moves", ASSUMED_MOVES_A_BREAK, "count", A)
        notes.append(Sentence("order.note_prices", {"moves": moves}))
    notes += _so_far(assessment, view.rig)
    if view.kind_assumed:
        notes.append(Sentence("order.note_kind"))
    if order_now(assessment.book, view.rig).doubts:
        notes.append(Sentence("order.note_doubt"))
    if _tail_last(assessment, view.rig):
        notes.append(Sentence("order.note_tail"))
    unbroken = _not_broken_in(assessment, chosen.todo.order[:needed])
    if unbroken:
        notes.append(Sentence("order.note_break_in", {"rods": names_in_words(unbroken)}))
    short = needed - len(chosen.todo.order)
    if short > 0:
        count = Figure(f"{own}.short", float(short), "count", C)
        notes.append(Sentence("order.note_short", {"short": count}))
    if chosen.against:
        count = Figure(f"{own}.against", float(chosen.against), "count", C)
        notes.append(Sentence("order.note_against", {"against": count}))
    return tuple(notes)


def _so_far(assessment: Assessment, rig: str) -> list[Sentence]:
    """Which rods led nearly every bore so far, and what turning the rows would have given."""
    own, notes = f"order.{rig}", []
    leads, gain = leading_on(assessment, rig), replay_on(assessment, rig)
    if leads is not None:
        names = names_in_words(names_of(assessment, leads.things))
        notes.append(Sentence("order.note_led", {
            "led": Figure(f"{own}.led", float(leads.led), "count", M),
            "bores": Figure(f"{own}.led_of", float(leads.bores), "count", M), "rods": names,
        }))  # fmt: skip
    if gain is not None:
        notes.append(Sentence("order.note_gain", {
            "bores": Figure(f"{own}.replayed", float(gain.bores), "count", M),
            "gain": Figure(f"{own}.gain", gain.gain, "factor", C),
        }))  # fmt: skip
    return notes


def _not_broken_in(assessment: Assessment, keys: Sequence[str]) -> list[str]:
    """Names of new rods that have not been made up often enough to work."""
    things = [assessment.book.things[key] for key in keys]
    return [each.name for each in things if is_new(assessment, each)
            and new_rod(assessment, each).make_ups < MAKE_UPS]  # fmt: skip


def _proved(own: str, plan: Arranged, all_row_orders: bool) -> Sentence:
    gap = {"gap": Figure(f"{own}.gap", plan.gap, "share", C)}
    if plan.gap > EXACT:
        return Sentence("order.note_gap", gap)
    return Sentence("order.note_exact" if all_row_orders else "order.note_exact_turned")


def _tail_last(assessment: Assessment, rig: str) -> bool:
    """Whether the rig's last bore pulled a tail string and the box was not confirmed since."""
    names = bores_of_rig(assessment, rig)
    if not names or order_now(assessment.book, rig).loads_ago == 0:
        return False
    bore = assessment.book.bores[names[-1]]
    return any(each.tail_rods for each in bore.passes)


def steps_of(assessment: Assessment, whole: LoadingList, loose: bool) -> tuple[StepRow, ...]:
    """Hand movements of a list, those of one row together; with places in a loose rack."""
    found: list[StepRow] = []
    for step in whole.steps:
        name = assessment.book.things[step.rod].name
        places = (step.place,) if loose else ()
        last = found[-1] if found else None
        if last and (last.what, last.row) == (step.what, step.row):
            found[-1] = replace(last, rods=(*last.rods, name), places=(*last.places, *places))
        else:
            found.append(StepRow(step.what, step.row, (name,), places))
    return tuple(found)


def _order(
    assessment: Assessment, of: RigCase, chosen: Arranged, whole: LoadingList, needed: int
) -> tuple[PlaceRow, ...]:
    at = {key: (r, n) for r, row in enumerate(chosen.box, 1) for n, key in enumerate(row, 1)}
    moved = {step.rod for step in whole.steps if step.what == "in"}
    return tuple(
        PlaceRow(place, assessment.book.things[key].name, *at[key], key in moved, place <= needed,
                 dict(rod_in_yard(assessment, key).figures))
        for place, key in enumerate(whole.order, 1)
    )  # fmt: skip


def _out(assessment: Assessment, out: Sequence[StaysOut]) -> tuple[OutRow, ...]:
    whys = dict.fromkeys(each.why for each in out)
    names = {each.key: assessment.book.things[each.key].name for each in out}
    return tuple(
        OutRow(why, tuple(names[each.key] for each in out if each.why == why)) for why in whys
    )
