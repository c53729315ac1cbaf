"""What each choice after an over-steer costs: the same as a book in which it was drilled."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pytest

from book_builder import Row, build_book
from rodhand.book.rig.over_steer_choices import Ahead, Choice, choices
from rodhand.book.work.assess import Assessment, assess
from rodhand.hole.way_around import Place

TODAY = "2025-09-30"
LENGTH = 3.048
ROOM = 0.07


@dataclass(frozen=True)
class Case:
    """One invented over-steer: pitches drilled, the end wanted, rods pulled back.

    ``heading`` is empty where none was read.
    """

    pitch: tuple[float, ...]
    heading: tuple[float, ...]
    wanted: float
    rods: int
    to_drill: int
    back: int


def case(seed: int) -> Case:
    """A bore of 6 to 9 rods whose last but one bend is 1.2 to 2 times a limit of 0.08; every second
    one with headings read from the line."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(6, 10))
    turn = rng.normal(0.0, 0.015, count)
    turn[-2] = rng.choice([-1.0, 1.0]) * rng.uniform(0.10, 0.16)
    pitch = -0.2 + np.cumsum(turn)
    rods = int(rng.integers(2, 4))
    heading = np.cumsum(rng.normal(0.0, 0.01, count)) if seed % 2 else np.zeros(0)
    return Case(
        tuple(pitch.tolist()), tuple(heading.tolist()), float(rng.uniform(-0.1, 0.1)), rods,
        rods + int(rng.integers(0, 3)), 2,
    )  # fmt: skip


Ends = list[tuple[float, float | None]]


def row(station: int, pitch: float, heading: float | None) -> Row:
    said = {"bore": "A", "station": f"{station}", "pitch_pct": repr(100.0 * math.tan(pitch)),
            "rpm": "100", "rotating_min": "5"}  # fmt: skip
    if heading is not None:
        said |= {"heading_deg": repr(math.degrees(heading)), "heading_ref": "relative"}
    return ("reading", said, "2025-09-10")


def ends_of(one: Case) -> Ends:
    """Pitch and heading at the end of each rod drilled."""
    return [(pitch, one.heading[n] if one.heading else None) for n, pitch in enumerate(one.pitch)]


def book_with(ends: Ends, left: int = 0, then: Ends | None = None) -> Assessment:
    """A book of some rods, and of those drilled anew from station ``left`` where there are any."""
    head: Row = ("bore", {"bore": "A", "rig": "Rig-40"}, "2025-09-10")
    load: Row = ("load", {"rig": "Rig-40", "things": "SET-M1", "how": "by row"}, "2025-09-01")
    rows = [row(n, *each) for n, each in enumerate(ends, 1)]
    if then is not None:
        said = {"bore": "A", "to_station": f"{left}", "turned": "no"}
        rows.append(("redrill", said, "2025-09-10"))
        rows += [row(n, *each) for n, each in enumerate(then, left + 1)]
    return assess(build_book([load, head, *rows]), TODAY)


def ahead_of(one: Case) -> Ahead:
    headings = np.array(one.heading or np.zeros(len(one.pitch)))
    level = LENGTH * np.cos(one.pitch)
    columns = (
        np.cumsum(level * np.cos(headings)), np.cumsum(level * np.sin(headings)),
        np.cumsum(-LENGTH * np.sin(one.pitch)), one.pitch, headings,
    )  # fmt: skip
    places = tuple(Place(*map(float, each)) for each in zip(*columns, strict=True))
    end = places[-1].depth - LENGTH * one.rods * math.sin((one.pitch[-1] + one.wanted) / 2)
    return Ahead(
        places, Place(0.0, places[-1].offset, end, one.wanted, 0.0), ROOM, LENGTH, one.rods,
        one.to_drill, bool(one.heading),
    )  # fmt: skip


def drilled(one: Case, choice: Choice) -> dict[str, float]:
    """Life used by a book in which the choice was entered row by row."""
    headings = choice.run.heading[1:].tolist() if one.heading else [None] * one.to_drill * 9
    ahead = list(zip(choice.run.pitch[1:].tolist(), headings, strict=False))
    if choice.back:
        after = book_with(ends_of(one), len(one.pitch) - choice.back, ahead)
    else:
        after = book_with([*ends_of(one), *ahead])
    return {
        key: history.life_of(history.bores[0]).worst.design
        for key, history in after.histories.items()
        if history.bores
    }


def worst_difference(seed: int) -> float:
    """Largest share by which a printed cost differs from the book's. [-]"""
    one = case(seed)
    now = book_with(ends_of(one))
    bore = now.book.bores["A"]
    worst = 0.0
    for choice in choices(now, bore, ahead_of(one), one.back):
        expected = {key: life for key, life in drilled(one, choice).items() if life > 0.0}
        assert expected
        assert {key for key, life in choice.life.items() if life > 0.0} == set(expected)
        worst = max(worst, *(abs(choice.life[key] / expected[key] - 1.0) for key in expected))
    return worst


@pytest.mark.parametrize("seed", range(4))
def test_the_cost_is_that_of_a_book_in_which_it_was_drilled(seed: int) -> None:
    assert worst_difference(seed) < 1e-6


def test_carrying_on_is_never_first_and_pulled_back_rods_are_spared() -> None:
    one = case(1)
    now = book_with(ends_of(one))
    found = choices(now, now.book.bores["A"], ahead_of(one), one.back)
    assert [each.code for each in found][-1] == "carry_on"
    by_code = {each.code: each for each in found}
    # Nobody passes the bend again: the rods that follow take less than where it stays.
    followers = list(by_code["ease"].life)[-1:]
    assert all(by_code["pull_back"].life[key] < by_code["carry_on"].life[key] for key in followers)
    assert [each.code for each in choices(now, now.book.bores["A"], ahead_of(one), 0)] == [
        "ease", "carry_on",
    ]  # fmt: skip
