"""A seen slip: every order the rods may have stood in, enumerated, against what the book says."""

from __future__ import annotations

from itertools import product

import pytest

from book_builder import Row, build_book, log_rows
from rodhand.book.work.assess import Assessment, assess
from rodhand.book.work.box_order import order_now
from rodhand.book.work.moments import places_alone
from rodhand.book.work.rod_history import BoreOfRod

RIG = {"rig": "Rig-40"}
PITCHES = {"B1": "-20 -16 -10 -8", "B2": "-9 -4 0 1", "B3": "-12 -7 1 3", "B4": "-8 -6 -1 2"}
DAYS = {"B1": "2025-06-02", "B2": "2025-06-05", "B3": "2025-06-09", "B4": "2025-06-16"}


def bore(name: str, reads: dict[int, str] | None = None) -> list[Row]:
    rows = [
        {"station": f"{n}", "length_ft": "10", "pitch_pct": pitch, "rotating_min": "6",
         "rpm": "100", **({"rod": reads[n]} if reads and n in reads else {})}
        for n, pitch in enumerate(PITCHES[name].split(), 1)
    ]  # fmt: skip
    back = {"bore": name, "pass": "pullback", "what": "pullback", "turns": "1200"}
    return [
        ("bore", {"bore": name, **RIG}, DAYS[name]),
        *log_rows(name, rows, day=DAYS[name]),
        ("pass", back, DAYS[name]),
    ]


def load(day: str, things: str = "M1-01..M1-06") -> Row:
    return ("load", {**RIG, "things": things, "how": "by row"}, day)


def slip(after: str, things: str) -> Row:
    return ("slip", {**RIG, "bore": after, "things": things}, DAYS[after])


def worked(*rows: Row) -> Assessment:
    return assess(build_book(rows), "2025-07-01")


def of(assessment: Assessment, mark: str) -> dict[str, BoreOfRod]:
    thing = assessment.book.thing_named(mark)
    assert thing is not None
    return {did.bore: did for did in assessment.histories[thing.key].bores}


def sums(did: BoreOfRod, part: str) -> float:
    """Damage of the mid tube over all passes of one bore."""
    return sum(float(getattr(each, part)[2]) for each in did.contributions)


def of_place(assessment: Assessment, name: str, place: int, part: str) -> float:
    alone = places_alone(assessment.works[name], "")
    return sums(alone[f"place {place}"], part)


def enumerated(assessment: Assessment, places: list[list[int]], part: str) -> list[float]:
    """What a rod took in B1, B2 … for every way it may have stood, one sum for each way."""
    return [
        sum(of_place(assessment, f"B{n}", place, part) for n, place in enumerate(way, 1))
        for way in product(*places)
    ]


def test_doubt_goes_back_to_the_last_confirmed_load() -> None:
    """Seen after B3; the box was confirmed before B2. B1 is sure, B2 and B3 are shared by two."""
    made = worked(
        load("2025-06-01"), *bore("B1"), load("2025-06-04"), *bore("B2"), *bore("B3"),
        slip("B3", "M1-01, M1-03"), load("2025-06-15"), *bore("B4"),
    )  # fmt: skip
    places = {name: did.places for name, did in of(made, "M1-01").items()}
    assert places == {"B1": (1,), "B2": (1, 3), "B3": (1, 3), "B4": (1,)}
    assert {name: did.places for name, did in of(made, "M1-02").items()} == {
        f"B{n}": (2,) for n in range(1, 5)
    }


@pytest.mark.parametrize("mark", ["M1-01", "M1-03"])
def test_low_best_and_high_are_those_of_the_eight_ways(mark: str) -> None:
    """Two rods, three bores since the load: 2 × 2 × 2 ways to have stood."""
    made = worked(load("2025-06-01"), *bore("B1"), *bore("B2"), *bore("B3"),
                  slip("B3", "M1-01, M1-03"))  # fmt: skip
    did = of(made, mark).values()
    ways = [[1, 3]] * 3
    assert len(enumerated(made, ways, "best")) == 8
    assert sum(sums(each, "low") for each in did) == pytest.approx(
        min(enumerated(made, ways, "low"))
    )
    assert sum(sums(each, "high") for each in did) == pytest.approx(
        max(enumerated(made, ways, "high"))
    )
    best = enumerated(made, ways, "best")
    assert sum(sums(each, "best") for each in did) == pytest.approx(sum(best) / 8)


def test_three_rods_of_which_one_stayed_in_the_box() -> None:
    """M1-06 lay behind the four rods used: each of the three stood in 1, in 2, or in none."""
    made = worked(load("2025-06-01"), *bore("B1"), slip("B1", "M1-01, M1-02, M1-06"))
    first, second = (of_place(made, "B1", place, "best") for place in (1, 2))
    for mark in ("M1-01", "M1-02", "M1-06"):
        did = of(made, mark)["B1"]
        assert sums(did, "low") == 0.0
        assert sums(did, "best") == pytest.approx((first + second) / 3)
        assert sums(did, "high") == pytest.approx(
            max(of_place(made, "B1", place, "high") for place in (1, 2))
        )


def test_a_mark_read_before_the_slip_was_seen_bounds_it() -> None:
    """M1-01 was read in place 1 in B2: whoever changed places did so after that."""
    made = worked(load("2025-06-01"), *bore("B1"), *bore("B2", {1: "M1-01"}), *bore("B3"),
                  slip("B3", "M1-01, M1-03"))  # fmt: skip
    assert {name: did.places for name, did in of(made, "M1-03").items()} == {
        "B1": (3,), "B2": (3,), "B3": (1, 3),
    }  # fmt: skip


def test_a_mark_read_that_a_load_of_unknown_order_does_not_hold_may_have_stayed() -> None:
    """M1-07, read in B1 and not loaded, may stand anywhere in B2 too; as with a load by row."""
    anyhow = ("load", {**RIG, "things": "M1-01..M1-06", "how": "set only"}, "2025-06-01")
    made = worked(anyhow, *bore("B1", {2: "M1-07"}), *bore("B2"))
    assert of(made, "M1-07")["B1"].places == (2,)
    assert of(made, "M1-07")["B2"].places == (1, 2, 3, 4)


def test_who_may_have_changed_places_with_a_rod_that_is_away_may_stand_in_its_place() -> None:
    """M1-04 is lent after B1; a slip seen after B2 says that M1-05 may have had its place."""
    lent = ("whereabouts", {"things": "M1-04", "where": "lent"}, "2025-06-03")
    made = worked(load("2025-06-01", "M1-01..M1-05"), *bore("B1"), lent, *bore("B2"),
                  slip("B2", "M1-04, M1-05"))  # fmt: skip
    assert of(made, "M1-05")["B2"].places == (4,)
    assert "B2" not in of(made, "M1-04")


def test_two_slips_that_share_a_rod_are_one_doubt() -> None:
    made = worked(load("2025-06-01"), *bore("B1"), slip("B1", "M1-01, M1-02"), *bore("B2"),
                  slip("B2", "M1-02, M1-04"))  # fmt: skip
    for mark in ("M1-01", "M1-02", "M1-04"):
        assert of(made, mark)["B2"].places == (1, 2, 4)
    assert of(made, "M1-03")["B2"].places == (3,)


def test_the_box_confirmed_after_a_slip_holds_no_doubt() -> None:
    rows = [load("2025-06-01"), *bore("B1"), slip("B1", "M1-01, M1-03")]
    before = order_now(build_book(rows), "Rig-40")
    assert [len(doubt) for doubt in before.doubts] == [2]
    after = order_now(build_book([*rows, load("2025-06-04")]), "Rig-40")
    assert (after.doubts, after.loads_ago) == ((), 0)
