"""Room left for one rod: by hand, and what must hold of any."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.hole.limits import over_verdict
from rodhand.hole.room_left import room_left


def test_ten_percent_on_ten_feet_by_hand() -> None:
    """10 % over 3.048 m is R 30.48 m and 0.1 rad; both readings 0.0025: s = 0.0025 sqrt 2 =
    0.003536, 1.645 of it 0.005816 off: 0.09418."""
    found = room_left(3.048, 30.48, 0.0025, 0.0025)
    assert found.limit == pytest.approx(0.1)
    assert found.error == pytest.approx(0.0035355, rel=1e-4)
    assert found.room == pytest.approx(0.1 - 1.64485 * 0.0035355, rel=1e-4)
    # three up and four across count as five
    assert found.sideways(0.6 * found.room) == pytest.approx(0.8 * found.room)
    assert found.sideways(2.0 * found.room) == 0.0


def test_an_error_as_large_as_the_limit_leaves_nothing() -> None:
    assert room_left(3.0, 300.0, 0.02, 0.02).room == 0.0


@given(
    length=st.floats(0.5, 10.0), radius=st.floats(10.0, 500.0),
    before=st.floats(0.0, 0.01), after=st.floats(1e-4, 0.01),
)  # fmt: skip
def test_a_change_within_the_room_is_no_over_steer(
    length: float, radius: float, before: float, after: float
) -> None:
    found = room_left(length, radius, before, after)
    if found.room > 0.0:
        assert over_verdict(0.999 * found.room, found.limit, found.error) == "no"
        assert over_verdict(1.01 * found.room + 1e-9, found.limit, found.error) != "no"


@given(st.floats(1.0, 5.0), st.floats(20.0, 200.0), st.floats(0.0, 0.01))
def test_a_worse_reading_or_a_tighter_limit_never_gives_room(
    length: float, radius: float, error: float
) -> None:
    found = room_left(length, radius, error, error)
    assert room_left(length, radius, error + 0.001, error).room <= found.room
    assert room_left(length, radius * 1.1, error, error).room <= found.room
    assert math.isclose(found.sideways(0.0), found.room)


@pytest.mark.parametrize(
    ("length", "radius", "error"), [(0.0, 30.0, 0.0), (3.0, 0.0, 0.0), (3.0, 30.0, -1.0)]
)
def test_what_cannot_be_is_refused(length: float, radius: float, error: float) -> None:
    with pytest.raises(ValueError, match="must"):
        room_left(length, radius, error, 0.0)
