"""Where the five sections are and what they make of a bend (values of the definitions, model 1)."""

from __future__ import annotations

from dataclasses import replace

import pytest
from wear_steel import CURVES, ROD, WELDED

from rodhand.drillstring.passes import PassKind
from rodhand.wear.sections import (
    SECTIONS,
    Condition,
    MakeUp,
    counts_as_welded,
    local_factors,
    magnifications,
    positions,
    section_curves,
)


def test_five_sections_from_pin_to_box() -> None:
    assert [s.value for s in SECTIONS] == [
        "pin thread", "pin-side upset end", "mid tube", "box-side upset end", "box thread",
    ]  # fmt: skip


def test_positions_follow_the_pin() -> None:
    """A rod of 3 m with joints of 0.2 m at each end."""
    assert positions(3.0, 0.2, "head") == pytest.approx([0.0, 0.2, 1.5, 2.8, 3.0])
    assert positions(3.0, 0.2, "rig") == pytest.approx([3.0, 2.8, 1.5, 0.2, 0.0])


def test_factors_by_condition() -> None:
    assert local_factors(ROD, Condition()) == pytest.approx([0.30, 0.86, 1.0, 0.86, 0.30])
    worn = Condition(bite=True, pin_makeup=MakeUp.OPEN, box_makeup=MakeUp.KNOWN)
    assert local_factors(ROD, worn) == pytest.approx([1.0, 0.86, 1.5, 0.86, 0.23])


@pytest.mark.parametrize(
    ("build", "flash", "welded"),
    [
        ("one-piece", "unknown", False),
        ("friction-welded", "removed", False),
        ("friction-welded", "not removed", True),
        ("friction-welded", "unknown", True),
        ("unknown", "unknown", True),
    ],
)
def test_a_weld_counts_unless_its_flash_is_recorded_as_removed(
    build: str, flash: str, welded: bool
) -> None:
    rod = replace(ROD, build=build, weld_flash=flash)
    assert counts_as_welded(rod) is welded
    assert local_factors(rod, Condition())[1] == (0.60 if welded else 0.86)


def test_curves_of_the_sections() -> None:
    names = [c.name for c in section_curves(WELDED, CURVES)]
    assert names == ["category 50", "C air", "high strength", "C air", "category 50"]
    assert section_curves(ROD, CURVES)[1].name == "high strength"


def test_the_middle_is_never_magnified() -> None:
    assert list(magnifications(PassKind.PILOT)) == [1.1, 1.1, 1.0, 1.1, 1.1]
    for kind in (PassKind.REAM, PassKind.PRE_REAM, PassKind.PULLBACK):
        assert list(magnifications(kind)) == [1.25, 1.25, 1.0, 1.25, 1.25]
