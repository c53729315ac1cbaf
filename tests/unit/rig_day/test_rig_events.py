"""Events in one press: what is kept, which rods, which looks, and what follows in the book."""

from __future__ import annotations

from pathlib import Path

import pytest
from rig_day_book import BORE, RIG, kept, tell

from book_builder import ROD_TYPE
from rodhand.book.entry.pressed import take_back
from rodhand.book.rig.rig_events import (
    IN_ONE_PRESS,
    EventAnswer,
    add_details,
    events_view,
    press_event,
)
from rodhand.book.tasks.event_tasks import event_tasks
from rodhand.book.tasks.standings import all_standings
from rodhand.book.work.assess import assess
from rodhand.book.work.box_of import NoSuchRigError
from rodhand.book.work.event_checks import event_checks
from rodhand.book.work.tables import data_rows
from rodhand.faults import BadInputError
from rodhand.record.journal import Journal

TWELVE = len((*RIG, *BORE))
SEVEN = tuple(f"M-0{n}" for n in range(1, 8))


def answered(folder: Path, entry: str) -> EventAnswer:
    answer = events_view(folder, "Rig-40", entry=entry).answer
    assert answer is not None
    return answer


def test_one_press_is_on_disk_with_moment_and_station(folder: Path) -> None:
    entry = press_event(folder, "rig-40", "jerk")
    assert kept(folder, TWELVE) == [
        ("event", {"bore": "B1", "pass": "pilot", "station": "7", "what": "jerk"})
    ]
    with Journal.open(folder, write=False) as journal:
        last = journal.entries()[-1]
    assert last.id == entry
    assert last.happened[:16] == last.entered[:16]


@pytest.mark.parametrize("what", ["torque spike", "jerk", "pressure drop", "break"])
def test_the_whole_string_is_concerned(folder: Path, what: str) -> None:
    answer = answered(folder, press_event(folder, "Rig-40", what))
    assert (answer.names, answer.which, answer.known) == (SEVEN, "string", "by row")
    assert answer.others == ("HD-1", "SS-1")
    assert (
        answer.figures["joints"].value == 8.0
    )  # six between rods, one to the head, one to the sub


def test_a_weep_concerns_the_two_rods_next_to_the_rig(folder: Path) -> None:
    answer = answered(folder, press_event(folder, "Rig-40", "weep"))
    assert (answer.names, answer.others) == (("M-06", "M-07"), ("SS-1",))
    assert answer.figures["joints"].value == 2.0  # between them, and to the saver sub


def test_a_joint_that_would_not_torque_up_is_a_make_up(folder: Path) -> None:
    answer = answered(folder, press_event(folder, "Rig-40", "no torque"))
    assert kept(folder, TWELVE) == [
        ("makeup", {"bore": "B1", "pass": "pilot", "from_station": "7", "to_station": "7",
                    "result": "would not torque up"})
    ]  # fmt: skip
    assert answer.names == ("M-06", "M-07")
    assert answer.looks[0].item == "box-swell"


def test_rods_are_told_as_sure_as_the_box_was_known(tmp_path: Path) -> None:
    loose = [*RIG[:-1], ("load", {"rig": "Rig-40", "things": "S1", "how": "set only"})]
    tell(tmp_path, (*loose, *BORE))
    answer = answered(tmp_path, press_event(tmp_path, "Rig-40", "jerk"))
    assert (len(answer.names), answer.known) == (12, "set only")


def test_where_nobody_wrote_how_many_came_out_the_whole_string_counts(folder: Path) -> None:
    tell(folder, [("pass", {"bore": "B1", "pass": "pullback", "what": "pullback"})])
    view = events_view(folder, "Rig-40")
    assert (view.at.pass_name, view.at.station) == ("pullback", None)
    entry = press_event(folder, "Rig-40", "jerk")
    assert "station" not in kept(folder)[-1][1]
    assert answered(folder, entry).names == SEVEN


def test_details_come_after_and_keep_the_moment(folder: Path) -> None:
    bare = press_event(folder, "Rig-40", "torque spike")
    assert add_details(folder, bare, {"torque_ftlb": "", "note": " "}) == bare
    full = add_details(folder, bare, {"torque_ftlb": "4600", "station": "6", "note": "rock"})
    answer = answered(folder, full)
    assert (answer.torque, answer.note, answer.names) == ("4600 ftlb", "rock", SEVEN[:6])
    with Journal.open(folder, write=False) as journal:
        first, second, strike = journal.entries()[-3:]
        assert (first.happened, strike.payload["entry"]) == (second.happened, bare)
        assert len(journal.book().bores["B1"].events) == 1


def test_a_press_is_taken_back_and_stays_in_the_record(folder: Path) -> None:
    entry = press_event(folder, "Rig-40", "weep")
    take_back(folder, entry)
    assert not events_view(folder, "Rig-40").newest
    assert [kind for kind, _ in kept(folder, TWELVE)] == ["event", "strike"]
    bore = kept(folder)[7][0]
    assert bore == "bore"
    with Journal.open(folder, write=False) as journal:
        of_bore = journal.entries()[7].id
    with pytest.raises(BadInputError, match="press_unknown"):
        take_back(folder, of_bore)


@pytest.mark.parametrize(
    ("what", "code"), [("sneeze", "event_what"), ("utility strike", "event_what")]
)
def test_what_has_no_button_is_refused(folder: Path, what: str, code: str) -> None:
    with pytest.raises(BadInputError, match=code):
        press_event(folder, "Rig-40", what)
    assert len(kept(folder)) == TWELVE


def test_a_rig_without_a_bore_keeps_nothing(tmp_path: Path) -> None:
    tell(tmp_path, RIG)
    with pytest.raises(BadInputError, match="event_no_bore"):
        press_event(tmp_path, "Rig-40", "jerk")
    with pytest.raises(NoSuchRigError):
        press_event(tmp_path, "Rig-41", "jerk")
    assert len(kept(tmp_path)) == len(RIG)


def test_before_the_first_rod_no_rod_is_concerned(tmp_path: Path) -> None:
    tell(tmp_path, (*RIG, BORE[0]))
    answer = answered(tmp_path, press_event(tmp_path, "Rig-40", "jerk"))
    assert (answer.names, answer.figures["station"].value) == ((), 0.0)
    with pytest.raises(BadInputError, match="event_no_station"):
        press_event(tmp_path, "Rig-40", "no torque")


def test_every_look_is_a_rule_with_its_source() -> None:
    rules = {row["key"] for row in data_rows("rules.csv")}
    assert {each.item for each in event_checks()} <= rules
    assert {each.event for each in event_checks()} == {*IN_ONE_PRESS, "no torque"}
    assert all(each.source for each in event_checks())
    assert {each.standing_of_number for each in event_checks()} <= {"READ", "PRACTICE"}


def _week(folder: Path) -> tuple[list[str], dict[str, str]]:
    with Journal.open(folder, write=False) as journal:
        assessment = assess(journal.book(), "2025-09-20")
    tasks = [f"{task.verdict.what.key} {len(task.things)}" for task in event_tasks(assessment)]
    named = {thing.name: key for key, thing in assessment.book.things.items()}
    return tasks, {name: all_standings(assessment)[key][0] for name, key in named.items()}


def test_an_event_asks_for_a_look_until_one_is_made(folder: Path) -> None:
    before = _week(folder)[1]["M-03"]
    event = {"bore": "B1", "pass": "pilot", "station": "7", "what": "jerk"}
    tell(folder, [("event", event)], "2025-09-10")
    tasks, standings = _week(folder)
    assert tasks == ["rig_event.jerk.what 9"]  # seven rods, the saver sub, the head
    assert (before, standings["M-03"], standings["M-08"]) == ("not looked at", "watch", before)
    look = {"things": "M-01..M-07, SS-1, HD-1", "item": "full-look", "found": "sound"}
    tell(folder, [("check", look)], "2025-09-12")
    tasks, standings = _week(folder)
    assert (tasks, standings["M-03"]) == ([], before)


def test_a_spike_with_its_torque_is_weighed_against_the_make_up(folder: Path) -> None:
    spike = {"bore": "B1", "pass": "pilot", "station": "7", "what": "torque spike"}
    tell(folder, [("event", spike)], "2025-09-10")
    assert _week(folder)[0] == ["rig_event.torque_spike.what 9"]
    over = f"{float(ROD_TYPE['makeup_ftlb']) + 400:g}"
    tell(folder, [("event", {**spike, "station": "6", "torque_ftlb": over})], "2025-09-10")
    assert _week(folder)[0] == [
        "rig_event.torque_spike.what 9"
    ]  # the other is told with its torque
