"""Readings against limits, by hand from the published wear limits; worse never stands better."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.advice.card import NewSizes, Taken, held_against, was_straight
from rodhand.advice.card_readings import impossible, unlikely
from rodhand.advice.fitness import ORDER, worse
from rodhand.advice.looks import Dressed, Look, standing_findings
from rodhand.advice.rules import Rule, rules_from_rows
from rodhand.book.work.in_force import default_words
from rodhand.book.work.tables import data_rows
from rodhand.steel.straightness import bow_by_line

INCH = 0.0254
NEW = NewSizes(
    joint_od=4.75 * INCH, joint_bore=2.6875 * INCH, joint_length=0.25, tube_od=3.5 * INCH,
    wall=0.368 * INCH, length=6.0, counterbore=4.078125 * INCH,
)  # fmt: skip
RULES = rules_from_rows(data_rows("rules.csv"))
TURNED_ON = {key: replace(rule, standing_of_number="OWNER") for key, rule in RULES.items()}
TURNED_ON["straightness"] = replace(TURNED_ON["straightness"], limit=2.0)
WORDS = default_words()
ITEMS = {
    # item: (a reading when new, the worse direction)
    "pin-lead": (0.0, 1.0), "shoulder": (0.0001, 1.0), "box-swell": (4.078125 * INCH, 1.0),
    "joint-od": (4.75 * INCH, -1.0), "jaw-bite": (0.05, -1.0), "tube-od": (3.5 * INCH, -1.0),
    "tube-wall": (0.368 * INCH, -1.0), "straightness": (0.0, 1.0),
}  # fmt: skip


def look(item: str, reading: float, **more: object) -> Look:
    bow = {"method": "line", "span": 6.0} if item == "straightness" else {}
    return Look("e", "2026-01-02", item, "measured", "box", reading, **(bow | more))  # type: ignore[arg-type]


def standing(looks: list[Look], rules: dict[str, Rule], dressings: Sequence[Dressed] = ()) -> str:
    worst = "fit"
    for each in standing_findings(looks, dressings, WORDS, rules, NEW.joint_od, NEW):
        worst = worse(worst, each.standing)
    return worst


@pytest.mark.parametrize(
    ("item", "good", "bad", "finding"),
    [
        # API RP 7G-2 (from memory): lead out by 0.006 in over 2 in
        ("pin-lead", 0.006 * INCH, 0.0061 * INCH, "stretched pin"),
        # one connection maker (READ): 1/32 in = 0.031 in deep
        ("shoulder", 0.031 * INCH, 0.032 * INCH, "deep mark"),
        # API RP 7G-2 (from memory): counterbore 1/32 in over nominal; 4.0781 + 0.031 = 4.1091 in
        ("box-swell", 4.109 * INCH, 4.110 * INCH, "swollen box"),
        # API RP 7G-2 (from memory): 97 % of 3.5 in = 3.395 in left
        ("tube-od", 3.396 * INCH, 3.394 * INCH, "worn tube"),
        # premium lower bound (READ): 80 % of 0.368 in = 0.2944 in left
        ("tube-wall", 0.2945 * INCH, 0.2943 * INCH, "thin wall"),
        # common practice: 13 mm clear of the shoulder
        ("jaw-bite", 0.013, 0.0129, "jaw mark"),
        # an owner's 2 mm in a metre over 6 m: 12 mm
        ("straightness", 0.012, 0.0121, "bow"),
    ],
)
def test_published_limits_by_hand(item: str, good: float, bad: float, finding: str) -> None:
    taken = Taken((good,), 0.0, "line", 6.0)
    past = held_against(item, taken, TURNED_ON[item].limit or 0.0, "watch", NEW)
    assert past is not None
    assert past.state == "inside"
    assert standing([look(item, good, gauge_error=0.0)], TURNED_ON) == "fit"
    found = standing_findings(
        [look(item, bad, gauge_error=0.0)], (), WORDS, TURNED_ON, NEW.joint_od, NEW
    )
    assert [each.finding for each in found] == [finding]


def test_a_published_number_decides_nothing_until_it_is_taken_on() -> None:
    for item, reading in (("pin-lead", 0.02), ("tube-wall", 0.1), ("tube-od", 3.0)):
        assert standing([look(item, reading * INCH)], RULES) == "fit"


def test_inside_only_by_the_error_of_the_gauge_is_watched() -> None:
    """0.0055 in with an error of 0.001 in may be 0.0065, past 0.006."""
    near = look("pin-lead", 0.0055 * INCH, gauge_error=0.001 * INCH)
    found = standing_findings([near], (), WORDS, TURNED_ON, NEW.joint_od, NEW)
    assert [(each.finding, each.standing) for each in found] == [("near limit", "watch")]


def test_trade_figure_of_the_joint_counts_from_the_start() -> None:
    """10 % of 4.75 in (READ, trade journal) leaves 4.275 in."""
    assert standing([look("joint-od", 4.28 * INCH)], RULES) == "fit"
    assert standing([look("joint-od", 4.27 * INCH)], RULES) == "set aside"


@given(
    item=st.sampled_from(sorted(ITEMS)),
    steps=st.tuples(st.floats(0.0, 0.06), st.floats(0.0, 0.06)),
    second=st.floats(0.0, 0.001),
    error=st.one_of(st.none(), st.floats(0.0, 0.002)),
    own=st.booleans(),
    before=st.sampled_from(["", "straight by eye", "measured"]),
)
def test_no_verdict_improves_when_a_reading_gets_worse(
    item: str, steps: tuple[float, float], second: float, error: float | None, own: bool,
    before: str,
) -> None:  # fmt: skip
    """Each item alone, its pair included, with and without limits of the owner's, with a past."""
    new, direction = ITEMS[item]
    rules = TURNED_ON if own else RULES
    earlier = []
    if before:
        said = "nothing found" if before == "straight by eye" else "measured"
        first = look(item, new, gauge_error=error)
        earlier = [replace(first, when="2026-01-01", found=said)]
        if before == "straight by eye":
            earlier = [replace(earlier[0], reading=None)]
    pair = item in ("joint-od", "tube-od")
    made = []
    for step in sorted(steps):
        reading = max(new + direction * step, 1e-4) if direction < 0 else new + step
        other = reading + second if pair else None
        made.append(
            standing(
                [*earlier, look(item, reading, second_reading=other, gauge_error=error)], rules
            )
        )
    assert ORDER.index(made[1]) >= ORDER.index(made[0])


@given(st.floats(-0.002, 0.002), st.floats(-0.002, 0.002), st.floats(0.0001, 0.002))
def test_near_a_limit_worse_never_stands_better(one: float, other: float, error: float) -> None:
    """Wall on both sides of 80 % of 0.368 in, within a few gauge errors of it."""
    limit = 0.8 * 0.368 * INCH
    known = [
        standing([look("tube-wall", limit - step, gauge_error=error)], TURNED_ON)
        for step in sorted((one, other))
    ]
    assert ORDER.index(known[1]) >= ORDER.index(known[0])


@given(st.floats(0.0, 0.01), st.floats(0.0, 0.01))
def test_a_gauge_with_a_larger_error_never_stands_better(one: float, other: float) -> None:
    small, large = sorted((one, other))
    reading = 0.0055 * INCH
    known = [
        standing([look("pin-lead", reading, gauge_error=error)], TURNED_ON)
        for error in (small, large)
    ]
    assert ORDER.index(known[1]) >= ORDER.index(known[0])


@given(st.floats(0.0, 0.02), st.floats(0.0, 0.02))
def test_a_box_that_grew_more_never_stands_better(one: float, other: float) -> None:
    small, large = sorted((one, other))
    first = replace(look("box-swell", NEW.counterbore or 0.0), when="2026-01-01")
    known = [
        standing([first, look("box-swell", (NEW.counterbore or 0.0) + step)], TURNED_ON)
        for step in (small, large)
    ]
    assert ORDER.index(known[1]) >= ORDER.index(known[0])


def test_bow_without_an_owners_limit() -> None:
    """6 mm over 6 m is 1.0 mm/m: no more than the eye misses; 9 mm is 1.5."""
    bowed = look("straightness", 0.009, gauge_error=0.001)
    straight = replace(look("straightness", 0.0), reading=None, method="", span=None,
                       found="nothing found", when="2026-01-01")  # fmt: skip
    assert standing([bowed], RULES) == "watch"
    assert standing([straight, bowed], RULES) == "set aside"
    by_eye = look("straightness", 0.006, gauge_error=0.0)
    assert standing([straight, by_eye], RULES) == "watch"
    assert standing([look("straightness", 0.001, gauge_error=0.001)], RULES) == "fit"
    mended = Dressed("2026-01-03", "straightened")
    assert not standing_findings([straight, bowed], (mended,), WORDS, RULES, None, NEW)


def test_straight_before_counts_growth_past_both_errors() -> None:
    """2 mm then 6 mm over 6 m, each known to sqrt(1.5) mm: 4 mm is more than 2.45 mm; 2 is not."""
    before = bow_by_line(0.002, 6.0, 0.001)
    assert was_straight(bow_by_line(0.006, 6.0, 0.001), [before])
    assert not was_straight(bow_by_line(0.004, 6.0, 0.001), [before])
    assert not was_straight(bow_by_line(0.006, 6.0, 0.001), [])


def test_of_two_people_the_stricter_stands_until_a_third_look() -> None:
    def said(day: str, found: str, by: str) -> Look:
        return Look("e" + day, f"2026-01-{day}", "shoulder", found, "pin", by=by)

    first, second = said("01", "nick", "ann"), said("02", "nothing found", "bob")
    third = said("03", "nothing found", "cy")
    assert standing([first], RULES) == "dress"
    assert standing([first, second], RULES) == "dress"
    assert standing([first, second, third], RULES) == "fit"
    assert standing([first, said("02", "nothing found", "ann")], RULES) == "fit"
    assert standing([said("01", "nothing found", "bob"), said("02", "nick", "ann")], RULES) == (
        "dress"
    )


def test_on_one_day_the_clock_or_one_device_tells_which_look_was_the_third() -> None:
    """Ann 9:00 a nick, Bob 9:20 and Cy 9:40 nothing: three looks of one Friday."""

    def said(clock: str, found: str, by: str, **more: object) -> Look:
        known = {"began": f"2026-01-02T{clock}", "ended": f"2026-01-02T{clock}"}
        return Look("e" + by, "2026-01-02", "shoulder", found, "pin", by=by, **(known | more))  # type: ignore[arg-type]

    first = said("09:00:00", "nick", "ann")
    second, third = said("09:20:00", "nothing found", "bob"), said("09:40:00", "sound", "cy")
    assert standing([first, second], RULES) == "dress"
    assert standing([first, second, third], RULES) == "fit"
    # In one minute only the entries of one device can be told apart.
    quick = [
        said("09:00:00", "nothing found", who, device="tablet", counter=at)
        for at, who in ((8, "bob"), (9, "cy"))
    ]
    on_tablet = said("09:00:00", "nick", "ann", device="tablet", counter=7)
    assert standing([on_tablet, *quick], RULES) == "fit"
    assert standing(
        [said("09:00:00", "nick", "ann", device="phone", counter=7), *quick], RULES
    ) == ("dress")
    # Of a day alone, or of a time before the finding, nobody knows that it came after.
    day = {"began": "2026-01-02T00:00:00", "ended": "2026-01-02T23:59:00"}
    assert standing([first, said("", "sound", "bob", **day), said("", "sound", "cy", **day)],
                    RULES) == "dress"  # fmt: skip
    assert standing([said("10:00:00", "nick", "ann"), second, third], RULES) == "dress"


def _at(clock: str, found: str, by: str, item: str = "shoulder") -> Look:
    known = (f"2026-01-02T{clock}", f"2026-01-02T{clock}")
    return Look("e" + clock, "2026-01-02", item, found, "pin", by=by, began=known[0],
                ended=known[1])  # fmt: skip


def test_on_one_day_nobody_named_is_somebody_else() -> None:
    first = _at("09:00:00", "nick", "")
    once, twice = _at("09:20:00", "sound", ""), _at("09:40:00", "sound", "")
    assert standing([first, once], RULES) == "dress"
    assert standing([first, once, twice], RULES) == "fit"
    named = _at("09:00:00", "nick", "ann")
    assert standing([named, _at("09:20:00", "sound", "ann")], RULES) == "fit"  # her own word
    bob = [_at("09:20:00", "sound", "bob"), _at("09:40:00", "sound", "bob")]
    assert standing([named, *bob], RULES) == "dress"  # the same second look twice
    later = replace(first, when="2026-03-01", found="sound", began="2026-03-01T08:00:00")
    assert standing([first, later], RULES) == "fit"


@pytest.mark.parametrize(
    ("began", "ended", "device", "counter", "left"),
    [
        ("11:00:00", "11:00:00", "", 0, "fit"),
        ("08:00:00", "08:00:00", "", 0, "dress"),  # dressed, then found again
        ("00:00:00", "23:59:00", "", 0, "dress"),  # of a day alone nobody knows
        ("09:00:00", "09:00:00", "a", 8, "fit"),
        ("09:00:00", "09:00:00", "a", 6, "dress"),
        ("09:00:00", "09:00:00", "b", 8, "dress"),
    ],
)
def test_only_work_after_a_look_mends_what_it_found(
    began: str, ended: str, device: str, counter: int, left: str
) -> None:
    look = replace(_at("09:00:00", "nick", "ann"), device="a", counter=7)
    day = "2026-01-02"
    work = Dressed(day, "dressed", "pin", f"{day}T{began}", f"{day}T{ended}", device, counter)
    assert standing([look], RULES, dressings=[work]) == left


LOOKS = st.lists(
    st.tuples(st.integers(1, 3), st.integers(0, 3), st.sampled_from(["", "ann", "bob", "cy"]),
              st.sampled_from(["nick", "sound"])),
    min_size=1, max_size=6,
)  # fmt: skip


@given(LOOKS, st.integers(0, 5))
def test_a_look_that_found_something_never_makes_it_stand_better(
    said: list[tuple[int, int, str, str]], place: int
) -> None:
    """One of the looks found a nick and not nothing: the rod stands no better for it."""
    looks = [
        Look(f"e{n}", f"2026-01-0{day}", "shoulder", found, "pin", by=by,
             began=f"2026-01-0{day}T0{hour}:00:00", ended=f"2026-01-0{day}T0{hour}:00:00",
             device="a", counter=n)
        for n, (day, hour, by, found) in enumerate(sorted(said, key=lambda row: row[:2]))
    ]  # fmt: skip
    at = place % len(looks)
    worse_looks = [*looks[:at], replace(looks[at], found="nick"), *looks[at + 1 :]]
    order = ["fit", "watch", "dress", "set aside"]
    better, worse = standing(looks, RULES), standing(worse_looks, RULES)
    assert order.index(worse) >= order.index(better)
    # The same looks of whom nobody knows the hour stand no better either.
    unsure = [
        replace(
            look, began=f"{look.when}T00:00:00", ended=f"{look.when}T23:59:00", device=look.entry
        )
        for look in looks
    ]
    assert order.index(standing(unsure, RULES)) >= order.index(better)


@pytest.mark.parametrize(
    ("item", "reading", "code"),
    [
        ("joint-od", 4.0 * INCH, "od_small"),  # inside the counterbore of 4.078 in
        ("joint-od", 6.0 * INCH, "od_large"),  # 1.25 x 4.75 = 5.94 in
        ("box-swell", 2.5 * INCH, "counterbore_small"),
        ("box-swell", 4.8 * INCH, "counterbore_large"),
        ("tube-od", 2.7 * INCH, "tube_small"),  # bore 3.5 - 2 x 0.368 = 2.764 in
        ("tube-wall", 1.75 * INCH, "wall_large"),
        ("pin-lead", 0.0508, "lead_large"),  # the whole 2 in typed
        ("shoulder", 0.25, "depth_large"),
        ("jaw-bite", 3.0, "jaw_large"),  # nearer the other end of a 6 m rod
        ("straightness", 1.5, "gap_large"),
    ],
)
def test_what_cannot_be_is_refused(item: str, reading: float, code: str) -> None:
    doubt = impossible(item, Taken((reading,), None, "line", 6.0), NEW)
    assert doubt is not None
    assert doubt.code == code
    new, _ = ITEMS[item]
    assert impossible(item, Taken((new,), None, "line", 6.0), NEW) is None


def test_what_is_unlikely_is_asked() -> None:
    above = unlikely("joint-od", Taken((4.9 * INCH,)), NEW)
    assert [each.code for each in above] == ["above_new"]
    before = Taken((0.0070,), 0.0001)
    grew = unlikely("tube-wall", Taken((0.0080,), 0.0001), NEW, before)
    assert [each.code for each in grew] == ["grew_back"]
    assert unlikely("tube-wall", Taken((0.0071,), 0.0001), NEW, before) == ()
    assert unlikely("joint-od", Taken((4.75 * INCH,)), NEW) == ()
