"""Booked bores and the owner's prices, as entered and as read back."""

from __future__ import annotations

import pytest

from book_builder import ROD_TYPE, build_book
from rodhand.book.work.assess import assess
from rodhand.book.work.booked import booked_of_begun, booked_work
from rodhand.book.work.prices import owner_prices
from rodhand.faults import BadInputError
from rodhand.record.entry import Draft
from rodhand.record.memory import MemoryJournal
from rodhand.record.validate import read_payload


def codes(kind: str, payload: dict[str, str]) -> list[str]:
    return [each.code for each in read_payload(kind, payload).faults]


def test_a_booking_and_a_price_say_what_is_wrong_with_them() -> None:
    booked = {"bore": "B-9", "rig": "Rig-40", "length_m": "0", "day": "2026-05-01", "turn": "2"}
    assert sorted(codes("booked-bore", booked)) == ["booked_twice", "plan_zero"]
    assert codes("booked-bore", {"bore": "B-9", "rig": "Rig-40"}) == ["entry_missing"]
    slip = {"bore": "B-9", "rig": "Rig-40", "length_m": "99999999"}
    assert codes("booked-bore", slip) == ["bore_long"]
    assert codes("price", {"what": "new rod"}) == ["price_nothing"]
    assert codes("price", {"what": "break", "price": "900"}) == ["price_currency"]
    move = {"what": "rod move", "price": "2", "currency": "USD", "rod_type": "R-M"}
    assert codes("price", move) == ["price_column"]
    assert codes("price", {"what": "rig day", "price": "-1", "currency": "USD"})
    assert codes("price", {"what": "new rod", "lead_days": "42"}) == []


def test_a_wrong_number_and_an_unknown_name_are_told_at_once() -> None:
    journal = MemoryJournal()
    journal.write_many([
        Draft("rod-type", ROD_TYPE, "2025-01-01", "+00:00", "p1"),
        Draft("rig", {"rig": "Rig-40", "rod_type": "R-M"}, "2025-01-01", "+00:00", "p1"),
    ])  # fmt: skip
    kept = len(journal.entries())
    for kind, payload, told in (
        ("booked-bore", {"bore": "B-9", "rig": "Rig-ZZ", "length_m": "abc", "day": "2026-05-01"},
         {"entry_not_a_number", "rig_unknown"}),
        ("price", {"what": "new rod", "price": "-3", "currency": "USD", "rod_type": "R-ZZ"},
         {"entry_negative", "rod_type_unknown"}),
        ("break", {"thing": "M1-99", "bore": "B-7", "section": "knee"},
         {"entry_choice", "bore_unknown", "thing_unknown"}),
    ):  # fmt: skip
        with pytest.raises(BadInputError) as raised:
            journal.write_many([Draft(kind, payload, "2026-04-01", "+00:00", "p1")])
        assert {each.code for each in raised.value.faults} == told
    assert len(journal.entries()) == kept  # nothing of it is kept


def test_booked_bores_come_by_day_then_by_turn_and_one_begun_is_booked_no_more() -> None:
    book = build_book([
        ("booked-bore", {"bore": "B-3", "rig": "Rig-40", "length_m": "90", "turn": "1"},
         "2026-04-01"),
        ("booked-bore", {"bore": "B-2", "rig": "Rig-40", "length_ft": "200", "day": "2026-05-02"},
         "2026-04-01"),
        ("booked-bore", {"bore": "B-1", "rig": "Rig-40", "length_m": "50", "day": "2026-05-01"},
         "2026-04-02"),
        ("booked-bore", {"bore": "b-2", "rig": "Rig-40", "length_ft": "300", "day": "2026-05-03",
                         "under": "road"}, "2026-04-03"),
        ("bore", {"bore": "B-1", "rig": "Rig-40"}, "2026-05-01"),
        ("reading", {"bore": "B-1", "station": "1", "pitch_pct": "-10"}, "2026-05-01"),
        ("bore", {"bore": "B-4", "rig": "Rig-40", "ground": "sand"}, "2026-05-01"),
    ])  # fmt: skip
    found = booked_work(book)
    assert [each.name for each in found] == ["b-2", "B-3", "B-4"]
    assert found[0].length == pytest.approx(91.44)
    assert found[2].length is None
    assert found[2].ground == "sand"
    assert booked_of_begun(book) == ()  # booked before its first row: drilled as it was booked


def test_the_newest_price_counts_and_no_price_is_taken_from_another_currency() -> None:
    book = build_book([
        ("setting", {"setting": "price.refaced", "value": "20"}, "2026-04-01"),
        ("setting", {"setting": "price.re-cut", "value": "80"}, "2026-04-01"),
        ("price", {"what": "new rod", "price": "400", "currency": "CAD"}, "2026-04-01"),
        ("price", {"what": "new rod", "price": "410", "currency": "USD"}, "2026-04-02"),
        ("price", {"what": "new rod", "price": "380", "currency": "usd", "rod_type": "r-m"},
         "2026-04-03"),
        ("price", {"what": "refaced", "price": "25", "currency": "USD"}, "2026-04-03"),
        ("price", {"what": "break", "price": "5000", "currency": "USD"}, "2026-04-03"),
        ("price", {"what": "break", "price": "90000", "currency": "USD", "under": "rail"},
         "2026-04-03"),
        ("price", {"what": "rig hour", "price": "250", "currency": "CAD"}, "2026-04-01"),
        ("price", {"what": "new rod", "lead_days": "42"}, "2026-04-03"),
        ("price", {"what": "rig day", "price": "3000", "currency": "USD"}, "2099-01-01"),
    ])  # fmt: skip
    prices = owner_prices(assess(book, today="2026-05-01"))
    assert prices.rod("R-M") == 380.0
    assert prices.rod("R-L") == 410.0
    assert prices.work == {"refaced": 25.0, "re-cut": 80.0}
    assert (prices.a_break("rail"), prices.a_break("road")) == (90000.0, 5000.0)
    assert prices.rig_hour is None  # given in another currency
    assert prices.others == ("CAD",)
    assert prices.rig_day is None  # not begun
    assert prices.move is None
    assert prices.lead("R-M") == 42


def test_nobody_gave_a_price() -> None:
    prices = owner_prices(assess(build_book([]), today="2026-05-01"))
    assert not prices.any
    assert prices.rod("R-M") is None
    assert prices.lead("R-M") is None
