"""One invented rod through two years: bought, lent, cut, lost, found, sold; right on every day.

2024-01-08  set A of 6 bought, marks A-1 to A-6; the rod is A-3
2024-03-04  bore B1 from load A-1..A-6
2024-04-02  set A split: A-1, A-2, A-3 go to set A-front
2024-05-06  A-3 re-cut at the pin, 3.00 m long from then on; damage of the pin thread is off
2024-06-03  bore B2 from load A-3, A-1, A-2: the rod leads
2024-07-01  lent; back in the row 2024-08-05
2024-08-12  marked N-7, no longer A-3
2024-09-02  lost in the hole in bore B3; found 2024-09-09
2024-10-07  another rod is bought and marked A-3: two rods with one mark at different times
2024-11-04  set A-front merged into set B
2025-01-13  with a sub-contractor's rods the rig drills B4; the rod stays in the box
2025-02-03  re-cut at the box, 2.95 m; sold on 2025-03-10; the new A-3 scrapped 2025-04-07
2025-05-05  bought back and in the row again
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from book_builder import ROD_TYPE
from rodhand.book.opening import open_assessment
from rodhand.book.work.assess import Assessment
from rodhand.book.work.outside import UNKNOWN_PAST_DAYS
from rodhand.book.yard.identity import Identity, identity_on
from rodhand.record.book_things import Thing
from rodhand.record.entry import Chain, Draft, Entry
from rodhand.record.journal import Journal
from rodhand.wear.sections import SECTIONS
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

RIG = "Rig-40"
Told = tuple[str, dict[str, str], str]


def bore(name: str, day: str, pitches: str = "-12 -9 -5") -> list[Told]:
    rows = [
        ("reading", {"bore": name, "station": f"{n}", "length_ft": "10", "pitch_pct": pitch,
                     "rotating_min": "5", "rpm": "100"}, day)
        for n, pitch in enumerate(pitches.split(), 1)
    ]  # fmt: skip
    back = {"bore": name, "pass": "pullback", "what": "pullback", "turns": "900"}
    return [("bore", {"bore": name, "rig": RIG}, day), *rows, ("pass", back, day)]


def load(things: str, day: str) -> Told:
    return ("load", {"rig": RIG, "things": things, "how": "marked"}, day)


def where(things: str, what: str, day: str) -> Told:
    return ("whereabouts", {"things": things, "where": what}, day)


STORY: list[Told] = [
    ("rod-type", ROD_TYPE, "2024-01-02"),
    ("rig", {"rig": RIG, "rod_type": "R-M", "pin_toward": "rig", "rods_per_row": "3"},
     "2024-01-02"),
    ("set", {"set": "A", "rod_type": "R-M", "count": "6", "marks_start": "A-1", "rig": RIG},
     "2024-01-08"),
    load("A-1..A-6", "2024-03-01"),
    *bore("B1", "2024-03-04", "-12 -9 -5 -3 -2"),
    ("set", {"set": "A-front", "rod_type": "R-M", "count": "0", "rig": RIG}, "2024-04-02"),
    ("membership", {"things": "A-1..A-3", "set": "A-front"}, "2024-04-02"),
    ("dressing", {"things": "A-3", "what": "re-cut", "end": "pin", "new_length_m": "3.00"},
     "2024-05-06"),
    load("A-3, A-1, A-2", "2024-06-01"),
    *bore("B2", "2024-06-03"),
    where("A-3", "lent", "2024-07-01"),
    where("A-3", "row", "2024-08-05"),
    ("mark", {"thing": "A-3", "mark": "N-7"}, "2024-08-12"),
    load("N-7, A-1, A-2", "2024-09-01"),
    *bore("B3", "2024-09-02"),
    where("N-7", "lost in hole", "2024-09-02"),
    where("N-7", "found", "2024-09-09"),
    ("thing", {"thing": "A-3", "what": "rod", "set": "A", "rod_type": "R-M", "rig": RIG},
     "2024-10-07"),
    ("set", {"set": "B", "rod_type": "R-M", "count": "0", "rig": RIG}, "2024-11-04"),
    ("membership", {"things": "N-7, A-1, A-2", "set": "B"}, "2024-11-04"),
    ("thing", {"thing": "SC-1", "what": "rod", "rod_type": "R-M"}, "2025-01-10"),
    ("thing", {"thing": "SC-2", "what": "rod", "rod_type": "R-M"}, "2025-01-10"),
    where("SC-1", "rented in", "2025-01-10"),
    where("SC-2", "sub-contractor's", "2025-01-10"),
    load("SC-1, SC-2, A-3, N-7", "2025-01-12"),
    *bore("B4", "2025-01-13"),
    ("dressing", {"things": "N-7", "what": "re-cut", "end": "box", "new_length_m": "2.95"},
     "2025-02-03"),
    where("N-7", "sold", "2025-03-10"),
    where("A-3", "scrapped", "2025-04-07"),
    where("N-7", "row", "2025-05-05"),
]  # fmt: skip


def typed_on_the_day() -> list[Entry]:
    chain = Chain("tablet")
    return [
        chain.add(Draft(kind, what, day, "+00:00"), f"{day}T18:00:00+00:00", f"e{number:03d}")
        for number, (kind, what, day) in enumerate(STORY)
    ]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("years") / "book"
    with Journal.open(made) as journal:
        journal.append(typed_on_the_day())
    return made


@pytest.fixture(scope="module")
def whole(folder: Path) -> Assessment:
    made = open_assessment(folder, "2025-06-30")
    assert not made.book.problems
    return made


@pytest.fixture(scope="module")
def client(folder: Path) -> Iterator[TestClient]:
    with TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1") as made:
        yield made


def rod(whole: Assessment) -> Thing:
    found = whole.book.thing_named("N-7")
    assert found is not None
    return found


def on(whole: Assessment, day: str) -> Identity:
    return identity_on(whole, rod(whole).key, day)


DAYS = [
    # day, mark, set, where, length, generation of pin and box
    ("2024-01-08", "A-3", "A", "row", None, 1, 1),
    ("2024-04-01", "A-3", "A", "row", None, 1, 1),
    ("2024-04-02", "A-3", "A-front", "row", None, 1, 1),
    ("2024-05-05", "A-3", "A-front", "row", None, 1, 1),
    ("2024-05-06", "A-3", "A-front", "row", 3.00, 2, 1),
    ("2024-07-01", "A-3", "A-front", "lent", 3.00, 2, 1),
    ("2024-08-04", "A-3", "A-front", "lent", 3.00, 2, 1),
    ("2024-08-05", "A-3", "A-front", "row", 3.00, 2, 1),
    ("2024-08-11", "A-3", "A-front", "row", 3.00, 2, 1),
    ("2024-08-12", "N-7", "A-front", "row", 3.00, 2, 1),
    ("2024-09-02", "N-7", "A-front", "lost in hole", 3.00, 2, 1),
    ("2024-09-09", "N-7", "A-front", "found", 3.00, 2, 1),
    ("2024-11-04", "N-7", "B", "found", 3.00, 2, 1),
    ("2025-02-03", "N-7", "B", "found", 2.95, 2, 2),
    ("2025-03-10", "N-7", "B", "sold", 2.95, 2, 2),
    ("2025-05-05", "N-7", "B", "row", 2.95, 2, 2),
]


@pytest.mark.parametrize("expected", DAYS, ids=[day[0] for day in DAYS])
def test_who_it_was_on_every_day(whole: Assessment, expected: tuple[object, ...]) -> None:
    now = on(whole, str(expected[0]))
    assert (
        now.day, now.name, now.set, now.where, now.length, now.pin_generation, now.box_generation
    ) == expected  # fmt: skip


def test_two_rods_with_one_mark_are_told_apart_by_day(whole: Assessment) -> None:
    old, new = rod(whole), whole.book.thing_named("A-3")
    assert new is not None
    assert new.key != old.key
    for day, key in (("2024-03-04", old.key), ("2024-08-11", old.key), ("2024-10-07", new.key)):
        found = whole.book.thing_named("A-3", day)
        assert found is not None
        assert found.key == key, day
    assert {did.bore for did in whole.histories[new.key].bores} == {"B4"}


def test_places_by_hand(whole: Assessment) -> None:
    """Third of the load in B1, first in B2 and B3; fourth in B4, whose string is three rods."""
    did = {each.bore: each.places for each in whole.histories[rod(whole).key].bores}
    assert did == {"B1": (3,), "B2": (1,), "B3": (1,)}


def test_each_cut_takes_the_damage_of_its_own_thread_and_of_what_was_before(
    whole: Assessment,
) -> None:
    history = whole.histories[rod(whole).key]
    pin, box = 0, len(SECTIONS) - 1
    best = {
        name: [sum(float(c.best[k]) for c in bore.contributions) for k in range(len(SECTIONS))]
        for name, bore in ((each.bore, each) for each in history.bores)
    }
    of = {
        name: [sum(float(c.best[k]) for c in history.counting(bore)) for k in range(len(SECTIONS))]
        for name, bore in ((each.bore, each) for each in history.bores)
    }
    assert min(best["B1"][pin], best["B2"][box], best["B3"][pin]) > 0.0
    for k in range(len(SECTIONS)):
        cut = {pin: {"B1"}, box: {"B1", "B2", "B3"}}.get(k, set())
        for name in best:
            assert of[name][k] == (0.0 if name in cut else best[name][k]), (name, k)


def test_life_used_by_day_is_the_sum_of_what_was_done_by_then(whole: Assessment) -> None:
    """Mid tube, mean curve: B1 until June, with B2 from June, with lending from July on."""
    history = whole.histories[rod(whole).key]
    mid = 2
    own = {b.bore: sum(float(c.best[mid]) for c in b.contributions) for b in history.bores}
    lent = next(each for each in history.outside if each.kind == "lent")
    away = float(lent.contribution.best[mid])

    def mean(day: str) -> float:
        return history.life_on(day).sections[mid].mean

    assert mean("2024-03-03") == 0.0
    assert mean("2024-03-04") == pytest.approx(own["B1"])
    assert mean("2024-06-03") == pytest.approx(own["B1"] + own["B2"])
    # Half of the 35 days from 1 July to 5 August are 17.5; on 18 July 17 are over.
    assert mean("2024-07-18") == pytest.approx(own["B1"] + own["B2"] + away * 17 / 35)
    assert mean("2024-08-05") == pytest.approx(own["B1"] + own["B2"] + away)
    assert mean("2024-09-02") == pytest.approx(sum(own.values()) + away)


def test_time_elsewhere_is_unknown_and_never_nought(whole: Assessment) -> None:
    """Five weeks lent, eight weeks sold: 35 and 56 days of two hours (ours, assumed)."""
    history = whole.histories[rod(whole).key]
    hours = {each.kind: each.time / 3600 for each in history.outside}
    assert hours == pytest.approx({"lent": 70.0, "sold": 112.0})
    assert all((each.contribution.best > 0.0).all() for each in history.outside)
    assert all(each.contribution.may_be_none for each in history.outside)


def test_rods_of_others_bring_a_past_nobody_knows(whole: Assessment) -> None:
    for mark in ("SC-1", "SC-2"):
        thing = whole.book.thing_named(mark)
        assert thing is not None
        (before,) = whole.histories[thing.key].outside
        assert before.time / 3600 == pytest.approx(UNKNOWN_PAST_DAYS * 2.0)
        assert whole.histories[thing.key].unknown_before


SEEN = [
    # entered by, words on its page, words that are not
    ("2024-03-31", "A-3", ["A · R-M"], ["A-front", "N-7", "lent"]),
    ("2024-06-30", "A-3", ["A-front", "re-cut, end: pin"], ["lent", "N-7"]),
    ("2024-07-20", "A-3", ["lent", "It is away"], ["N-7"]),
    ("2024-09-05", "N-7", ["lost in hole"], ["fished"]),
    ("2024-10-01", "N-7", ["It was fished out of a hole"], ["another thing"]),
    ("2024-12-01", "N-7", ["put into set B", "Mark A-3 is or was also on another thing"], ["sold"]),
    ("2025-03-31", "N-7", ["re-cut, end: box", "sold"], []),
    ("2025-05-31", "N-7", ["sold", "row"], []),
]


@pytest.mark.parametrize(("as_of", "mark", "there", "not_there"), SEEN, ids=[s[0] for s in SEEN])
def test_its_page_as_of_every_day(
    client: TestClient, as_of: str, mark: str, there: list[str], not_there: list[str]
) -> None:
    page = client.get(f"/thing/{mark}?as_of={as_of}").text
    body = page[page.index("<main") : page.index("</main>")]
    assert f"> {mark}</h1>" in body
    for words in there:
        assert words in body, words
    for words in not_there:
        assert words not in body, words


def test_the_same_story_typed_at_once_from_paper_reads_the_same(
    tmp_path: Path, whole: Assessment
) -> None:
    chain = Chain("office")
    late = [
        chain.add(Draft(kind, what, day, "+00:00"), "2025-06-29T09:00:00+00:00", f"e{number:03d}")
        for number, (kind, what, day) in enumerate(STORY)
    ]
    with Journal.open(tmp_path / "late") as journal:
        journal.append(late)
    made = open_assessment(tmp_path / "late", "2025-06-30")
    for day in (row[0] for row in DAYS):
        one, two = on(whole, day), on(made, day)
        assert (one.name, one.set, one.where, one.length) == (
            two.name, two.set, two.where, two.length
        )  # fmt: skip
        assert one.life == two.life
