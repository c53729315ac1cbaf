"""The sequence of pitches: levels, comes out, and stays under the cap."""

from __future__ import annotations

import math
from itertools import pairwise
from random import Random

import pytest

from rodhand.demo.diary import marks_text
from rodhand.demo.profile import CAP, CAREFUL, HARD, ORDINARY, Style, drilled, over_steered
from rodhand.demo.scenario import rig_kit
from rodhand.record.marks import expand_marks


def change(one: float, other: float) -> float:
    """Change of direction between two pitches. [rad]"""
    return abs(math.atan(other / 100) - math.atan(one / 100))


@pytest.mark.parametrize("style", [CAREFUL, ORDINARY, HARD], ids=lambda style: style.name)
@pytest.mark.parametrize("rig", ["Rig-12", "Rig-40", "Rig-100"])
@pytest.mark.parametrize("seed", range(10))
def test_a_bore_levels_and_comes_out(style: Style, rig: str, seed: int) -> None:
    kit = rig_kit(rig)
    bore = drilled(Random(seed), kit, style, 36)
    pitches = (bore.entry, *bore.pitch)
    assert all(change(a, b) <= CAP * kit.limit_angle + 1e-9 for a, b in pairwise(pitches))
    assert -kit.entry_pct[1] <= bore.entry <= -kit.entry_pct[0]
    assert bore.depth[-1] == 0.0
    assert min(bore.depth[:-1]) >= 0.0
    assert max(bore.depth) < 8.0
    assert bore.pitch[-1] > 0.0
    assert abs(len(bore.pitch) - 36) <= 6


def test_over_steered_on_one_rod_only() -> None:
    kit = rig_kit("Rig-40")
    bore = drilled(Random(1), kit, ORDINARY, 36)
    over = over_steered(bore, kit, 3, 1.3)
    changes = [change(a, b) for a, b in pairwise(over.pitch)]
    past = [index + 2 for index, each in enumerate(changes) if each > kit.limit_angle]
    assert past == [3]
    # 1.3 of the limit, rounded up to the tenth of a percent
    assert 0 <= changes[1] / kit.limit_angle - 1.3 < 0.02


@pytest.mark.parametrize(
    ("marks", "text"),
    [
        (["M1-01"], "M1-01"),
        (["M1-09", "M1-10", "M1-11"], "M1-09..M1-11"),
        (["S1-60", "S1-01", "S1-02"], "S1-60, S1-01..S1-02"),
        (["M1-40", "M2-01"], "M1-40, M2-01"),
    ],
)
def test_marks_as_a_crew_types_them(marks: list[str], text: str) -> None:
    assert marks_text(marks) == text
    assert list(expand_marks(text)) == marks
