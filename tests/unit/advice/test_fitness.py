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


def found(name: str, asked: str, when: str = "2025-11-02", entry: str = "e1") -> Finding:
    return Finding(name, asked, when, entry, "full-look")


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


RELEASED = Given("fit", "2025-11-03", "crack test by the firm: scratch", frozenset({"e1", "B-2"}))


def test_a_persons_word_covers_what_was_known_and_nothing_else() -> None:
    cracked = found("crack", "set aside", "2025-11-02")
    state = replace(FRESH, findings=(cracked,), given=RELEASED)
    assert standing(state) == "fit"
    later = found("galled", "set aside", "2025-11-05", entry="e2")
    assert standing(replace(state, findings=(cracked, later))) == "set aside"
    # older than the word, and typed after it: nobody knew of it
    typed_late = found("galled", "set aside", "2025-10-20", entry="e3")
    assert standing(replace(state, findings=(cracked, typed_late))) == "set aside"


def test_a_persons_word_covers_the_bores_known() -> None:
    over = Happening("over-steer", "2025-11-02", "B-2", 1.4, "share")
    other = Happening("over-steer", "2025-11-02", "B-9", 1.4, "share")
    assert standing(replace(FRESH, happenings=(over,), given=RELEASED)) == "fit"
    assert standing(replace(FRESH, happenings=(other,), given=RELEASED)) == "watch"


@pytest.mark.parametrize(
    ("then", "now", "asked"),
    [
        # (design, recorded) known when "fit" was said, and now
        ((1.1, 1.1), (1.2, 1.2), "fit"),
        ((0.6, 0.6), (1.2, 1.2), "set aside"),
        ((0.2, 0.2), (0.4, 0.4), "watch"),
        # a declared past was known; that the record alone comes over the line was not
        ((1.2, 0.2), (1.3, 0.3), "fit"),
        ((1.2, 0.2), (2.1, 1.1), "set aside"),
        # a struck bore takes life back: nothing got worse
        ((1.1, 1.1), (0.6, 0.6), "fit"),
    ],
)
def test_a_persons_word_is_passed_by_a_new_line_of_life(
    then: tuple[float, float], now: tuple[float, float], asked: str
) -> None:
    state = replace(
        FRESH, design=now[0], recorded=now[1], given=RELEASED, design_when_given=then[0],
        recorded_when_given=then[1],
    )  # fmt: skip
    assert standing(state) == asked


def test_a_persons_word_is_not_taken_for_one_about_a_road() -> None:
    state = replace(
        FRESH, design=0.8, recorded=0.8, given=RELEASED, design_when_given=0.8,
        recorded_when_given=0.8,
    )  # fmt: skip
    assert standing(state) == "fit"
    assert standing(state, under=True) == "set aside"


def test_a_persons_fit_goes_out_of_date_like_a_look() -> None:
    """DEFINITIONS: fit needs a look within its due time; due here after 30.4 days."""
    old = replace(FRESH, last_full_look="", given=replace(RELEASED, when="2025-10-10"))
    assert standing(old) == "not looked at"
    assert standing(replace(old, last_full_look="2025-11-10")) == "fit"
    assert standing(replace(old, given=replace(RELEASED, when=""))) == "not looked at"


@pytest.mark.parametrize("given", ["watch", "dress", "set aside", "scrap"])
def test_what_a_person_gave_stands_until_another_person(given: str) -> None:
    state = replace(FRESH, given=Given(given, "2025-01-01", "why"), last_full_look="2025-11-13")
    assert standing(state) == given


def test_a_happening_waits_for_a_full_look() -> None:
    spike = Happening("over-torque", "2025-11-05", "B-2", 7050.0, "torque")
    assert standing(replace(FRESH, happenings=(spike,))) == "watch"
    looked = replace(FRESH, happenings=(spike,), last_full_look="2025-11-06")
    assert standing(looked) == "fit"
    # on the same day, or on a day nobody knows, the look may have come before
    assert standing(replace(looked, last_full_look="2025-11-05")) == "watch"
    some_day = replace(spike, when="")
    assert standing(replace(looked, happenings=(some_day,))) == "watch"


def test_reasons_stand_worst_first() -> None:
    state = replace(FRESH, design=0.4, findings=(found("light galling", "dress"),))
    asked, reasons = standing_of(state, LINES, TODAY, DUE)
    assert asked == "dress"
    assert [reason.standing for reason in reasons] == ["dress", "watch"]


ASKED = st.sampled_from(["watch", "dress", "set aside"])
ENTRIES = st.sampled_from(["e1", "e2", "e3"])
FINDINGS = st.builds(lambda asked, entry: found("x", asked, entry=entry), ASKED, ENTRIES)
HAPPENINGS = st.builds(
    lambda day, bore: Happening("over-steer", day, bore, 1.2, "share"),
    st.sampled_from(["", "2025-10-31", "2025-11-10"]), st.sampled_from(["B-1", "B-2"]),
)  # fmt: skip
DAYS = ("2025-09-01", "2025-10-30", "2025-11-10")
GIVEN = st.builds(
    Given,
    st.sampled_from(ORDER), st.sampled_from(["", *DAYS]), st.just("why"),
    st.frozensets(st.sampled_from(["e1", "e2", "B-1"])),
)  # fmt: skip


@st.composite
def states(draw: st.DrawFn) -> RodState:
    recorded, past = draw(st.floats(0.0, 2.0)), draw(st.floats(0.0, 2.0))
    given = draw(st.none() | GIVEN)
    share = draw(st.floats(0.0, 1.0))
    return RodState(
        design=recorded + past, recorded=recorded, known_share=draw(st.floats(0.0, 1.0)),
        findings=draw(st.lists(FINDINGS, max_size=3)),
        happenings=draw(st.lists(HAPPENINGS, max_size=2)),
        last_full_look=draw(st.sampled_from(["", *DAYS])), given=given,
        design_when_given=(recorded + past) * share if given else None,
        recorded_when_given=recorded * share if given else None,
    )  # fmt: skip


@given(states(), st.floats(0.0, 2.0), FINDINGS, HAPPENINGS, st.booleans())
def test_no_standing_improves_when_anything_gets_worse(
    state: RodState, more: float, finding: Finding, happening: Happening, under: bool
) -> None:
    before = ORDER.index(standing(state, under))
    design, recorded = (state.design or 0.0) + more, (state.recorded or 0.0) + more
    looks = ["", *DAYS]
    older = looks[max(looks.index(state.last_full_look) - 1, 0)]
    worse = (
        replace(state, design=design, recorded=recorded),
        replace(state, design=design),
        replace(state, findings=(*state.findings, finding)),
        replace(state, happenings=(*state.happenings, happening)),
        replace(state, last_full_look=older),
        replace(state, known_share=state.known_share / 2),
        replace(state, given=replace(state.given, covers=frozenset())) if state.given else state,
    )
    for each in worse:
        assert ORDER.index(standing(each, under)) >= before
    assert ORDER.index(standing(state, under=True)) >= ORDER.index(standing(state))


@given(states())
def test_nothing_computed_is_scrap_and_fit_is_earned(state: RodState) -> None:
    asked, reasons = standing_of(state, LINES, TODAY, DUE)
    assert reasons
    if asked == "scrap":
        assert state.given is not None
        assert state.given.standing == "scrap"
    if asked == "fit":
        looks = [state.last_full_look, state.given.when if state.given else ""]
        assert max(looks) >= "2025-10-15"  # 30 days before today
        assert state.known_share >= 0.8 or state.given is not None
