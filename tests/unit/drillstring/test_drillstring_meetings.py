"""Mates follow from the order of the string and from which way the pins look."""

from __future__ import annotations

import pytest

from rodhand.drillstring.meetings import (
    Meeting,
    joints_under_torque,
    meetings_along,
    saver_meetings,
    string_at_station,
)

RODS = tuple(f"M1-{n:02d}" for n in range(1, 37))


def test_pins_toward_the_head_sit_in_the_box_of_the_thing_ahead() -> None:
    joints = meetings_along(("head", "a", "b", "saver"), "head")
    assert joints == (Meeting("a", "head"), Meeting("b", "a"), Meeting("saver", "b"))


def test_pins_toward_the_rig() -> None:
    assert meetings_along(("head", "a", "b"), "rig") == (Meeting("head", "a"), Meeting("a", "b"))


def test_a_spike_at_station_21_went_through_22_joints() -> None:
    """Bore B-2 of the scenario: the head's and the saver sub's joint are among them."""
    joints = joints_under_torque(RODS, 21, "head", "saver", "head")
    assert len(joints) == 22
    assert joints[0] == Meeting("M1-01", "head")
    assert joints[-1] == Meeting("saver", "M1-21")
    assert not any("M1-22" in (j.pin_of, j.box_of) for j in joints)


def test_the_saver_sub_meets_every_rod() -> None:
    joints = saver_meetings(RODS, "saver", "head")
    assert [j.box_of for j in joints] == list(RODS)
    assert {j.pin_of for j in joints} == {"saver"}


def test_mate_of_one_end() -> None:
    joint = Meeting("b", "a")
    assert joint.mate_of("a", "box") == ("b", "pin")
    assert joint.mate_of("b", "pin") == ("a", "box")
    assert joint.mate_of("a", "pin") is None
    assert joint.mate_of("c", "pin") is None


def test_more_rods_than_there_are() -> None:
    with pytest.raises(ValueError, match="station 37"):
        string_at_station(RODS, 37)
