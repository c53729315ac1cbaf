"""Where a rod stands: thresholds, looks, happenings, and what a person said."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.advice.fitness import ORDER, Given, Happening, RodState, by_life, standing_of
from rodhand.advice.looks import Finding
from rodhand.advice.rules import Thresholds

LINES = Thresholds()
TODAY = "2025-11-14"
DUE = 30.4
FRESH = RodState(design=0.1, recorded=0.1, known_share=1.0, last_full_look="2025-11-01")


def standing(state: RodState, under: bool = False) -> str:
    return standing_of(state, LINES, TODAY, DUE, under)[0]


def found(name: str, asked: str, when: str = "2025-11-02") -> Finding:
    return Finding(name, asked, when, "e1", "full-look")


@pytest.mark.parametrize(
    ("design", "recorded", "under", "asked"),
    [
        # the table of DEFINITIONS, "Standing (thresholds on design, ours)"
        (0.29, 0.29, False, ""),
        (0.30, 0.30, False, "watch"),
        (0.50, 0.50, False, "watch"),
        (0.99, 0.99, False, "watch"),
        (1.00, 1.00, False, "set aside"),
        (0.70, 0.70, True, "set aside"),
        (0.69, 0.69, True, "watch"),
        # a declared past alone asks for a look and sets nothing aside (docs/choices.md)
        (5.00, 0.30, False, "watch"),
        (None, None, False, ""),
    ],
)
def test_lines_on_the_design_value(
    design: float | None, recorded: float | None, under: bool, asked: str
) -> None:
    assert by_life(design, recorded, LINES, under)[1] == asked


def test_fit_needs_a_look_in_time_and_known_history() -> None:
    assert standing(FRESH) == "fit"
    assert standing(replace(FRESH, last_full_look="")) == "not looked at"
    assert standing(replace(FRESH, last_full_look="2025-10-01")) == "not looked at"
    assert standing(replace(FRESH, known_share=0.79)) == "not looked at"


def test_a_persons_word_covers_what_was_known_and_nothing_later() -> None:
    cracked = found("crack", "set aside", "2025-11-02")
    released = Given("fit", "2025-11-03", "crack test by the firm: scratch")
    state = replace(FRESH, findings=(cracked,), given=released)
    assert standing(state) == "fit"
    later = found("galled", "set aside", "2025-11-05")
    assert standing(replace(state, findings=(cracked, later))) == "set aside"


def test_a_persons_word_is_passed_by_a_new_line_of_life() -> None:
    released = Given("fit", "2025-10-01", "looked it over")
    state = replace(FRESH, design=1.2, recorded=1.2, given=released)
    assert standing(replace(state, design_when_given=1.1)) == "fit"
    assert standing(replace(state, design_when_given=0.6)) == "set aside"


def test_a_happening_waits_for_a_full_look() -> None:
    spike = Happening("over-torque", "2025-11-05", "B-2", 7050.0, "torque")
    assert standing(replace(FRESH, happenings=(spike,))) == "watch"
    looked = replace(FRESH, happenings=(spike,), last_full_look="2025-11-06")
    assert standing(looked) == "fit"


def test_reasons_stand_worst_first() -> None:
    state = replace(FRESH, design=0.4, findings=(found("light galling", "dress"),))
    asked, reasons = standing_of(state, LINES, TODAY, DUE)
    assert asked == "dress"
    assert [reason.standing for reason in reasons] == ["dress", "watch"]


STANDINGS = st.sampled_from(["watch", "dress", "set aside"])
STATES = st.builds(
    RodState,
    design=st.floats(0.0, 3.0),
    recorded=st.just(0.0),
    known_share=st.floats(0.0, 1.0),
    findings=st.lists(STANDINGS.map(lambda asked: found("x", asked)), max_size=3),
    last_full_look=st.sampled_from(["", "2025-09-01", "2025-10-30", "2025-11-10"]),
)


@given(STATES, st.floats(0.0, 2.0), STANDINGS)
def test_no_standing_improves_when_anything_gets_worse(
    state: RodState, more: float, asked: str
) -> None:
    state = replace(state, recorded=state.design)
    before = ORDER.index(standing(state))
    worse = (
        replace(state, design=(state.design or 0) + more, recorded=(state.design or 0) + more),
        replace(state, findings=(*state.findings, found("y", asked))),
        replace(state, last_full_look=""),
        replace(state, known_share=state.known_share / 2),
    )
    assert all(ORDER.index(standing(each)) >= before for each in worse)
