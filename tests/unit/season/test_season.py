"""Forecast, set against set and season: by hand arithmetic and on the invented season."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from book_builder import build_book, log_rows
from rodhand.book.bore.bore_cost import bore_cost, spent
from rodhand.book.bore.bore_page import bore_view
from rodhand.book.bore.expected_wear import stretched
from rodhand.book.owner.forecast import forecast_view
from rodhand.book.owner.retirement import retire_view
from rodhand.book.owner.runs_down import falls_after
from rodhand.book.owner.season import season_view
from rodhand.book.owner.set_against import Work, apart
from rodhand.book.tasks.standings import recorded_design
from rodhand.book.twin import twin
from rodhand.book.work.assess import Assessment, assess

BOOKED = {"bore": "B-9", "rig": "Rig-40", "length_ft": "95", "ground": "sand"}


@cache
def assessed(*more: tuple[str, tuple[tuple[str, str], ...]]) -> Assessment:
    rows = log_rows(
        "B-1", [{"station": f"{k}", "pitch_pct": f"{-20 + 3 * k}", "turns": "400"}
                for k in range(1, 13)], day="2025-05-02",
    )  # fmt: skip
    book = build_book([
        ("load", {"rig": "Rig-40", "things": "M1-01..M1-40", "how": "marked"}, "2025-05-01"),
        ("bore", {"bore": "B-1", "rig": "Rig-40", "ground": "sand"}, "2025-05-02"),
        *rows,
        *((kind, dict(payload), "2025-05-03") for kind, payload in more),
    ])  # fmt: skip
    return assess(book, today="2025-06-01")


def entry(kind: str, **payload: str) -> tuple[str, tuple[tuple[str, str], ...]]:
    return kind, tuple(payload.items())


def test_a_longer_string_takes_what_stood_as_far_along() -> None:
    taken = np.array([4.0, 2.0]).reshape(2, 1, 1)
    # middles of 4 places lie at 1/8, 3/8, 5/8, 7/8; those of the 2 known at 1/4 and 3/4
    assert stretched(taken, 4)[:, 0, 0] == pytest.approx([4.0, 3.5, 2.5, 2.0])
    assert stretched(taken, 2) == pytest.approx(taken)


def test_a_bore_like_the_past_one_takes_of_each_rod_what_that_took() -> None:
    done = assessed(entry("booked-bore", **(BOOKED | {"length_ft": "120"})))
    rig = forecast_view(done).rigs[0]
    assert rig.order_known
    for name in ("M1-01", "M1-06", "M1-12"):
        rod = next(each for each in rig.rods if each.name == name)
        now, after = rod.figures["now"].value, rod.figures["after_1"].value
        assert now
        assert after == pytest.approx(2.0 * now, rel=1e-6)
        assert rod.figures["after_1"].low <= after <= rod.figures["after_1"].high
    last = next(each for each in rig.rods if each.name == "M1-13")
    assert last.figures["after_1"].value == last.figures["now"].value  # beyond the string


def test_rods_needed_are_rounded_up_and_enough_is_said() -> None:
    rig = forecast_view(assessed(entry("booked-bore", **BOOKED))).rigs[0]
    assert rig.bores[0].figures["need"].value == 10.0  # 95 ft of 10 ft rods
    assert rig.bores[0].figures["usable"].value == 40.0
    assert rig.order.key == "forecast.enough"


def test_rods_short_are_ordered_by_the_day_less_the_lead_time() -> None:
    long = BOOKED | {"length_ft": "425", "day": "2025-08-01"}
    unknown = forecast_view(assessed(entry("booked-bore", **long))).rigs[0]
    assert unknown.bores[0].figures["short"].value == 3.0  # 43 needed of 40
    assert unknown.order.key == "forecast.order"
    assert not unknown.unknown
    assert {(each.what, each.of) for each in unknown.lacking} == {
        ("new rod", "R-M"),
        ("lead", "R-M"),
    }
    price = entry("price", what="new rod", price="400", currency="USD", lead_days="30")
    rig = forecast_view(assessed(entry("booked-bore", **long), price)).rigs[0]
    assert rig.order.key == "forecast.order_by"
    assert rig.order.values["day"] == "2025-07-02"
    assert rig.order.values["cost"].value >= 1200.0
    late = long | {"day": "2025-06-20"}
    rig = forecast_view(assessed(entry("booked-bore", **late), price)).rigs[0]
    assert rig.order.key == "forecast.order_late"


def test_a_rig_without_a_past_bore_is_told_nothing() -> None:
    book = build_book([("booked-bore", BOOKED, "2025-05-03")])
    rig = forecast_view(assess(book, today="2025-06-01")).rigs[0]
    assert [each.key for each in rig.unknown] == ["forecast.unknown_past"]
    assert rig.rods[0].figures["after_1"].value is None


def test_when_too_few_rods_are_left_by_hand() -> None:
    assert falls_after([1.0, 4.2, 10.0], 2) == 5.0
    assert falls_after([1.0, 4.2, 10.0], 4) == 0.0  # never had them
    assert falls_after([1.0, float("inf"), float("inf")], 2) is None
    assert falls_after([0.0, 3.0], 1) == 3.0  # at the third a rod stands on its line


def test_a_rig_runs_down_when_the_first_of_its_needed_rods_reaches_the_line() -> None:
    gone = entry("whereabouts", things="M1-13..M1-40", where="sold")
    lead = next(h for h in assessed(gone).histories.values() if h.bores)
    parts = np.sum([part.design for bore in lead.bores for part in bore.contributions], axis=0)
    took = float(np.max([each.factor for each in lead.classes] * parts))  # its way back with it
    line = entry("setting", setting="retire", why="test",
                 value=f"{recorded_design(lead) + 6.5 * took:.9f}")  # fmt: skip
    price = entry("price", what="new rod", price="400", currency="USD", lead_days="61")
    rig = forecast_view(assessed(gone, line, price)).rigs[0]
    assert rig.order.key == "forecast.none_booked"
    by, order = rig.outlook
    # All 12 rods stand in a bore like B-1; the lead has room for 6.5 of them
    assert (by.key, by.values["need"].value, by.values["bores"].value) == (
        "forecast.falls_by", 12.0, 7.0,
    )  # fmt: skip
    assert by.values["month"] == "2032-05"  # seven years of 365 days at one bore a year
    assert (order.key, order.values["month"]) == ("forecast.falls_order", "2032-03")
    enough = forecast_view(assessed(line)).rigs[0]  # 28 rods stand beyond the string for good
    assert [each.key for each in enough.outlook] == ["forecast.holds"]


def test_a_set_apart_by_hand() -> None:
    # In clay 1 a metre and 2 turns a metre, in sand 4 and 2 over both sets together.
    own = {"clay": Work(10.0, 30.0, 10.0), "sand": Work(10.0, 30.0, 40.0)}
    other = {"clay": Work(30.0, 50.0, 30.0), "sand": Work(10.0, 10.0, 40.0)}
    both = {ground: own[ground].plus(other[ground]) for ground in own}
    found = apart(own, both)
    assert found is not None
    assert found.whole == pytest.approx((50.0 / 20.0) / (120.0 / 60.0))
    assert found.ground == pytest.approx(2.5 / 2.0)
    assert found.turning == pytest.approx(60.0 / 40.0)
    assert found.bends == pytest.approx(1.0 / 1.5)
    assert found.whole == pytest.approx(found.ground * found.turning * found.bends)
    assert apart({}, both) is None


def test_money_stands_on_the_owners_prices_alone() -> None:
    bare = season_view(assessed())
    assert bare.money == {}  # no break, no work in the yard, no price: nothing is told as 0
    assert all("cost" not in row.figures for row in bare.rows)
    (told,) = bare.unknown
    assert told.key == "season.no_prices"
    assert told.values["rig_days"].value == 1.0
    assert [each.what for each in bare.lacking] == ["new rod", "rig day"]
    assert bare.lacking[0].link == "/enter/price?what=new+rod&rod_type=R-M&focus=price"
    priced = season_view(assessed(entry("price", what="new rod", price="500", currency="USD")))
    lives = spent(assessed(), "B-1")[1]
    assert priced.money["rods"].value == pytest.approx(500.0 * lives)
    assert priced.money["per_metre"].value == pytest.approx(500.0 * lives / 36.576, rel=1e-3)
    assert priced.figures["length"].value == pytest.approx(36.576, rel=1e-3)
    assert priced.currency == "USD"


def test_a_price_of_nothing_typed_on_purpose_is_told_as_nothing() -> None:
    free = entry("price", what="new rod", price="0", currency="USD")
    told = season_view(assessed(free))
    assert told.money["rods"].value == told.money["whole"].value == 0.0
    assert not any(each.what == "new rod" for each in told.lacking)


def test_what_has_no_price_is_in_no_sum_and_is_named() -> None:
    done = (
        entry("price", what="new rod", price="500", currency="USD"),
        entry("dressing", things="M1-01, M1-02", what="dressed", end="pin"),
        entry("break", thing="M1-03", bore="B-1", section="mid tube", cause="fatigue"),
    )
    told = season_view(assessed(*done))
    assert set(told.money) == {"rods", "at_least"}
    assert told.money["at_least"].value == told.money["rods"].value
    assert [(e.what, e.key) for e in told.lacking] == [
        ("break", "lacking.break_any"), ("dressed", "lacking.work"), ("rig day", "lacking.rig_day"),
    ]  # fmt: skip
    priced = (
        *done, entry("price", what="break", price="4000", currency="USD"),
        entry("price", what="dressed", price="9", currency="USD"),
    )  # fmt: skip
    whole = season_view(assessed(*priced)).money
    assert whole["breaks"].value == 4000.0
    assert whole["work"].value == 18.0  # two ends at 9
    assert whole["whole"].value == pytest.approx(whole["rods"].value + 4018.0)


def test_a_rig_without_a_past_bore_is_not_told_to_have_enough() -> None:
    later = BOOKED | {"bore": "B-10"}
    book = build_book([("booked-bore", each, "2025-05-03") for each in (BOOKED, later)])
    rig = forecast_view(assess(book, today="2025-06-01")).rigs[0]
    assert rig.bores[0].figures["usable"].value == 40.0  # as they are now
    assert rig.bores[1].figures["usable"].value is None  # what B-9 takes is not known
    assert rig.bores[1].figures["short"].value is None
    assert rig.order.key == "forecast.not_told"


def test_a_bore_tells_what_it_took_of_its_rods() -> None:
    assert bore_cost(assessed(), "B-1").key == "bore_cost.lives"
    priced = assessed(entry("price", what="new rod", price="500", currency="USD"))
    told = bore_cost(priced, "B-1")
    low, best, high = spent(priced, "B-1")
    cost = told.values["cost"]
    assert cost.value == pytest.approx(500.0 * best / 36.576, rel=1e-3)
    assert (cost.low, cost.high) == pytest.approx(
        (500.0 * low / 36.576, 500.0 * high / 36.576), rel=1e-3
    )
    # the worst section of every place, from the rods' own histories
    lives = [h.contributions for h in priced.histories.values() if h.bores]
    by_rod = sum(max(sum(part.best for part in parts)) for parts in lives)
    assert best == pytest.approx(by_rod)
    assert bore_view(priced, "b-1").cost == told


def test_risk_is_the_price_of_a_break_times_its_chance() -> None:
    assert forecast_view(assessed()).replace.state == "no_price"
    prices = (
        entry("price", what="new rod", price="400", currency="USD"),
        entry("price", what="break", price="5000", currency="USD"),
        entry("price", what="break", price="80000", currency="USD", under="road"),
    )
    told = forecast_view(assessed(*prices)).replace
    assert told.state == "rows"
    assert len(told.rows) == 5
    for row in told.rows:
        f = row.figures
        assert f["risk_low"].value == pytest.approx(5000.0 / f["chance_low"].value)
        assert f["risk_high"].value == pytest.approx(5000.0 / f["chance_high"].value)
        assert f["price"].value == 400.0
    road = entry("booked-bore", **(BOOKED | {"under": "road"}))
    under = forecast_view(assessed(*prices, road)).replace.rows[0]
    assert under.figures["risk_low"].value == pytest.approx(
        80000.0 / under.figures["chance_low"].value
    )


def test_a_break_by_wear_counts_and_one_by_overload_leaves_a_rod_whole() -> None:
    worn = entry("break", thing="M1-01", bore="B-1", section="mid tube", cause="fatigue")
    bent = entry("break", thing="M1-02", bore="B-1", section="mid tube", cause="overload")
    told = retire_view(assessed(worn, bent))
    assert told.state == "too_few"
    assert told.figures["breaks"].value == 1.0
    assert told.figures["whole"].value == 11.0  # of 12 rods that drilled
    assert told.figures["left_out"].value == 28.0  # did nothing
    assert told.lasting[0]["share"].value == 0.0  # the lead rod used most: alone at risk


def test_rods_over_the_line_by_a_declared_past_count_and_are_told() -> None:
    past = entry("past", set="SET-M1", rotating_h="40000", ground="sand", order="same")
    rig = forecast_view(assessed(entry("booked-bore", **BOOKED), past)).rigs[0]
    assert rig.bores[0].figures["usable"].value == 40.0
    told = next(each for each in rig.unknown if each.key == "forecast.declared_short")
    count = told.values["count"].value
    assert count >= 1.0
    assert told.values["short"].value == max(10.0 - (40.0 - count), 0.0)  # 10 needed


def test_views_have_twins() -> None:
    done = assessed(entry("booked-bore", **BOOKED))
    assert twin(forecast_view(done))["figures"]
    assert twin(season_view(done))["figures"]
