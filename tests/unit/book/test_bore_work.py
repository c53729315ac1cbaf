"""Who stood where, passes nobody recorded, moments, and that rods take what places gave."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from book_builder import Row, build_book, log_rows
from rodhand.book.bore.bore_page import NoSuchBoreError, bore_view
from rodhand.book.tasks.standings import standing_of_thing
from rodhand.book.tasks.week import this_week
from rodhand.book.twin import twin
from rodhand.book.work.assess import Assessment, assess
from rodhand.book.work.bore_work import place_key
from rodhand.book.work.moments import moment_of, places_alone
from rodhand.book.work.rods_of_bore import rods_of_bore
from rodhand.book.yard.thing_page import NoSuchThingError, thing_view
from rodhand.wear.who_stood import WhoStood

PITCHES = ["-20", "-20", "-14", "-4.5", "-2", "0", "0.4", "0.1", "2.1", "4"]
DAY = "2025-06-01"


def readings(**more: str) -> list[dict[str, str]]:
    return [
        {"station": str(n), "length_ft": "10", "pitch_pct": pitch, "rotating_min": "4",
         "rpm": "100", **more}
        for n, pitch in enumerate(PITCHES, 1)
    ]  # fmt: skip


def bore(name: str = "A", day: str = DAY, **facts: str) -> Row:
    return ("bore", {"bore": name, "rig": "Rig-40", **facts}, day)


def load(things: str = "M1-01..M1-40", how: str = "by row", day: str = "2025-05-01") -> Row:
    return ("load", {"rig": "Rig-40", "things": things, "how": how}, day)


def pullback(name: str = "A", day: str = DAY, **facts: str) -> Row:
    return ("pass", {"bore": name, "pass": "pullback", "what": "pullback", **facts}, day)


def worked(*rows: Row, today: str = "2025-06-06") -> Assessment:
    return assess(build_book(rows), today)


def one(**facts: str) -> Assessment:
    return worked(load(), bore(**facts), *log_rows("A", readings()), pullback(turns="5000"))


def rod(assessment: Assessment, name: str):  # type: ignore[no-untyped-def]
    thing = assessment.book.thing_named(name)
    assert thing is not None
    return assessment.histories[thing.key]


def test_a_pullback_nobody_recorded_may_be_none_and_is_never_nought() -> None:
    known = one()
    unknown = worked(load(), bore(), *log_rows("A", readings()))
    alone = rod(known, "M1-01").bores[0].contributions[0]
    life = rod(unknown, "M1-01").life.worst
    index = [s.section for s in rod(unknown, "M1-01").life.sections].index(life.section)
    # best counts a way back, low does not: low is below the pilot's own low
    assert life.mean > float(alone.best[index])
    assert life.low < float(alone.low[index])
    assert [each.recorded for each in unknown.works["A"].passes] == [True, False]
    warnings = [w.key for w in bore_view(unknown, "A").warnings]
    assert "bore.warning.pass_not_recorded" in warnings


def test_rods_take_what_places_gave() -> None:
    for how in ("by row", "set only"):
        assessment = worked(
            load("SET-M1" if how == "set only" else "M1-01..M1-40", how), bore(),
            *log_rows("A", readings()), pullback(turns="5000"),
        )  # fmt: skip
        work, who = assessment.works["A"], assessment.who["A"]
        by_rod = rods_of_bore(work, who, DAY)
        by_place = places_alone(work, DAY)
        assert sum(b.turns for b in by_rod.values()) == pytest.approx(
            sum(b.turns for b in by_place.values())
        )
        for total in ("design", "best"):
            rods = sum(getattr(c, total) for b in by_rod.values() for c in b.contributions)
            places = sum(getattr(c, total) for b in by_place.values() for c in b.contributions)
            np.testing.assert_allclose(rods, places)


def test_set_only_never_narrows_the_band() -> None:
    exact = one()
    loose = worked(load("SET-M1", "set only"), bore(), *log_rows("A", readings()),
                   pullback(turns="5000"))  # fmt: skip
    for name in ("M1-01", "M1-05", "M1-10"):
        sure, unsure = rod(exact, name).life.worst, rod(loose, name).life.worst
        assert unsure.low <= sure.low
        assert unsure.high >= sure.high
    assert rod(loose, "M1-40").life.worst.high > 0.0


def test_a_mark_read_in_the_log_goes_before_the_load() -> None:
    rows = readings()
    rows[0]["rod"] = "M1-30"
    assessment = worked(load(), bore(), *log_rows("A", rows), pullback(turns="5000"))
    group = assessment.who["A"].at(1)
    assert group.known is WhoStood.MARKED
    assert assessment.book.things[group.rods[0]].name == "M1-30"


def test_a_slip_shares_the_doubt_between_the_two() -> None:
    slip: Row = ("slip", {"rig": "Rig-40", "bore": "A", "things": "M1-02, M1-09"}, DAY)
    exact, doubtful = (
        one(),
        worked(load(), bore(), *log_rows("A", readings()), pullback(turns="5000"), slip),
    )
    two, nine = rod(doubtful, "M1-02"), rod(doubtful, "M1-09")
    assert two.life.worst.design == pytest.approx(nine.life.worst.design)
    assert two.bores[0].places == (2, 9)
    assert two.life.worst.high >= rod(exact, "M1-02").life.worst.high
    assert rod(doubtful, "M1-03").life.worst == rod(exact, "M1-03").life.worst


def test_rods_beyond_the_load_are_nobody_and_dropped_from_no_place() -> None:
    assessment = worked(load("M1-01..M1-04"), bore(), *log_rows("A", readings()))
    assert assessment.who["A"].at(7).known is WhoStood.UNKNOWN
    assert places_alone(assessment.works["A"], DAY)[place_key(7)].turns > 0.0


def test_lead_rods_that_came_off_take_no_part_in_the_pullback() -> None:
    without = worked(load(), bore(), *log_rows("A", readings()),
                     pullback(turns="5000", lead_rods_off="2"))  # fmt: skip
    first = rod(without, "M1-01").bores[0]
    third = rod(without, "M1-03").bores[0]
    assert len([c for c in first.contributions if c.design.any()]) == 1
    assert len([c for c in third.contributions if c.design.any()]) == 2


def test_a_string_that_came_back_in_an_order_nobody_wrote_is_shared() -> None:
    """After the ream the rods are at the rig; how they went in for the pullback is not recorded."""
    ream: Row = ("pass", {"bore": "A", "pass": "ream", "what": "ream", "turns": "5000"}, DAY)
    assessment = worked(load(), bore(), *log_rows("A", readings()), ream, pullback(turns="5000"))
    assert [each.order_known for each in assessment.works["A"].passes] == [True, True, False]
    last = [rod(assessment, f"M1-{n:02d}").bores[0].contributions[2] for n in (1, 5, 10)]
    for other in last[1:]:
        np.testing.assert_allclose(other.best, last[0].best)
        np.testing.assert_allclose(other.high, last[0].high)
    assert (last[0].low <= last[0].best).all()
    assert (last[0].best <= last[0].high).all()
    warnings = [w.key for w in bore_view(assessment, "A").warnings]
    assert "bore.warning.order_not_recorded" in warnings


def test_the_end_of_the_last_pass_is_the_whole_bore() -> None:
    assessment = one()
    work = assessment.works["A"]
    end = moment_of(work, "pullback", None, assessment.curves, assessment.conditions["A"])
    whole = places_alone(work, DAY)
    for key, did in places_alone(end.work, DAY).items():
        assert did.turns == pytest.approx(whole[key].turns)


@pytest.mark.parametrize("share", [0.0, 0.33, 0.71, 1.0])
def test_at_a_moment_the_ledger_is_that_of_the_log_cut_there(share: float) -> None:
    """The figures at S equal an independent working of a log whose last row ends at S."""
    assessment = one()
    work = assessment.works["A"]
    at = 3.048 * (6 + share)
    now = moment_of(work, "pilot", at, assessment.curves, assessment.conditions["A"])
    turns = {key: did.turns for key, did in places_alone(now.work, DAY).items()}
    # by hand: rod k takes its own row whole and every row after it; 400 turns a row
    for place in range(1, 7):
        assert turns[place_key(place)] == pytest.approx(400 * (7 - place + share), abs=1e-6)
    view = bore_view(assessment, "A", "pilot", at)
    assert view.figures["at"].value == pytest.approx(at)
    assert view.rods[0].figures["turns"].value == pytest.approx(turns[place_key(1)])


def test_life_to_then_never_falls_as_the_tool_goes_on() -> None:
    assessment = one()
    design = [
        bore_view(assessment, "A", "pilot", 3.048 * n).rods[0].figures["life_used_design"].value
        for n in range(1, 11)
    ]
    assert all(b >= a for a, b in pairwise(design))  # type: ignore[operator]


def test_the_over_steer_is_told_with_its_rods_at_each_moment() -> None:
    assessment = one()
    early = bore_view(assessment, "A", "pilot", 3.048 * 3)
    assert early.over_steers == ()
    now = bore_view(assessment, "A", "pilot", 3.048 * 6).over_steers[0]
    assert (now.station, now.verdict) == (4.0, "over")
    assert now.passed == ("M1-01", "M1-02")
    assert now.in_it == ("M1-03",)
    assert now.to_come == ("M1-04", "M1-05", "M1-06", "M1-07")
    end = bore_view(assessment, "A").over_steers[0]
    assert end.passed == tuple(f"M1-{n:02d}" for n in range(1, 7))
    assert (end.in_it, end.to_come) == (("M1-07",), ())


def test_a_struck_look_counts_no_more_and_stays_in_the_history() -> None:
    from book_builder import YARD, entries_of
    from rodhand.record.reading_back import read_book

    crack: Row = ("check", {"things": "M1-01", "item": "crack-hunt", "found": "crack"}, DAY)
    rows = [*YARD, crack]
    entries = entries_of(rows)
    name = entries[-1].id
    struck = entries_of([*rows, ("strike", {"entry": name, "why": "wrong rod"}, DAY)])
    before = assess(read_book(entries), "2025-06-06", entries)
    after = assess(read_book(struck), "2025-06-06", struck)
    key = before.book.thing_named("M1-01").key  # type: ignore[union-attr]
    assert standing_of_thing(before, key)[0] == "set aside"
    assert standing_of_thing(after, key)[0] == "not looked at"
    lines = [line for line in thing_view(after, "M1-01").history if line.kind == "check"]
    assert [line.struck for line in lines] == [True]


def test_views_of_an_empty_book_say_so() -> None:
    view = this_week(assess(build_book([], yard=False), "2025-06-06"))
    assert view.lines == ()
    assert view.nothing is not None


def test_what_is_not_there_is_told() -> None:
    assessment = one()
    with pytest.raises(NoSuchBoreError):
        bore_view(assessment, "B")
    with pytest.raises(NoSuchBoreError):
        bore_view(assessment, "A", "swab")
    with pytest.raises(NoSuchThingError):
        thing_view(assessment, "M9-99")


def test_one_key_one_figure() -> None:
    assessment = one()
    assert twin(bore_view(assessment, "A"))["figures"]
    assert twin(thing_view(assessment, "M1-01"))["figures"]


def test_a_bite_counts_from_the_day_it_was_seen_until_it_is_blended() -> None:
    seen: Row = (
        "check",
        {"things": "M1-02", "item": "jaw-bite", "found": "jaw bite"},
        "2025-06-03",
    )
    done: Row = ("dressing", {"things": "M1-02", "what": "bite blended"}, "2025-06-10")
    rows = [load()]
    for name, day in (("A", DAY), ("B", "2025-06-05"), ("C", "2025-06-12")):
        rows += [
            bore(name, day),
            *log_rows(name, readings(), day=day),
            pullback(name, day, turns="5000"),
        ]
    bores = rod(worked(*rows, seen, done, today="2025-06-13"), "M1-02").bores
    middle = [float(sum(c.best[2] for c in each.contributions)) for each in bores]
    assert middle[1] == pytest.approx(middle[0] * 1.5**4.7)
    assert middle[2] == pytest.approx(middle[0])
