"""What looks leave standing: words, numbers, and what clears them."""

from __future__ import annotations

import pytest

from rodhand.advice.looks import Dressed, Look, standing_findings, words_in
from rodhand.book.work.in_force import default_rules, default_words

WORDS, RULES = default_words(), default_rules()
INCH = 0.0254
JOINT_OD = 2.75 * INCH


def findings(*looks: Look, dressed: tuple[Dressed, ...] = ()) -> list[tuple[str, str]]:
    made = standing_findings(looks, dressed, WORDS, RULES, JOINT_OD)
    return [(each.finding, each.standing) for each in made]


def look(found: str, item: str = "galling", when: str = "2025-09-05", **more: float | str) -> Look:
    return Look("e", when, item, found, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("typed", "findings"),
    [
        ("sound", []),
        ("light galling", ["light galling"]),
        ("slight galling", ["light galling"]),
        ("Galled", ["galled"]),
        ("faced past the bench mark", ["bench mark gone"]),
        ("jaw bite on the tube", ["jaw bite"]),
        ("hairline crack at last thread", ["crack"]),
        ("cracked, and nicks on the shoulder", ["crack", "shoulder nick"]),
        ("good threads but a crack in the box", ["crack"]),
        ("a bit muddy", []),
        # a word said not to be there is not there
        ("no cracks", []),
        ("no sign of galling, not bent", []),
        ("not galled but cracked", ["crack"]),
        # part of another word is not the word
        ("nothing found", []),
        ("same thing as last week", []),
        ("elbow room on the rack", []),
    ],
)
def test_words(typed: str, findings: list[str]) -> None:
    found = {word.finding for word in words_in(typed, WORDS) if word.standing}
    assert sorted(found) == findings


def test_two_diameters_apart_are_an_oval_joint() -> None:
    """Common practice, no source: 0.04 in apart after a pipe wrench; 0.03 in is our line."""
    apart = look("not round", "joint-od", reading=2.75 * INCH, second_reading=2.71 * INCH)
    close = look("not round", "joint-od", reading=2.75 * INCH, second_reading=2.73 * INCH)
    assert findings(apart) == [("oval joint", "set aside")]
    assert findings(close) == []


def test_a_box_that_grew_below_its_line_is_watched_and_above_it_set_aside() -> None:
    first = look("sound", "box-swell", "2025-08-29", reading=2.600 * INCH)
    grown = look("sound", "box-swell", "2025-09-12", reading=2.620 * INCH)
    swollen = look("sound", "box-swell", "2025-09-12", reading=2.640 * INCH)
    assert findings(first, grown) == [("grown box", "watch")]
    assert findings(first, swollen) == [("grown box", "set aside")]  # over 1/32 in


def test_a_joint_worn_by_more_than_a_tenth() -> None:
    """READ: a trade journal gives 10 to 15 % loss as opening the way to failure."""
    assert findings(look("sound", "joint-od", reading=0.89 * JOINT_OD)) == [
        ("worn joint", "set aside")
    ]
    assert findings(look("sound", "joint-od", reading=0.91 * JOINT_OD)) == []


def test_dressing_clears_what_can_be_dressed() -> None:
    galled = look("light galling", end="pin")
    other_end = Dressed("2025-09-06", "dressed", "box")
    same_end = Dressed("2025-09-06", "dressed", "pin")
    assert findings(galled, dressed=(other_end,)) == [("light galling", "dress")]
    assert findings(galled, dressed=(same_end,)) == []


def test_what_needs_cutting_is_cleared_by_the_cut_and_never_by_a_look() -> None:
    cracked = look("crack", "crack-hunt")
    sound = look("sound", "crack-hunt", "2025-10-01")
    assert findings(cracked, sound) == [("crack", "set aside")]
    assert findings(cracked, dressed=(Dressed("2025-09-09", "re-cut"),)) == []


@pytest.mark.parametrize(
    ("later", "cleared"),
    [
        (look("sound", "shoulder", "2025-09-08"), True),
        (look("ok", "shoulder", "2025-09-08"), True),
        (look("sound", "shoulder", "2025-09-05"), False),  # the same day: cannot be ordered
        (look("sound", "galling", "2025-09-08"), False),
        (look("sound", "shoulder", "2025-09-08", end="box"), False),
        (look("could not see, muddy", "shoulder", "2025-09-08"), False),
        (look("sound but for the nick", "shoulder", "2025-09-08"), False),
    ],
)
def test_a_nick_is_cleared_by_a_later_look_that_says_sound(later: Look, cleared: bool) -> None:
    left = findings(look("nick", "shoulder"), later)
    assert (("shoulder nick", "dress") not in left) is cleared


@pytest.mark.parametrize("found", ["galled", "washed", "bent", "crack", "oval", "belled"])
def test_a_look_never_brings_back_what_was_set_aside(found: str) -> None:
    """Standing gets better only by a person with a reason, or by the work it needs."""
    first = look(found, "full-look")
    assert [asked for _, asked in findings(first, look("sound", "full-look", "2025-12-01"))] == [
        "set aside"
    ]


def test_work_clears_nothing_when_nobody_knows_which_came_first() -> None:
    when_unknown = look("light galling", when="")
    assert findings(when_unknown, dressed=(Dressed("2025-09-06", "dressed"),))


def test_small_steps_of_growth_add_up() -> None:
    """0.004 in a look is within the gauge; eight of them are 0.032 in, past 1/32 in (0.031)."""
    looks = [
        look("sound", "box-swell", f"2025-09-{n:02d}", reading=(2.6 + 0.004 * n) * INCH)
        for n in range(1, 10)
    ]
    assert findings(*looks[:2]) == []
    assert findings(*looks[:3]) == [("grown box", "watch")]
    assert findings(*looks)[-1] == ("grown box", "set aside")


def test_a_re_cut_box_starts_its_growth_anew() -> None:
    before = look("sound", "box-swell", "2025-09-01", reading=2.600 * INCH)
    after = look("sound", "box-swell", "2025-09-20", reading=2.640 * INCH)
    cut = Dressed("2025-09-10", "re-cut", "box")
    assert findings(before, after) == [("grown box", "set aside")]
    looks = [Look("e", x.when, x.item, x.found, "box", x.reading) for x in (before, after)]
    assert findings(*looks, dressed=(cut,)) == []
