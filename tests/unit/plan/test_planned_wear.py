"""A planned bore goes onward: booked without typing it again, its life by place worked."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from book_builder import build_book
from rodhand.book.bore.expected_wear import expected_wear
from rodhand.book.order.place_work import expected_work
from rodhand.book.plan.planned import asked_of, plan_named
from rodhand.book.plan.planned_bore import Steering, planned_bore, steering_of
from rodhand.book.plan.planned_wear import life_by_place, planned_wear, wear_of_path
from rodhand.book.work.assess import assess
from rodhand.book.work.booked import booked_work
from rodhand.hole.planned_path import own_path
from rodhand.record.book import Book

RODS, BEND = 16, 0.02
"""A hole that bends the same in every rod, as a change of grade."""
PITCHES = " ".join(f"{100 * math.tan(-0.24 + BEND * k):.2f}" for k in range(1, RODS + 1))
PLAN = {
    "plan": "P-1", "rig": "Rig-40", "rod_type": "R-M", "distance_m": "48.2",
    "entry_pitch_pct": f"{100 * math.tan(0.24):.2f}", "exit_pitch_pct": "20",
}  # fmt: skip
KEPT = PLAN | {"chosen": "own", "pitches": PITCHES}


def book_with(*more: tuple[str, dict[str, str], str]) -> Book:
    return build_book([
        ("plan", PLAN, "2026-04-01"), *more,
    ])  # fmt: skip


@pytest.fixture(scope="module")
def kept() -> Book:
    return book_with(("plan", KEPT, "2026-04-02"))


def test_a_kept_plan_is_booked_until_it_is_begun(kept: Book) -> None:
    assert booked_work(book_with()) == ()
    (bore,) = booked_work(kept)
    assert (bore.name, bore.rig) == ("P-1", "Rig-40")
    assert bore.length == pytest.approx(48.8, abs=0.2)  # 16 rods of 3.05 m, cut at the ground
    begun = book_with(
        ("plan", KEPT, "2026-04-02"),
        ("bore", {"bore": "P-1", "rig": "Rig-40"}, "2026-04-03"),
        ("reading", {"bore": "P-1", "station": "1", "pitch_pct": "-22"}, "2026-04-03"),
    )
    assert booked_work(begun) == ()
    other = book_with(
        ("plan", KEPT, "2026-04-02"),
        ("booked-bore", {"bore": "Lot 7", "rig": "Rig-40", "length_m": "50", "plan": "p-1"},
         "2026-04-03"),
    )  # fmt: skip
    assert [(each.name, each.length) for each in booked_work(other)] == [("Lot 7", 50.0)]


def test_life_of_an_even_curve_by_hand(kept: Book) -> None:
    """Leading rod: turns in all of the hole behind it, at the hole's own bend.

    D = turns (2 E r k J)^4.7 / 10^17.446, E 206 GPa, J = L/(L - Lj(1 - Ib/Ij)): stiff joints make
    the tube between them bend more. Where the rod also touches the wall moves it by a few percent,
    to the power 4.7.
    """
    plan = plan_named(kept, "P-1")
    assert plan is not None
    rod = asked_of(kept, plan).rod_type
    ask = asked_of(kept, plan).ask
    assert rod is not None
    assert ask is not None
    path = own_path(ask, np.array(plan.target_pitches), "kept")
    work = planned_bore(kept, plan, rod, path, Steering(0.0, 0))
    assert all(each.laid for each in work.powers)
    turned = sum(each.leg.travel.turns.sum() for each in work.passes)
    stiff = (rod.joint_od**4 - rod.joint_bore**4) / (
        rod.tube_od**4 - (rod.tube_od - 2 * rod.wall) ** 4
    )
    factor = rod.length / (rod.length - 2 * rod.joint_length * (1 - 1 / stiff))
    curvature = BEND / rod.length * factor
    stress = 2 * 206e3 * rod.tube_od / 2 * curvature
    by_hand = turned * stress**4.7 / 10**17.446
    middle = sum(each.design[0, 2] for each in work.damages)
    # the leading rod's middle stands half a rod behind the end of the hole
    assert middle == pytest.approx(by_hand, rel=0.35)


def test_more_steering_takes_more_and_it_is_told_when_it_is_assumed(kept: Book) -> None:
    plan = plan_named(kept, "P-1")
    assert plan is not None
    assert steering_of(kept, "Rig-40").bores == 0
    asked = asked_of(kept, plan)
    assert asked.rod_type is not None
    assert asked.ask is not None
    path = own_path(asked.ask, np.array(plan.target_pitches), "kept")

    def worst(wander: float) -> float:
        assert asked.rod_type is not None
        work = planned_bore(kept, plan, asked.rod_type, path, Steering(wander, 0))
        return float(sum(each.design for each in work.damages).max())

    assert worst(0.0) < worst(0.004) < worst(0.012)


def test_the_plan_is_what_order_and_forecast_are_given(kept: Book) -> None:
    assessment = assess(kept)
    (bore,) = booked_work(kept)
    assert bore.plan is not None
    wear = planned_wear(assessment, bore.plan)
    assert wear is not None
    assert wear.places == RODS
    expected = expected_wear(assessment, bore, RODS)
    assert expected is not None
    assert expected.by_plan
    assert expected.past == ()
    for place, part in enumerate(expected.places):
        assert part.best == pytest.approx(sum(c.best for c in wear.parts[place]))
        assert (expected.hard[place].design >= part.design).all()
    work = expected_work(assessment, "Rig-40", RODS, bore)
    assert work is not None
    assert work.plan == "P-1"
    assert work.added.shape == (RODS, 5)
    lives = life_by_place(wear)
    assert all(life.low < life.best < life.high for life in lives)
    # whatever passes most of the hole takes most
    design = [life.design for life in lives]
    assert design[0] == max(design)
    assert design[-1] < 0.5 * design[0]


def test_a_plan_no_path_of_which_is_possible_gives_nothing() -> None:
    book = build_book([("plan", PLAN | {"distance_m": "15"}, "2026-04-01")])
    plan = plan_named(book, "P-1")
    assert plan is not None
    assert planned_wear(assess(book), plan) is None


def test_parts_of_a_path_are_its_passes(kept: Book) -> None:
    plan = plan_named(kept, "P-1")
    assert plan is not None
    ask = asked_of(kept, plan).ask
    assert ask is not None
    path = own_path(ask, np.array(plan.target_pitches), "kept")
    wear = wear_of_path(kept, replace(plan, reams=2), path)
    assert len(wear.parts[0]) == 4
