"""A plan and the utilities in its way, as typed: kept, kept and asked about, or refused whole."""

from __future__ import annotations

import math

import pytest

from rodhand.record.planned import Plan
from rodhand.record.validate import read_payload

PLAN = {"plan": "B-9", "distance_m": "60", "entry_pitch_pct": "-25", "exit_pitch_pct": "20"}
UTILITY = {
    "plan": "B-9", "utility": "main", "what": "gas", "how": "located", "at_ft": "100",
    "depth_top_ft": "4", "size_in": "6",
}  # fmt: skip


def codes(kind: str, payload: dict[str, str]) -> tuple[list[str], list[str]]:
    read = read_payload(kind, payload)
    return [each.code for each in read.faults], [each.code for each in read.flags]


def test_a_plan_is_read_in_base_units() -> None:
    values = read_payload("plan", PLAN).values
    assert values["entry_pitch"] == pytest.approx(-math.atan(0.25))
    metres = read_payload("utility", UTILITY).values
    assert metres["at"] == pytest.approx(30.48)
    assert metres["size"] == pytest.approx(0.1524)


def test_all_that_is_wrong_with_a_plan_is_told_at_once() -> None:
    wrong = PLAN | {
        "distance_m": "0", "cover_m": "2", "cover_from_m": "30", "cover_to_m": "20",
        "pitches": "-25 steep", "product_radius_m": "0",
    }  # fmt: skip
    faults, _ = codes("plan", wrong)
    assert sorted(faults) == [
        "plan_chosen", "plan_cover_order", "plan_cover_outside", "plan_cover_outside",
        "plan_targets", "plan_zero", "plan_zero",
    ]  # fmt: skip


@pytest.mark.parametrize("unit", ["m", "ft"])
def test_places_of_the_cover_are_told_as_typed(unit: str) -> None:
    """What was typed, in its unit, and what is needed: fault by column."""
    typed = {"cover_m": "2", f"cover_from_{unit}": "40", f"cover_to_{unit}": "20"}
    faults = read_payload("plan", PLAN | typed).faults
    told = [(each.column, each.found, each.values) for each in faults]
    shown = {"m": ("20.00\u00a0m", "40.00\u00a0m"), "ft": ("20.0\u00a0ft", "40.0\u00a0ft")}[unit]
    assert told == [(f"cover_to_{unit}", shown[0], {"start": shown[1]})]


def test_cover_places_without_a_cover_are_refused() -> None:
    assert codes("plan", PLAN | {"cover_from_m": "10"})[0] == ["plan_cover_missing"]


def test_targets_need_as_many_headings_as_pitches() -> None:
    good = PLAN | {"chosen": "own", "pitches": "-25 -20 -10", "headings": "0 1 2"}
    assert codes("plan", good) == ([], [])
    assert codes("plan", good | {"headings": "0 1"})[0] == ["plan_headings"]


def test_targets_become_angles() -> None:
    plan = Plan(None, "A", 60.0, -0.2, 0.2, pitches="-25; 0 100", headings="0 -90 45")  # type: ignore[arg-type]
    assert plan.target_pitches == pytest.approx((-math.atan(0.25), 0.0, math.pi / 4))
    assert plan.target_headings == pytest.approx((0.0, -math.pi / 2, math.pi / 4))


@pytest.mark.parametrize(
    ("change", "flag"),
    [
        ({"distance_m": "6000"}, "plan_odd"),
        ({"cover_m": "200"}, "plan_odd"),
        ({"entry_pitch_pct": "70"}, "entry_steep"),
    ],
)
def test_what_is_odd_is_kept_and_asked_about(change: dict[str, str], flag: str) -> None:
    assert codes("plan", PLAN | change) == ([], [flag])


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"to_ft": "120"}, "utility_across"),
        ({"runs": "along"}, "utility_offset"),
        ({"runs": "along", "offset_ft": "-6", "to_ft": "90"}, "utility_order"),
        ({"how": "potholed seen", "depth_top_ft": ""}, "utility_seen_depth"),
        ({"size_in": "0"}, "plan_zero"),
        ({"how": "guessed"}, "entry_choice"),
        ({"at_ft": "-5"}, "entry_negative"),
    ],
)
def test_a_utility_that_cannot_be_is_refused(change: dict[str, str], fault: str) -> None:
    assert codes("utility", UTILITY | change) == ([fault], [])


def test_a_distance_under_common_practice_is_kept_and_asked_about() -> None:
    assert codes("utility", UTILITY | {"allowance_ft": "0.5"}) == ([], ["utility_near"])
