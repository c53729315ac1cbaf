"""The ledger of bore B-2 against the figures fixed in the project's definitions [C].

They were computed outside the product: front length 0, turns = minutes x rpm, bend of row n on
interval n. A check of arithmetic, not of truth.
"""

from __future__ import annotations

import numpy as np
import pytest
from drillstring_bore_b2 import BEND, ROD_LENGTH, STATIONS, TURNS

from rodhand.drillstring.ledger import book_turns, turns_tighter_than, turns_where_unknown
from rodhand.drillstring.passes import Leg, PassKind, RodsOfBore, run_pass
from rodhand.drillstring.stood import Stood, stood_through
from rodhand.drillstring.string import Member
from rodhand.drillstring.travel import moment_at, pilot_travel, travel_until

RADII = (30.0, 50.0, 100.0, 200.0, 500.0)


@pytest.fixture
def pilot() -> Leg:
    rods = tuple(Member(f"M-{n:02d}", "rod", ROD_LENGTH) for n in range(1, 37))
    leg, _ = run_pass(RodsOfBore(at_rig=rods), PassKind.PILOT, pilot_travel(STATIONS, TURNS))
    return leg


@pytest.mark.parametrize(
    ("rod", "turns", "tighter"),
    [
        (1, 15890, (0, 320, 2930, 3345, 7530)),
        (22, 6270, (0, 540, 1995, 1995, 2410)),
        (33, 1460, (0, 215, 995, 995, 995)),
        (34, 1160, (0, 0, 630, 630, 630)),
    ],
)
def test_turns_and_turns_in_bends(
    pilot: Leg, rod: int, turns: float, tighter: tuple[float, ...]
) -> None:
    booked = book_turns(pilot, ROD_LENGTH / 2, STATIONS)
    assert booked.total[rod - 1] == pytest.approx(turns, abs=1e-6)
    found = turns_tighter_than(booked.by_stretch, BEND, RADII)[rod - 1]
    assert found == pytest.approx(tighter, abs=1e-6)


def test_nothing_turned_tighter_than_30_m_anywhere(pilot: Leg) -> None:
    booked = book_turns(pilot, ROD_LENGTH / 2, STATIONS)
    assert turns_tighter_than(booked.by_stretch, BEND, [30.0]).max() == 0
    assert 1 / BEND[3] == pytest.approx(32.35, abs=0.005)


def test_an_unknown_bend_is_counted_apart(pilot: Leg) -> None:
    booked = book_turns(pilot, ROD_LENGTH / 2, STATIONS)
    unread = BEND.copy()
    unread[3] = np.nan
    assert turns_tighter_than(booked.by_stretch, unread, [50.0])[0, 0] == 0
    assert turns_where_unknown(booked.by_stretch, unread)[0] == pytest.approx(320)


def test_who_turned_through_the_bend_at_station_4(pilot: Leg) -> None:
    stood = stood_through(pilot, STATIONS[3], STATIONS[4])
    assert stood[:32] == (Stood.PASSED,) * 32
    assert stood[32] is Stood.IN_IT
    assert stood[33:] == (Stood.NEVER,) * 3


def test_half_way_the_rest_still_comes_to_it(pilot: Leg) -> None:
    """Tool at station 20: rod 17 stands in interval 4 (20 - 17 = 3), 18 to 33 come to it later."""
    stood = stood_through(pilot, STATIONS[3], STATIONS[4], moment_at(pilot.travel, STATIONS[20]))
    assert stood[:16] == (Stood.PASSED,) * 16
    assert stood[16] is Stood.IN_IT
    assert stood[17:33] == (Stood.TO_COME,) * 16
    assert stood[33:] == (Stood.NEVER,) * 3


def test_the_ledger_at_the_last_position_is_the_whole_ledger(pilot: Leg) -> None:
    whole = book_turns(pilot, ROD_LENGTH / 2, STATIONS)
    cut = pilot.until(travel_until(pilot.travel, STATIONS[-1]))
    assert (book_turns(cut, ROD_LENGTH / 2, STATIONS).by_stretch == whole.by_stretch).all()


def test_the_ledger_at_station_5_and_a_half(pilot: Leg) -> None:
    """Rod 1's middle is 0.5 rod behind: it has half of row 4 and half of row 5 in interval 4.

    Rows 4 and 5 turned 220 and 420; at 5.5 rods rod 1 has left interval 4 for good: 110 + 210.
    """
    cut = pilot.until(travel_until(pilot.travel, 5.5 * ROD_LENGTH))
    booked = book_turns(cut, ROD_LENGTH / 2, STATIONS)
    assert booked.by_stretch[0, 3] == pytest.approx(320)
    assert booked.total[0] == pytest.approx(420 + 270 + 290 + 220 + 420 + 225)
    assert booked.total[6:].sum() == 0
