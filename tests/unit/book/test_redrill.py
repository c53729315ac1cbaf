"""A hole drilled anew: which rows belong to which hole, turns by hand, life used with the rest."""

from __future__ import annotations

import numpy as np
import pytest

from book_builder import Row, build_book, entries_of, log_rows
from rodhand.book.bore.bore_page import bore_view
from rodhand.book.why.rod import why_rod
from rodhand.book.work.assess import Assessment, assess
from rodhand.book.work.bore_work import BoreWork, work_until
from rodhand.book.yard.thing_page import thing_view
from rodhand.drillstring.ledger import book_turns
from rodhand.record.book_bores import BorePass
from rodhand.record.folding import with_more
from rodhand.record.reading_back import read_back, read_book

PITCHES = ["-20", "-18", "-14", "-9.5", "-2", "0", "0.4", "0.1", "2.1", "4"]
HEAD: tuple[Row, ...] = (
    ("load", {"rig": "Rig-40", "things": "M1-01..M1-40", "how": "by row"}, "2025-05-01"),
    ("bore", {"bore": "A", "rig": "Rig-40", "front_length_ft": "0", "bit_to_sensor_ft": "0"}),
)
NO_TURNS: Row = ("pass", {"bore": "A", "pass": "pullback", "what": "pullback", "turns": "0"})


def row(station: int, pitch: str, **more: str) -> dict[str, str]:
    return {"station": f"{station}", "length_ft": "10", "pitch_pct": pitch, "turns": "400", **more}


def rows(first: int = 1, last: int = 10, **more: str) -> list[Row]:
    return log_rows("A", [row(n, PITCHES[n - 1], **more) for n in range(first, last + 1)])


def anew(to: int, **more: str) -> Row:
    return ("redrill", {"bore": "A", "to_station": f"{to}", "turned": "no", **more})


def pilot_of(*told: Row) -> BorePass:
    found = build_book([*HEAD, *told]).bores["A"].pass_of("pilot")
    assert found is not None
    return found


def worked(*told: Row, pulled: Row = NO_TURNS) -> Assessment:
    return assess(build_book([*HEAD, *told, pulled]), "2025-06-06")


def stations(each: BorePass) -> list[float]:
    return [one.station for one in each.readings]


def test_rows_after_it_are_of_the_new_hole_and_nothing_is_lost() -> None:
    changed = log_rows("A", [row(8, "-1"), row(9, "-2")])
    for told in (
        [*rows(), anew(7), *changed],  # by the order they were told in
        [*rows(), *log_rows("A", [row(8, "-1", anew="1"), row(9, "-2", anew="1")]), anew(7)],
        [*rows(), *log_rows("A", [row(8, "-1", anew="1"), row(9, "-2", anew="1")])],  # no entry
    ):
        pilot = pilot_of(*told)
        assert stations(pilot) == [*range(1, 10)]
        assert [one.typed["pitch_pct"] for one in pilot.readings[7:]] == ["-1", "-2"]
        assert not any(one.alternatives for one in pilot.readings)
        (old,) = pilot.old_holes
        assert (old.number, old.left_at) == (1, 7)
        assert [one.typed["pitch_pct"] for one in old.rows] == PITCHES
        assert [one.station for one in old.abandoned] == [8, 9, 10]


def test_drilled_anew_twice_the_second_time_from_before_the_first() -> None:
    told = [
        *rows(), anew(7), *log_rows("A", [row(8, "-1"), row(9, "-2")]), anew(5),
        *log_rows("A", [row(6, "-3")]),
    ]  # fmt: skip
    pilot = pilot_of(*told)
    assert stations(pilot) == [1, 2, 3, 4, 5, 6]
    assert [[one.station for one in old.abandoned] for old in pilot.old_holes] == [
        [8, 9, 10], [6, 7, 8, 9],
    ]  # fmt: skip
    assert [one.typed["pitch_pct"] for one in pilot.old_holes[1].abandoned] == [
        "0", "0.4", "-1", "-2",
    ]  # fmt: skip


def test_what_is_read_later_of_the_part_kept_belongs_to_both_holes() -> None:
    late = log_rows("A", [{"station": "3", "heading_deg": "1"}])
    pilot = pilot_of(*rows(), anew(7), *log_rows("A", [row(8, "-1")]), *late)
    assert pilot.readings[2].heading is not None
    assert pilot.old_holes[0].rows[2].heading is not None


def test_struck_it_is_as_if_it_had_not_been_said() -> None:
    before = [*HEAD, *rows()]
    entries = entries_of([*before, anew(7)])
    struck = entries_of(
        [*before, anew(7), ("strike", {"entry": entries[-1].id, "why": "pressed by mistake"})]
    )
    assert read_book(struck).bores == read_book(entries[:-1]).bores
    # and folded in entry by entry it is the book read from scratch
    read = read_back(struck[:3])
    for entry in struck[3:]:
        read = with_more(read, [entry])
    assert read.book == read_book(struck)
    read = with_more(read_back(entries[:5]), entries[5:])
    assert read.book == read_book(entries)


def test_turns_by_hand_on_four_rods() -> None:
    """Rods of length L, 400 turns a row; at 4 rods pulled back to 2 and drilled anew.

    In the old hole the tool goes from 2 L to 4 L. The middle of the rod in place p is (p - 1/2) L
    behind it, and a row spreads 400 turns over L. Place 1 goes from 1.5 L to 3.5 L: 200 turns in
    the second rod's stretch, 400 in the third, 200 in the fourth. Place 3 joins with row 3 and
    goes from half a rod outside to 1.5 L: 200 outside, 400 in the first stretch, 200 in the second.
    """
    assessment = worked(*rows(1, 4), anew(2), *rows(3, 4))
    work = assessment.works["A"]
    (old,) = work.old_holes
    leg = old.passes[0].leg
    found = book_turns(leg, leg.order.lengths() / 2.0, np.arange(5) * 3.048).by_stretch
    by_hand = [[0, 200, 400, 200], [200, 400, 200, 0], [400, 200, 0, 0], [200, 0, 0, 0]]
    assert found == pytest.approx(np.array(by_hand, float), abs=1e-6)
    assert old.passes[1].leg.travel.total == 0.0
    # turns in the string by rod: pilot 1,600 1,600 1,200... row by row; old hole 800 800 800 400
    turns = {
        name: history.bores[0].turns
        for key, history in assessment.histories.items()
        if history.bores and (name := assessment.book.things[key].name)
    }
    assert turns == {"M1-01": 2400, "M1-02": 2000, "M1-03": 1600, "M1-04": 800}


def test_turns_given_are_turns_booked() -> None:
    """Written for the pilot as a whole they are shared by all the hole drilled, left or not."""
    plain = [
        (kind, {c: v for c, v in said.items() if c != "turns"}, *when)
        for kind, said, *when in (*rows(1, 6), anew(4), *rows(5, 6))
    ]
    whole: Row = ("pass", {"bore": "A", "pass": "pilot", "what": "pilot", "turns": "8000"})
    work = worked(*plain, whole).works["A"]  # type: ignore[arg-type]
    given = [each.turns.best for each, _ in work.in_every_hole if each.what == "pilot"]
    assert given == pytest.approx([6000.0, 2000.0])


def design(damage: object) -> np.ndarray:
    return np.asarray(damage.design)  # type: ignore[attr-defined]


@pytest.mark.parametrize("left_at", [3, 7, 9])
def test_the_same_hole_again_is_the_same_path_and_costs_the_extra_passes(left_at: int) -> None:
    once = worked(*rows())
    again = worked(*rows(), anew(left_at), *rows(left_at + 1, 10))
    one, two = once.works["A"], again.works["A"]
    assert one.hole.path is not None
    assert two.hole.path is not None
    assert np.array_equal(one.hole.path.positions, two.hole.path.positions)
    # The extra drilling by another way: the whole pilot less the pilot until where it was left.
    cut = until(once, one, left_at)
    extra = design(one.damages[0]) - cut
    (old,) = two.old_holes
    assert design(old.damages[0]) == pytest.approx(extra, rel=1e-9, abs=1e-15)
    for key, history in once.histories.items():
        if not history.bores:
            continue
        place = history.bores[0].places[0]
        got = sum(
            each.design for each in again.histories[key].counting(again.histories[key].bores[0])
        )
        was = sum(each.design for each in history.counting(history.bores[0]))
        assert got == pytest.approx(was + extra[place - 1], rel=1e-9, abs=1e-15)


def until(assessment: Assessment, work: BoreWork, left_at: int) -> np.ndarray:
    at = float(work.hole.stations[left_at])
    cut = work_until(work, "pilot", at, assessment.curves, assessment.conditions["A"])
    return design(cut.damages[0])


def test_pulled_back_turning_costs_more_and_nothing_said_is_not_nothing() -> None:
    costs = {}
    pulled: Row = (NO_TURNS[0], {**NO_TURNS[1], "turns": "9000"})  # the rig's habit, 300 a metre
    for said in ("no", "yes", ""):
        one = anew(4)
        payload = {**one[1], "turned": said} if said else {"bore": "A", "to_station": "4"}
        assessment = worked(*rows(), ("redrill", payload), *rows(5, 10), pulled=pulled)
        costs[said] = assessment.histories[
            assessment.book.thing_named("M1-01").key  # type: ignore[union-attr]
        ].life.worst
    assert costs["no"].design < costs["yes"].design
    assert costs[""].low < costs["yes"].low
    assert costs[""].design == pytest.approx(costs["yes"].design)


def test_another_rod_read_in_the_new_hole_leaves_the_old_one_with_its_own() -> None:
    """M1-10 was in place 10 of the old hole; a rod of another mark took that place after it."""
    new = [
        *rows(8, 9), *log_rows("A", [row(10, "4", rod="M1-30")]),
    ]  # fmt: skip
    assessment = worked(*rows(), anew(7), *new)
    key = {name: assessment.book.thing_named(name).key for name in ("M1-10", "M1-30")}  # type: ignore[union-attr]
    assert assessment.histories[key["M1-10"]].bores[0].passes == (
        "old hole 1", "old hole 1, back",
    )  # fmt: skip
    assert assessment.histories[key["M1-30"]].bores[0].turns == 400.0


def test_pages_of_a_rod_that_stood_only_in_the_hole_left_behind() -> None:
    """Ten rods in the old hole, eight in the new one: rods 9 and 10 keep what they took."""
    assessment = worked(*rows(), anew(7), *rows(8, 8))
    thing = assessment.book.thing_named("M1-10")
    assert thing is not None
    assert assessment.histories[thing.key].bores[0].turns == 400.0
    assert thing_view(assessment, "M1-10").name == "M1-10"
    assert bore_view(assessment, "A").old_holes[0].rows[-1].station == 10
    assert why_rod(assessment, "M1-10") is not None
