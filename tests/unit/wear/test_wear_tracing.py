"""A bad end names the ends it met since it was last seen sound."""

from __future__ import annotations

from rodhand.drillstring.meetings import Meeting, saver_meetings
from rodhand.wear.tracing import DatedMeeting, direct_mates
from rodhand.wear.who_stood import WhoStood

MARKED, BY_ROW = WhoStood.MARKED, WhoStood.BY_ROW


def _dated(order: int, pin: str, box: str, box_known: WhoStood = MARKED) -> DatedMeeting:
    return DatedMeeting(order, f"B-{order}", Meeting(pin, box), MARKED, box_known)


def test_a_galled_saver_sub_names_the_rods_it_met() -> None:
    rods = ("r1", "r2", "r3")
    met = [
        DatedMeeting(1, "B-1", joint, MARKED, BY_ROW)
        for joint in saver_meetings(rods, "saver", "head")
    ]
    mates = direct_mates(met, "saver", "pin")
    assert [(m.key, m.end) for m in mates] == [("r1", "box"), ("r2", "box"), ("r3", "box")]
    assert {m.known for m in mates} == {BY_ROW}
    assert direct_mates(met, "saver", "box") == ()


def test_only_meetings_after_last_sound_and_before_found_bad() -> None:
    met = [_dated(1, "s", "a"), _dated(2, "s", "b"), _dated(3, "s", "c"), _dated(4, "s", "d")]
    assert [m.key for m in direct_mates(met, "s", "pin", last_sound=1, found_bad=3)] == ["b", "c"]
    assert len(direct_mates(met, "s", "pin")) == 4


def test_the_surest_first_and_meetings_counted() -> None:
    met = [
        _dated(1, "s", "a", WhoStood.SET_ONLY),
        _dated(2, "s", "b", BY_ROW),
        _dated(3, "s", "b"),
        _dated(4, "x", "a"),
    ]
    first, second = direct_mates(met, "s", "pin")
    assert (first.key, first.known, first.meetings, first.first, first.last) == (
        "b", MARKED, 2, 2, 3,
    )  # fmt: skip
    assert (second.key, second.known) == ("a", WhoStood.SET_ONLY)
