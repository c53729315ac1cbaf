"""Money: cost of an over-steer, wear per metre by ground and curve, a break by its place."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from book_builder import build_book, log_rows
from rodhand.book.bore.bore_cost import spent
from rodhand.book.bore.bore_page import bore_view
from rodhand.book.bore.expected_wear import taken_by_place
from rodhand.book.bore.limit_events import limits_view
from rodhand.book.bore.over_steer_cost import over_steer_costs
from rodhand.book.bore.taken_where import TakenWhere, taken_where
from rodhand.book.owner import retirement
from rodhand.book.owner.forecast import forecast_view
from rodhand.book.owner.money import money_view
from rodhand.book.owner.wear_rates import curve_of, wear_rates
from rodhand.book.tasks.standings import recorded_design
from rodhand.book.twin import twin
from rodhand.book.work.assess import Assessment, assess
from rodhand.book.work.prices import OwnerPrices, owner_prices
from rodhand.units import printed, show
from rodhand.wear.survival import Lasted

STEADY = [-20.0 + 3.0 * k for k in range(1, 13)]
SHARP = [p + (9.0 if k >= 3 else 0.0) for k, p in enumerate(STEADY)]
"""12 % over rod 4: its limit is 10 ft of 145 ft, 6.9 %."""
ROD = 10.0 * 0.3048
PRICE = ("price", (("what", "new rod"), ("price", "500"), ("currency", "USD")))
HOUR = ("price", (("what", "rig hour"), ("price", "240"), ("currency", "USD")))


def retire(line: float) -> tuple[str, tuple[tuple[str, str], ...]]:
    return "setting", (("setting", "retire"), ("value", f"{line:.9f}"), ("why", "test"))


@cache
def assessed(*more: tuple[str, tuple[tuple[str, str], ...]]) -> Assessment:
    rows = []
    for number, pitches in enumerate((SHARP, STEADY, STEADY), 1):
        name, day = f"B-{number}", f"2025-05-0{number + 1}"
        rows += [
            ("bore", {"bore": name, "rig": "Rig-40", "ground": "sand"}, day),
            *log_rows(
                name, [{"station": f"{k}", "pitch_pct": f"{p}", "turns": "400"}
                       for k, p in enumerate(pitches, 1)], day=day,
            ),
        ]  # fmt: skip
    book = build_book([
        ("load", {"rig": "Rig-40", "things": "M1-01..M1-40", "how": "marked"}, "2025-05-01"),
        *rows, *((kind, dict(payload), "2025-05-09") for kind, payload in more),
    ])  # fmt: skip
    return assess(book, today="2025-06-01")


def test_a_stretch_partly_between_counts_by_its_share() -> None:
    taken = np.array([[[8.0, 2.0]]] * 3)  # one place, two stretches of 4 m and 2 m
    where = TakenWhere(((np.array([0.0, 4.0, 6.0]), taken),))
    assert where.lives(3.0, 6.0) == pytest.approx([4.0] * 3)  # a quarter of 8, and 2
    assert where.lives(-5.0, 99.0) == pytest.approx([10.0] * 3)


@pytest.mark.parametrize("bore", ["B-1", "B-2"])
def test_all_stretches_together_are_what_the_places_took(bore: str) -> None:
    book = assessed()
    taken = taken_by_place(book, bore)  # (places, design low best high, sections)
    where, length = taken_where(book, bore), book.works[bore].hole.length
    for number, kind in enumerate((1, 2, 3)):
        by_place = where.between(-1.0, length + 99.0)[number]
        assert by_place == pytest.approx(taken[:, kind].max(axis=1), rel=1e-9)
    parts = [where.lives(a, b) for a, b in ((-1.0, 9.0), (9.0, 20.0), (20.0, 999.0))]
    assert sum(parts) == pytest.approx(spent(book, bore), rel=1e-9)


def test_an_over_steer_without_prices_is_told_in_lives_rods_and_minutes() -> None:
    (one,) = over_steer_costs(assessed())
    f = one.figures
    assert (one.bore, one.station) == ("B-1", 4.0)
    assert f["cost"].value is None
    assert f["wait"].value is None
    assert 0.0 < f["lives"].low <= f["lives"].value <= f["lives"].high
    assert f["lives"].value <= spent(assessed(), "B-1")[1]
    assert f["share"].value > 0.6  # with a rod to either side it took most of that bore
    between = taken_where(assessed(), "B-1").lives(2 * ROD, 5 * ROD)  # rods 3 to 5
    assert [f["lives"].low, f["lives"].value, f["lives"].high] == pytest.approx(between)
    # rods 1 to 8 came through with the pilot, 9 to 12 never passed rod 4's bend on it
    assert f["left"].value == f["rods"].value >= 8.0
    assert f["minutes"].value == 60.0 * 4.0 * f["left"].value  # 4 minutes a full look
    assert [line.key for line in one.lines] == [
        "over_cost.lives", "over_cost.no_price", "over_cost.looks",
    ]  # fmt: skip


def test_an_over_steer_costs_its_lives_at_the_price_of_a_new_rod() -> None:
    (one,) = over_steer_costs(assessed(PRICE, HOUR))
    f = one.figures
    for end in ("value", "low", "high"):
        assert getattr(f["cost"], end) == pytest.approx(500.0 * getattr(f["lives"], end))
    assert f["wait"].value == pytest.approx(f["left"].value * 4.0 / 60.0 * 240.0)
    assert one.lines[1].key == "over_cost.money"
    assert one.lines[1].values["currency"] == "USD"


def test_the_cost_stands_beside_the_over_steer_on_its_pages() -> None:
    book = assessed(PRICE)
    (one,) = over_steer_costs(book)
    on_bore = [row.cost for row in bore_view(book, "B-1").over_steers if row.cost]
    assert on_bore == [one.lines]
    groups = {group.kind: group.rows for group in limits_view(book).groups}
    assert [row.cost for row in groups["over_steer"]] == [one.lines]
    assert all(not row.cost for row in groups["overload"])


def test_a_rod_the_bend_alone_brought_over_the_line_is_counted() -> None:
    (none,) = over_steer_costs(assessed())
    assert none.figures["past_line"].value == 0.0
    used = sorted(recorded_design(each) for each in assessed().histories.values())
    line = (used[-1] + used[-2]) / 2.0
    (one,) = over_steer_costs(assessed(retire(line)))
    assert one.figures["past_line"].value == 1.0
    (others,) = over_steer_costs(assessed(retire(used[-1] / 50.0)))
    assert others.figures["past_line"].value < 12.0  # over that line without this bend too


@pytest.mark.parametrize(
    ("radius", "curve"),
    [(29.9, "30"), (30.0, "50"), (99.0, "100"), (499.0, "500"), (500.0, "straighter")],
)
def test_curves_by_radius(radius: float, curve: str) -> None:
    assert curve_of(1.0 / radius) == curve
    assert curve_of(0.0) == "straighter"
    assert curve_of(float("nan")) == "not_read"


def test_wear_per_metre_is_all_lives_over_all_length() -> None:
    book = assessed(PRICE)
    (table,) = wear_rates(book)
    rows = {row.curve: row for row in table.rows}
    each = [(spent(book, name), 12.0 * ROD) for name in ("B-1", "B-2", "B-3")]
    rate = sum(lives[1] for lives, _ in each) / sum(length for _, length in each)
    f = rows["all"].figures
    assert f["bores"].value == 3.0
    assert f["lives"].value == pytest.approx(1000.0 * rate, rel=5e-3)
    assert f["cost"].value == pytest.approx(500.0 * rate, rel=5e-3)
    assert f["cost"].low == pytest.approx(500.0 * min(s[0] / m for s, m in each), rel=5e-3)
    assert f["cost"].high == pytest.approx(500.0 * max(s[2] / m for s, m in each), rel=5e-3)
    parts = [row.figures["length"].value for row in table.rows if row.curve != "all"]
    assert sum(parts) == pytest.approx(f["length"].value)
    sharp = rows["30"]  # 12 % over 10 ft: 25 m, of one bore alone
    assert not sharp.enough
    assert "cost" not in sharp.figures


def test_without_a_price_wear_is_told_in_lives() -> None:
    (table,) = wear_rates(assessed())
    whole = next(row for row in table.rows if row.curve == "all")
    assert "cost" not in whole.figures
    assert not table.priced
    assert whole.figures["lives"].value > 0.0


def test_a_little_money_is_never_printed_as_nothing() -> None:
    assert show(0.004, "money", "metric") == "<0.01"
    assert show(0.004, "money_per_metre", "metric") == "<0.01\u00a0/ m"
    assert show(0.0, "money", "us") == "0"
    assert show(None, "money", "us") == "–"


def test_money_below_ten_has_two_digits() -> None:
    """Rounded by hand: two ends of a rod that cost 1.2 and 1.4 do not both read 1."""
    told = {
        1234.5: "1,234", 12.4: "12", 9.96: "10", 9.94: "9.9", 1.24: "1.2", 1.36: "1.4",
        0.996: "1.0", 0.994: "0.99", 0.3: "0.30", 0.05: "0.05", -1.24: "-1.2",
    }  # fmt: skip
    for value, text in told.items():
        assert show(value, "money", "metric") == text
        assert printed(value, "money", "us") == float(text.replace(",", ""))


def test_a_break_costs_what_is_lost_with_it() -> None:
    alone = OwnerPrices(breaks={"": 5000.0}, rods={"r-m": 400.0})
    assert alone.break_at("", "R-M", 3, 3.0) == 5000.0
    lost = {"lost head": 900.0, "lost transmitter": 8000.0, "metre redrilled": 20.0}
    whole = OwnerPrices(breaks={"": 5000.0}, rods={"r-m": 400.0}, lost=lost)
    # 5,000, three rods at 400, head and transmitter, 9 m at 20
    assert whole.break_at("", "R-M", 3, 3.0) == 5000.0 + 1200.0 + 8900.0 + 180.0
    assert OwnerPrices(breaks={"": 5000.0}, lost=lost).break_at("", "R-M", 3, 3.0) is None
    assert OwnerPrices(lost=lost).break_at("", "R-M", 3, 3.0) is None


def test_risk_weighs_a_rod_by_its_place_once_what_is_lost_has_a_price() -> None:
    a_break = ("price", (("what", "break"), ("price", "5000"), ("currency", "USD")))
    head = ("price", (("what", "lost head"), ("price", "900"), ("currency", "USD")))
    told = forecast_view(assessed(PRICE, a_break, head)).replace
    rows = {row.name: row.figures for row in told.rows}
    for name, f in rows.items():
        place = int(name.removeprefix("M1-"))  # the box lies as it was loaded
        assert f["break_low"].value == f["break_high"].value == 5900.0 + 500.0 * place
        assert f["risk_high"].value == pytest.approx(f["break_high"].value / f["chance_high"].value)


def test_an_age_is_told_with_enough_breaks_and_both_prices(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # Weibull shape 2 by its own quantiles: 40 broken rods, scale 0.5 of a life
    lasted = [
        Lasted(0.5 * math.sqrt(-math.log(1.0 - (k + 0.5) / 40.0)), True) for k in range(40)
    ]  # fmt: skip
    monkeypatch.setattr(retirement, "lasted_rods", lambda _: (lasted, 0))
    a_break = ("price", (("what", "break"), ("price", "4500"), ("currency", "USD")))
    assert retirement.retire_view(assessed(PRICE)).state == "no_price"
    book = assessed(PRICE, a_break)
    told = retirement.retire_view(book)
    assert told.state == "age"
    shape, scale = told.figures["shape"].value, told.figures["scale"].value
    assert (shape, scale) == pytest.approx((2.0, 0.5), rel=0.06)
    # least of [500 S + 5000 (1 - S)] / integral of S, over a fine row of ages
    ages = np.linspace(1e-4, 1.5, 30_001)
    lasts = np.exp(-((ages / scale) ** shape))
    reached = ages[0] + np.concatenate(
        ([0.0], np.cumsum((lasts[1:] + lasts[:-1]) / 2.0 * np.diff(ages)))
    )
    rate = (500.0 * lasts + 5000.0 * (1.0 - lasts)) / reached
    assert told.figures["age"].value == pytest.approx(float(ages[rate.argmin()]), rel=1e-2)
    metres = sum(each.metres for each in book.histories.values())
    per_metre = sum(each.age for each in lasted) / metres
    assert told.figures["per_metre"].value == pytest.approx(rate.min() * per_metre, rel=1e-4)


def test_the_page_names_prices_and_what_is_missing() -> None:
    bare = money_view(assessed())
    assert [(each.what, each.of) for each in bare.lacking] == [
        ("new rod", "R-M"), ("rig hour", ""), ("break", ""),
    ]  # fmt: skip
    priced = money_view(assessed(PRICE, HOUR))
    assert [(row.what, row.figures["price"].value) for row in priced.prices] == [
        ("new rod", 500.0), ("rig hour", 240.0),
    ]  # fmt: skip
    assert owner_prices(assessed(PRICE)).currency == "USD"
    assert twin(priced)["figures"]
