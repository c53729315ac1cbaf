"""What looks leave standing: words, numbers, and what clears them."""

from __future__ import annotations

import pytest

from rodhand.advice.looks import Dressed, Look, standing_findings, word_for
from rodhand.book.assess import default_rules, default_words

WORDS, RULES = default_words(), default_rules()
INCH = 0.0254
JOINT_OD = 2.75 * INCH


def findings(*looks: Look, dressed: tuple[Dressed, ...] = ()) -> list[tuple[str, str]]:
    made = standing_findings(looks, dressed, WORDS, RULES, JOINT_OD)
    return [(each.finding, each.standing) for each in made]


def look(found: str, item: str = "galling", when: str = "2025-09-05", **more: float | str) -> Look:
    return Look("e", when, item, found, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("typed", "finding"),
    [
        ("sound", ""),
        ("light galling", "light galling"),
        ("Galled", "galled"),
        ("faced past the bench mark", "bench mark gone"),
        ("jaw bite on the tube", "jaw bite"),
        ("hairline crack at last thread", "crack"),
        ("a bit muddy", ""),
    ],
)
def test_words(typed: str, finding: str) -> None:
    word = word_for(typed, WORDS)
    assert (word.finding if word and word.standing else "") == finding


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


def test_a_later_sound_look_clears_a_nick() -> None:
    nick = look("nick", "shoulder")
    assert findings(nick) == [("shoulder nick", "dress")]
    assert findings(nick, look("sound", "shoulder", "2025-09-08")) == []
