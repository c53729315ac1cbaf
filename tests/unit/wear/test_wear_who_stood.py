"""Places to rods: exact where marked, shared where not; saying less never narrows a band."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.wear.who_stood import Group, WhoStood, one_to_one, shares, slipped

TURNS = np.array([600.0, 400.0, 300.0, 100.0])


def test_marked_rods_take_their_place_exactly() -> None:
    found = shares(one_to_one("abcd", WhoStood.MARKED), TURNS, TURNS, TURNS)
    assert [float(found[r].best) for r in "abcd"] == [600, 400, 300, 100]
    assert all(found[r].low == found[r].high for r in "abcd")


def test_candidates_share_after_a_slip() -> None:
    """Places 2 and 3 in doubt: best (400 + 300)/2, low 300, high 400; the others stay exact."""
    found = shares(slipped("abcd", [2, 3]), TURNS, TURNS, TURNS)
    for rod in "bc":
        share = found[rod]
        assert (float(share.low), float(share.best), float(share.high)) == (300, 350, 400)
    assert (found["a"].low, found["a"].high) == (600, 600)
    assert slipped("abcd", []) == one_to_one("abcd", WhoStood.BY_ROW)


def test_known_by_set_only_takes_the_mean_and_always_the_worst() -> None:
    """Five rods, four places: best 1400/5; low nothing, for it may have stayed in the box."""
    group = Group(tuple("abcde"), (1, 2, 3, 4), WhoStood.SET_ONLY)
    share = shares([group], TURNS, TURNS, TURNS)["e"]
    assert (float(share.low), float(share.best), float(share.high)) == (0, 280, 600)
    assert share.known is WhoStood.SET_ONLY


def test_a_band_of_each_place_is_kept() -> None:
    group = Group(("a", "b"), (1, 2), WhoStood.UNKNOWN)
    share = shares([group], [1.0, 2.0], [3.0, 5.0], [9.0, 6.0])["a"]
    assert (float(share.low), float(share.best), float(share.high)) == (1, 4, 9)


def test_sections_are_shared_one_by_one() -> None:
    damage = np.array([[1.0, 5.0], [3.0, 1.0]])
    share = shares([Group(("a", "b"), (1, 2), WhoStood.UNKNOWN)], damage, damage, damage)["a"]
    assert share.high.tolist() == [3, 5]
    assert share.best.tolist() == [2, 3]


@st.composite
def strings(draw: st.DrawFn) -> tuple[list[Group], list[Group], np.ndarray]:
    """A string told exactly or in groups, the same told with less, and values of the places."""
    places = draw(st.integers(1, 12))
    values = np.array(draw(st.lists(st.floats(0, 1e4), min_size=places, max_size=places)))
    cut = draw(st.lists(st.integers(0, 3), min_size=places, max_size=places))
    spare = draw(st.integers(0, 3))
    groups = []
    for label in sorted(set(cut)):
        where = tuple(p + 1 for p in range(places) if cut[p] == label)
        extra = tuple(f"spare{k}" for k in range(spare)) if label == max(cut) else ()
        groups.append(Group((*(f"r{p}" for p in where), *extra), where, WhoStood.BY_ROW))
    less = draw(st.integers(0, len(groups) - 1))
    rods = tuple(r for g in groups[less:] for r in g.rods)
    held = tuple(p for g in groups[less:] for p in g.places)
    return groups, [*groups[:less], Group(rods, held, WhoStood.SET_ONLY)], values


@given(strings())
def test_saying_less_never_narrows_a_band(
    told: tuple[list[Group], list[Group], np.ndarray],
) -> None:
    more, less, values = told
    exact, vague = shares(more, values, values, values), shares(less, values, values, values)
    for rod, share in exact.items():
        assert vague[rod].low <= share.low
        assert vague[rod].high >= share.high


@given(strings())
def test_what_the_rods_take_is_what_the_places_gave(
    told: tuple[list[Group], list[Group], np.ndarray],
) -> None:
    for groups in told[:2]:
        found = shares(groups, told[2], told[2], told[2])
        assert sum(float(s.best) for s in found.values()) == pytest.approx(told[2].sum())
        for share in found.values():
            slack = 1e-9 * (1 + share.high)
            assert share.low - slack <= share.best <= share.high + slack


@pytest.mark.parametrize(
    ("groups", "message"),
    [
        ([Group(("a",), (1,), WhoStood.MARKED)], "hold places"),
        (
            [Group(("a",), (1,), WhoStood.MARKED), Group(("a",), (2,), WhoStood.MARKED)],
            "two groups",
        ),
    ],
)
def test_a_string_told_badly_is_refused(groups: list[Group], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        shares(groups, [1.0, 2.0], [1.0, 2.0], [1.0, 2.0])


def test_fewer_rods_than_places_is_refused() -> None:
    with pytest.raises(ValueError, match="cannot fill"):
        Group(("a",), (1, 2), WhoStood.SET_ONLY)
    with pytest.raises(ValueError, match="twice"):
        Group(("a", "a"), (1, 2), WhoStood.SET_ONLY)
    with pytest.raises(ValueError, match="not in a string"):
        slipped("ab", [3])
