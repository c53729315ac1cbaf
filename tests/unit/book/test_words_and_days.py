"""What a person's word covers, days nobody knows, bites and subs that come and go."""

from __future__ import annotations

import traceback

import pytest

from book_builder import ROD_TYPE, YARD, Row, build_book, entries_of, log_rows
from rodhand.book.bore.bore_page import bore_view
from rodhand.book.bore.office import office_view
from rodhand.book.tasks.look_tasks import sub_tasks
from rodhand.book.tasks.set_tasks import leading_on
from rodhand.book.tasks.standings import standing_of_thing
from rodhand.book.tasks.week import tasks_of, this_week
from rodhand.book.twin import twin
from rodhand.book.work.assess import Assessment, assess
from rodhand.book.work.happenings import over_steers, saver_sub_on, spikes
from rodhand.book.yard.thing_page import thing_view
from rodhand.book.yard.yard import yard_view
from rodhand.record.reading_back import read_book
from rodhand.units import Figure, Standing

DAY, TODAY = "2025-06-01", "2025-06-06"
PITCHES = ("-20", "-20", "-14", "-4.5", "-2", "0", "0.4", "0.1", "2.1", "4")
"""Station 4 bends 9.5 % in a rod against a limit of 6.9 %."""
GENTLE = ("-20", "-20", "-19", "-18", "-17", "-16", "-15", "-14", "-13", "-12")
LOAD: Row = ("load", {"rig": "Rig-40", "things": "M1-01..M1-40", "how": "by row"}, "2025-05-01")


def bore(
    name: str = "A", day: str = DAY, pitches: tuple[str, ...] = PITCHES, **facts: str
) -> list[Row]:
    rows = [
        {"station": str(n), "length_ft": "10", "pitch_pct": p, "rotating_min": "4", "rpm": "100"}
        for n, p in enumerate(pitches, 1)
    ]
    back: Row = ("pass", {"bore": name, "pass": "pullback", "what": "pullback", "turns": "5000"},
                 day)  # fmt: skip
    about: Row = ("bore", {"bore": name, "rig": "Rig-40", **facts}, day)
    return [about, *log_rows(name, rows, day=day), back]


def look(things: str, found: str, day: str, item: str = "crack-hunt", **more: str) -> Row:
    return ("check", {"things": things, "item": item, "found": found, **more}, day)


def word(things: str, standing: str, day: str) -> Row:
    return ("standing", {"things": things, "standing": standing, "why": "seen by me"}, day)


def worked(*rows: Row, today: str = TODAY) -> Assessment:
    return assess(build_book(rows, allow_problems=True), today)


def of(assessment: Assessment, name: str = "M1-01") -> str:
    thing = assessment.book.thing_named(name)
    assert thing is not None
    return standing_of_thing(assessment, thing.key)[0]


@pytest.mark.parametrize(
    ("rows", "asked"),
    [
        # crack and word in this order of typing on one device; days as typed
        ([look("M1-01", "crack", "2025-06-02"), word("M1-01", "fit", "2025-06-03")], "fit"),
        ([look("M1-01", "crack", "2025-06-02"), word("M1-01", "fit", "2025-06-02")], "fit"),
        # the crack was found after the word, on the same day
        ([word("M1-01", "fit", "2025-06-02"), look("M1-01", "crack", "2025-06-02")], "set aside"),
        # found before the word, and typed after it: nobody knew
        ([word("M1-01", "fit", "2025-06-03"), look("M1-01", "crack", "2025-06-02")], "set aside"),
        # the word is from before the crack, and typed after it
        ([look("M1-01", "crack", "2025-06-03"), word("M1-01", "fit", "2025-06-02")], "set aside"),
        # a day nobody knows
        ([look("M1-01", "crack", "unknown")], "set aside"),
        ([look("M1-01", "crack", "unknown"), word("M1-01", "fit", "2025-06-02")], "fit"),
        ([word("M1-01", "fit", "2025-06-02"), look("M1-01", "crack", "unknown")], "set aside"),
        # the word is of some day in a week that ends after the crack was found
        ([look("M1-01", "crack", "2025-06-03"), word("M1-01", "fit", "2025-W22")], "set aside"),
    ],
)
def test_a_word_covers_what_was_known(rows: list[Row], asked: str) -> None:
    assert of(worked(LOAD, *bore(pitches=GENTLE), *rows)) == asked


@pytest.mark.parametrize(
    ("crack", "said", "asked"),
    [
        ("2025-06-02", "2025-06-03", "fit"),
        ("2025-06-02", "2025-06-02", "set aside"),  # two devices, one day: the worse one counts
        ("2025-06-02T09:00", "2025-06-02T15:00", "fit"),
        ("2025-06-02T15:00", "2025-06-02T09:00", "set aside"),
        ("unknown", "2025-06-02", "set aside"),
    ],
)
def test_a_word_from_another_device(crack: str, said: str, asked: str) -> None:
    one = entries_of([*YARD, look("M1-01", "crack", crack)])
    other = entries_of([word("M1-01", "fit", said)], device="office")
    for entries in ([*one, *other], [*other, *one]):
        assert of(assess(read_book(entries), TODAY)) == asked


def test_a_word_covers_the_bores_known_and_not_those_typed_later() -> None:
    early = [LOAD, *bore(), word("M1-01", "fit", "2025-06-02")]
    late = [LOAD, word("M1-01", "fit", "2025-06-02"), *bore()]
    assert of(worked(*early)) == "fit"
    assert of(worked(*late)) == "watch"  # it turned through an over-steer


def hard(turns: str) -> list[Row]:
    """A bore whose rows were turned so often that the rods in front come near a line."""
    rows = [
        {"station": str(n), "length_ft": "10", "pitch_pct": p, "turns": turns}
        for n, p in enumerate(PITCHES, 1)
    ]
    back: Row = (
        "pass",
        {"bore": "H", "pass": "pullback", "what": "pullback", "turns": "5000"},
        DAY,
    )
    return [("bore", {"bore": "H", "rig": "Rig-40"}, DAY), *log_rows("H", rows, day=DAY), back]


def test_a_word_does_not_cover_life_used_typed_later() -> None:
    said = word("M1-01", "fit", "2025-06-02")
    assert of(worked(LOAD, *hard("300000"), said)) == "fit"
    assert of(worked(LOAD, said, *hard("300000"))) == "set aside"


def test_a_look_on_a_day_that_may_be_before_the_bore_is_none_since() -> None:
    assert of(worked(LOAD, *bore(), look("M1-01", "sound", "2025-06-02", "full-look"))) == "fit"
    for when in (DAY, "2025-06", "2025-W22"):
        assert of(worked(LOAD, *bore(), look("M1-01", "sound", when, "full-look"))) == "watch"


def test_a_bore_of_several_days_asks_for_a_look_after_the_last() -> None:
    rows = bore()
    rows[-1] = (rows[-1][0], rows[-1][1], "2025-06-03")
    seen = look("M1-01", "sound", "2025-06-02", "full-look")
    assert of(worked(LOAD, *rows, seen)) == "watch"
    assert over_steers(worked(LOAD, *rows))[0].when == "2025-06-03"


SUB: Row = ("thing", {"thing": "SS-1", "what": "saver sub", "rig": "Rig-40"}, "2025-01-02")
SHOWN: dict[str, str] = {"rig": "Rig-40", "gauge": "g", "shown_ftlb": "4700"}
ANY_DAY: dict[str, list[Row]] = {
    "look": [look("M1-01", "crack", "unknown")],
    "bite": [look("M1-01", "jaw bite", "unknown", "jaw-bite")],
    "full look": [look("M1-01", "sound", "unknown", "full-look")],
    "break": [("break", {"thing": "M1-01", "bore": "A"}, "unknown")],
    "gauge off": [("comparison", {**SHOWN, "reference_ftlb": "4200"}, "unknown")],
    "gauge good": [("comparison", {**SHOWN, "reference_ftlb": "4700"}, "unknown")],
    "word": [word("M1-01", "fit", "unknown")],
    "sub": [("thing", SUB[1], "unknown"), look("SS-1", "galled", "unknown", "saver-sub")],
    "sent away": [("whereabouts", {"things": "M1-03", "where": "at the shop"}, "unknown")],
    "dressing": [("dressing", {"things": "M1-03", "what": "re-cut"}, "unknown")],
    "bore": bore("U", "unknown"),
}


def faults_of(assessment: Assessment) -> list[str]:
    """Every view of a book that cannot be drawn, or holds two figures under one key."""
    found = []
    names = [thing.name for thing in assessment.book.things.values()]
    for view, argument in (
        [(this_week, ()), (yard_view, ()), (office_view, ())]
        + [(bore_view, (name,)) for name in assessment.works]
        + [(thing_view, (name,)) for name in names]
    ):
        try:
            twin(view(assessment, *argument))
        except ValueError:
            found.append(f"{argument}: {traceback.format_exc(limit=-1)}")
    return found


@pytest.mark.parametrize("name", ANY_DAY)
def test_a_day_nobody_knows_is_no_hindrance(name: str) -> None:
    assert faults_of(worked(LOAD, *bore(), *ANY_DAY[name])) == []


TWICE: dict[str, list[Row]] = {
    "one finding, two standings": [
        look(rod, "sound", day, "box-swell", end="box", reading_in=size)
        for rod, last in (("M1-01", "2.62"), ("M1-02", "2.65"))
        for day, size in (("2025-06-02", "2.60"), ("2025-06-03", last))
    ],
    "wrench told twice": [
        *[("remark", {"things": "M1-01, M1-02", "text": "pipe wrench used"}, DAY)] * 2,
        look("M1-01", "oval", "2025-06-03", "joint-od", reading_in="2.75",
             second_reading_in="2.70"),
    ],
    "two low shifts": [
        ("makeup", {"bore": "A", "from_station": a, "to_station": b, "share_pct": share}, DAY)
        for a, b, share in (("1", "3", "30"), ("5", "6", "40"))
    ],
    "broken twice": [("break", {"thing": "M1-01", "bore": "A"}, day) for day in (DAY, TODAY)],
    "head and rod bend at one station": [
        ("thing", {"thing": "HD-1", "what": "head", "length_ft": "10", "limit_radius_ft": "300"},
         "2025-01-02"),
        *bore("B", "2025-06-02", head="HD-1"),
    ],
}  # fmt: skip


@pytest.mark.parametrize("name", TWICE)
def test_what_happens_twice_keeps_its_figures_apart(name: str) -> None:
    assert faults_of(worked(LOAD, *bore(), *TWICE[name])) == []


def test_a_wrench_told_twice_is_one_task() -> None:
    tasks = tasks_of(worked(LOAD, *bore(), *TWICE["wrench told twice"]))
    assert sum(task.verdict.what.key == "verdict.wrench.what" for task in tasks) == 1


def test_a_second_bite_counts_after_the_first_was_blended() -> None:
    """A bite raises the stress of the mid tube by half: the damage by 1.5 to the power 4.7."""
    rows: list[Row] = [LOAD]
    for day in ("2025-06-01", "2025-06-05", "2025-06-12", "2025-06-20", "2025-07-01"):
        rows += bore(f"N{day}", day)
    rows += [
        look("M1-02", "jaw bite", "2025-06-03", "jaw-bite"),
        ("dressing", {"things": "M1-02", "what": "bite blended"}, "2025-06-10"),
        look("M1-02", "jaw bite", "2025-06-15", "jaw-bite"),
        ("dressing", {"things": "M1-02", "what": "bite blended"}, "2025-06-25"),
    ]
    assessment = worked(*rows, today="2025-07-04")
    thing = assessment.book.thing_named("M1-02")
    assert thing is not None
    middle = [
        sum(float(c.best[2]) for c in did.contributions)
        for did in assessment.histories[thing.key].bores
    ]
    times = [value / middle[0] for value in middle]
    assert times == pytest.approx([1.0, 1.5**4.7, 1.0, 1.5**4.7, 1.0])
    bites = [fact for fact in thing_view(assessment, "M1-02").facts if fact.key == "thing.bite"]
    assert len(bites) == 2


def test_a_saver_sub_that_came_back_is_on_the_rig_again() -> None:
    gone: Row = ("whereabouts", {"things": "SS-1", "where": "at the shop"}, "2025-03-01")
    back: Row = ("whereabouts", {"things": "SS-1", "where": "row"}, "2025-04-01")
    assessment = worked(SUB, gone, back)
    on = {day: saver_sub_on(assessment, "Rig-40", day) for day in
          ("2025-02-01", "2025-03-15", "2025-05-01")}  # fmt: skip
    assert [sub.name if sub else "" for sub in on.values()] == ["SS-1", "", "SS-1"]


def test_a_rod_that_was_lost_and_fished_is_in_use_again() -> None:
    lost: Row = ("whereabouts", {"things": "M1-02", "where": "lost in hole"}, "2025-06-02")
    found: Row = ("whereabouts", {"things": "M1-02", "where": "row"}, "2025-06-04")

    def named(*rows: Row) -> bool:
        tasks = tasks_of(worked(LOAD, *bore(), *rows))
        return any("M1-02" in task.things for task in tasks)

    assert not named(lost)
    assert named(lost, found)


def test_rods_made_up_with_a_galled_sub_are_named_and_no_others() -> None:
    galled = look("SS-1", "galled", "2025-06-02", "saver-sub")
    both = look("M1-03, M1-39", "light galling", "2025-06-03", "galling")
    (task,) = sub_tasks(worked(LOAD, SUB, *bore(), galled, both))
    assert set(task.things) == {"SS-1", "M1-03"}  # 39 stayed in the box
    away: Row = ("whereabouts", {"things": "SS-1", "where": "at the shop"}, "2025-05-01")
    (alone,) = sub_tasks(worked(LOAD, SUB, away, *bore(), galled, both))
    assert set(alone.things) == {"SS-1"}


def test_the_larger_of_two_torques_counts() -> None:
    """Make-up torque of the invented rod is 4,200 ft-lb."""

    def read(torque: str) -> Row:
        return ("reading", {"bore": "A", "station": "4", "torque_ftlb": torque}, DAY)

    for torques in (("7050", "3000"), ("3000", "7050")):
        (spike,) = spikes(worked(LOAD, *bore(), *[read(torque) for torque in torques]))
        assert spike.torque == pytest.approx(7050 * 1.3558179483, rel=1e-6)
        assert spike.joints == 5


def test_of_two_values_for_a_row_the_one_with_more_turns_and_more_bend_counts() -> None:
    def row(**values: str) -> Row:
        return ("reading", {"bore": "A", "station": "4", **values}, DAY)

    plain = worked(LOAD, *bore())
    for first, second in (("10", "2"), ("2", "10")):
        twice = worked(LOAD, *bore(), row(rotating_min=first), row(rotating_min=second))
        more = twice.works["A"].pilot.turns.best - plain.works["A"].pilot.turns.best
        assert more == pytest.approx(600.0)  # 10 min at 100 rpm for 4 min
    sharper = worked(LOAD, *bore(pitches=GENTLE), row(pitch_pct="-9"))
    (bend,) = [b for b in sharper.works["A"].held.rods if b.station == 4]
    assert bend.verdict == "over"


def test_the_line_is_stricter_where_the_next_bore_runs_under_a_road() -> None:
    """DEFINITIONS: set aside from 0.7 where the next bore runs under road, rail or water."""
    rows = [LOAD, *hard("130000")]

    def booked(under: str) -> Row:
        return ("bore", {"bore": "N", "rig": "Rig-40", "under": under}, "2025-06-09")

    plain = worked(*rows)
    thing = plain.book.thing_named("M1-01")
    assert thing is not None
    design = plain.histories[thing.key].life.worst.design
    assert 0.7 < design < 1.0, "choose the turns so that the two lines differ"
    assert of(plain) == "watch"
    assert of(worked(*rows, booked("nothing"))) == "watch"
    strict = worked(*rows, booked("road"))
    assert of(strict) == "set aside"
    line = thing_view(strict, "M1-01").verdicts[0].what.values["line"]
    assert line.value == pytest.approx(0.7)  # type: ignore[union-attr]


def test_a_slip_among_the_leading_rods_makes_no_other_rods_lead() -> None:
    rows: list[Row] = [LOAD]
    for n in range(1, 7):
        rows += bore(f"N{n}", f"2025-05-{10 + n}")
    leads = leading_on(worked(*rows), "Rig-40")
    assert leads is not None
    assert (leads.led, leads.bores) == (6, 6)
    slip: Row = ("slip", {"rig": "Rig-40", "bore": "N1", "things": "M1-02, M1-09"}, "2025-05-11")
    assert leading_on(worked(*rows, slip), "Rig-40") is None


def comparison(shown: str, day: str) -> Row:
    values = {"rig": "Rig-40", "gauge": "g1", "shown_ftlb": shown, "reference_ftlb": "4200"}
    return ("comparison", values, day)


def test_rods_made_up_by_a_gauge_mended_since_stay_named_until_looked_at() -> None:
    rows = [
        LOAD, *bore("A", DAY, GENTLE), comparison("4700", "2025-06-02"),
        comparison("4200", "2025-06-03"),
    ]  # fmt: skip

    def named(*more: Row) -> list[tuple[str, ...]]:
        tasks = tasks_of(worked(*rows, *more))
        return [t.things for t in tasks if t.verdict.what.key == "verdict.gauge_was.what"]

    ((*things,),) = named()
    assert things[:2] == ["M1-01", "M1-02"]
    ((*things,),) = named(look("M1-01", "sound", "2025-06-04", "full-look"))
    assert things[0] == "M1-02"
    assert named(look("M1-01..M1-40", "sound", "2025-06-04", "full-look")) == []


def test_a_wrench_asks_for_two_diameters_until_they_were_measured() -> None:
    told: Row = ("remark", {"things": "M1-01, M1-02", "text": "pipe wrench on both"}, DAY)

    def named(*more: Row) -> list[tuple[str, ...]]:
        tasks = tasks_of(worked(LOAD, *bore(), *more))
        return [t.things for t in tasks if t.verdict.what.key == "verdict.wrench_told.what"]

    def measured(thing: str, day: str) -> Row:
        sizes = {"reading_in": "2.75", "second_reading_in": "2.74"}
        return look(thing, "sound", day, "joint-od", **sizes)

    assert named(told) == [("M1-01", "M1-02")]
    assert named(told, measured("M1-01", "2025-06-03")) == [("M1-02",)]
    assert named(told, measured("M1-01", "2025-05-03")) == [("M1-01", "M1-02")]
    assert named(told, measured("M1-01, M1-02", "2025-06-03")) == []
    assert named(("remark", {"things": "M1-01", "text": "torque wrench set"}, DAY)) == []


def test_a_verdict_on_life_used_says_the_owners_own_line() -> None:
    """The line is the owner's number on the design curve, and is told as that."""
    line: Row = ("setting", {"setting": "inspect", "value": "0.00001"}, "2025-05-01")
    (task,) = [
        t for t in tasks_of(worked(LOAD, *bore("A", DAY, GENTLE), line))
        if t.verdict.what.key == "verdict.life-inspect.what"
    ]  # fmt: skip
    said = {name: figure.value for name, figure in task.verdict.why.values.items()}
    assert task.verdict.what.values["line"].value == 0.00001
    assert said["design"] >= 0.00001
    assert said["low"] < said["best"] < said["high"]


def test_a_name_with_signs_of_an_address_keeps_its_link() -> None:
    links = [t.link for t in tasks_of(worked(LOAD, *bore("Mill/2 #3?")))]
    assert "/bore/Mill%2F2%20%233%3F" in links


def test_one_row_of_the_yard_lies_open_the_one_that_asks_for_most() -> None:
    rig: Row = ("rig", {"rig": "Rig-40", "rods_per_row": "10", "box_rows": "4"}, "2025-01-02")
    looks = [look("M1-25", "crack", "2025-06-03"), look("M1-05", "light galling", "2025-06-03")]
    ((_, rows),) = yard_view(worked(rig, LOAD, *looks)).boxes
    assert [row.loudest for row in rows] == [False, False, True, False]
    assert {name: figure.value for name, figure in rows[2].counts.items()} == {
        "not looked at": 9.0, "set aside": 1.0,
    }  # fmt: skip
    fit = look("M1-01..M1-40", "sound", "2025-06-05", "full-look")
    ((_, rows),) = yard_view(worked(rig, LOAD, fit)).boxes
    assert not any(row.loudest for row in rows)


def test_a_short_pushed_length_widens_high_to_what_a_rod_can_take_and_no_more() -> None:
    """The bend of station 4, phi, in a hole of 1.15 joints: the rod's radius is at least 8 d/phi^2.

    By hand: phi = atan(.14) - atan(.045) = 0.0941; d = 0.15 x 69.85 mm; 8 d/phi^2 = 9.46 m against
    a mean radius of 3.048/phi = 32.4 m. The mid tube's damage goes by the power 4.7 of that.
    """

    def high(**push: str) -> float:
        rows = [
            {
                "station": str(n),
                "length_ft": "10",
                "pitch_pct": p,
                "rotating_min": "4",
                "rpm": "100",
            }
            for n, p in enumerate(PITCHES, 1)
        ]
        rows[3].update(push)
        about: Row = ("bore", {"bore": "A", "rig": "Rig-40"}, DAY)
        assessment = worked(LOAD, about, *log_rows("A", rows))
        thing = assessment.book.thing_named("M1-01")
        assert thing is not None
        return assessment.histories[thing.key].life.sections[2].high

    most = (32.4 / 9.46) ** 4.7
    none, half, least = high(), high(push_ft="5"), high(push_ft="0.05")
    assert none < half < most * none
    assert least < most * none
    assert high(push_ft="2") > 1.2 * none


def test_a_bore_without_a_rod_type_is_told_and_never_dropped_in_silence() -> None:
    """The type of the rig's only set serves; with two types, or none, the week names the bore."""
    rig: Row = ("rig", {"rig": "R"}, "2025-01-01")
    sets: list[Row] = [
        ("set", {"set": name, "rod_type": "R-M", "count": "3", "rig": "R"}, "2025-01-01")
        for name in ("ONE", "TWO")
    ]
    other: list[Row] = [
        ("rod-type", {**ROD_TYPE, "name": "R-X"}, "2025-01-01"),
        ("set", {"set": "X", "rod_type": "R-X", "count": "3", "rig": "R"}, "2025-01-01"),
    ]
    rows = [*log_rows("A", [{"station": str(n), "pitch_pct": "-10"} for n in (1, 2)])]
    about: Row = ("bore", {"bore": "A", "rig": "R"}, DAY)

    def left_out(*more: Row) -> tuple[bool, list[str]]:
        assessment = worked(rig, *more, about, *rows)
        told = [w for w in this_week(assessment).warnings if w.key == "week.left_out"]
        return "A" in assessment.works, [str(w.values["bores"]) for w in told]

    assert left_out(*sets) == (True, [])
    assert left_out(*sets, *other) == (False, ["A"])
    assert left_out() == (False, ["A"])


def test_a_break_of_a_thing_whose_type_nobody_knows_is_told_with_unknowns() -> None:
    lone: Row = ("thing", {"thing": "X-1", "what": "rod"}, DAY)
    made = worked(lone, ("break", {"thing": "X-1"}, DAY))
    told = [task for task in tasks_of(made) if task.verdict.what.key == "verdict.broke.what"]
    assert [task.verdict.what.values["thing"] for task in told] == ["X-1"]
    figures = [value for value in told[0].verdict.why.values.values() if isinstance(value, Figure)]
    assert [(figure.value, figure.standing) for figure in figures] == [
        (None, Standing.UNKNOWN),
        (None, Standing.UNKNOWN),
    ]
