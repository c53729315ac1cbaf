"""What is assumed or to be minded of an order of rods for the next bore."""

from __future__ import annotations

from collections.abc import Sequence

from rodhand.advice.order_case import Arranged
from rodhand.advice.verdict import Sentence
from rodhand.book.order.order_asked import ASSUMED_MOVES_A_BREAK
from rodhand.book.order.order_case import (
    RigCase,
)
from rodhand.book.order.order_rows import RodOrderView
from rodhand.book.order.place_work import PlaceWork
from rodhand.book.tasks.set_tasks import bores_of_rig, leading_on, replay_on
from rodhand.book.tasks.task_parts import names_of
from rodhand.book.telling import names_in_words
from rodhand.book.work.assess import Assessment
from rodhand.book.work.box_order import order_now
from rodhand.book.yard.old_new import MAKE_UPS, is_new, new_rod
from rodhand.units import Figure, Standing

EXACT = 1e-6
"""A gap this small is none. [-]"""
C, M, A = Standing.COMPUTED, Standing.MEASURED, Standing.ASSUMED


def notes_of(
    assessment: Assessment, view: RodOrderView, of: RigCase, work: PlaceWork, chosen: Arranged,
    priced: bool, needed: int, length_known: bool,
) -> tuple[Sentence, ...]:  # fmt: skip
    """What the order rests on, and what to do first."""
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
    unbroken = not_broken_in(assessment, chosen.todo.order[:needed])
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


def not_broken_in(assessment: Assessment, keys: Sequence[str]) -> list[str]:
    """Names of new rods that have not been made up often enough to work."""
    things = [assessment.book.things[key] for key in keys]
    return [each.name for each in things if is_new(assessment, each)
            and new_rod(assessment, each).make_ups < MAKE_UPS]  # fmt: skip


def proved_of(own: str, plan: Arranged, all_row_orders: bool) -> Sentence:
    """How surely a plan is the least."""
    gap = {"gap": Figure(f"{own}.gap", plan.gap, "fine_share", C)}
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
