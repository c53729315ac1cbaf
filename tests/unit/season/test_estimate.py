"""The estimate: hand arithmetic, what it rests on, and that more hole never wears less."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from hypothesis import given
from hypothesis import strategies as st
from test_money import PRICE, ROD, assessed

from rodhand.book.bore.bore_cost import spent
from rodhand.book.owner.estimate import TYPED_CURVES, Part, take, together
from rodhand.book.owner.estimate_page import TypedPart, estimate_view, read_parts
from rodhand.book.owner.wear_rates import RateRow, RateTable
from rodhand.book.twin import twin
from rodhand.cli.estimate import estimate
from rodhand.faults import BadInputError
from rodhand.units import Figure, Standing
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

M = Standing.MEASURED


def row(ground: str, curve: str, bores: int, rate: tuple[float, float, float] | None) -> RateRow:
    figures = {
        "bores": Figure(f"{ground}.{curve}.bores", float(bores), "count", M),
        "length": Figure(f"{ground}.{curve}.length", 90.0, "distance", M),
    }
    if rate is not None:
        best, low, high = rate
        figures["lives"] = Figure(f"{ground}.{curve}.lives", best, "rods_used", M, low, high)
    return RateRow(ground, curve, rate is not None, figures)


TABLE = RateTable("R-M", True, (
    row("sand", "100", 4, (2.0, 1.0, 5.0)),  # rods' lives in 1,000 m
    row("sand", "straighter", 3, (0.1, 0.0, 0.4)),
    row("soft-rock", "100", 2, None),
))  # fmt: skip


def test_two_lengths_by_hand() -> None:
    typed = [Part("sand", "100", 50.0), Part("sand", "straighter", 200.0)]
    taken = [take(TABLE, part, number, 400.0) for number, part in enumerate(typed, 1)]
    f = together(taken, 3.0)
    # 50 m at 2 in 1,000 m are 0.1, 200 m at 0.1 are 0.02; 0.05 + 0; 0.25 + 0.08
    lives = f["lives"]
    assert (lives.value, lives.low, lives.high) == pytest.approx((0.12, 0.05, 0.33))
    cost = f["cost"]
    assert (cost.value, cost.low, cost.high) == pytest.approx((48.0, 20.0, 132.0))
    assert f["per_metre"].value == pytest.approx(48.0 / 250.0)
    assert f["string"].value == 84.0  # 250 m of rods of 3 m
    assert f["share"].value == pytest.approx(0.12 / 84.0)
    assert (taken[0].figures["bores"].value, taken[0].figures["behind"].value) == (4.0, 90.0)


def test_a_length_on_too_few_bores_is_in_no_sum_and_leaves_the_range_open() -> None:
    typed = [Part("sand", "100", 50.0), Part("soft-rock", "100", 30.0), Part("cobble", "all", 9.0)]
    taken = [take(TABLE, part, number, None) for number, part in enumerate(typed, 1)]
    assert [each.enough for each in taken] == [True, False, False]
    assert "lives" not in taken[1].figures
    assert taken[2].figures["bores"].value == 0.0
    f = together(taken, 3.0)
    assert f["untold"].value == 2.0
    assert (f["lives"].value, f["lives"].low, f["lives"].high) == pytest.approx((0.1, 0.05, None))
    assert "cost" not in f
    alone = together(taken[1:], 3.0)
    assert alone["lives"].value is None  # unknown, not 0
    assert "share" not in alone


PARTS = st.lists(
    st.builds(Part, st.sampled_from(["sand", "soft-rock", "cobble"]), st.sampled_from(TYPED_CURVES),
              st.floats(0.1, 5000.0)), min_size=1, max_size=6,
)  # fmt: skip


@given(PARTS, st.data())
def test_more_hole_never_wears_less(parts: list[Part], data: st.DataObject) -> None:
    at = data.draw(st.integers(0, len(parts) - 1))
    more = data.draw(st.floats(0.0, 5000.0))
    longer = [
        Part(each.ground, each.curve, each.length + more * (number == at))
        for number, each in enumerate(parts)
    ]
    further = [*longer, data.draw(PARTS)[0]]
    sums = [
        together([take(TABLE, each, n, 400.0) for n, each in enumerate(these, 1)], 3.0)
        for these in (parts, longer, further)
    ]
    for less, more_of in pairwise(sums):
        for name in ("lives", "cost"):
            if name in less and less[name].value is not None:
                assert more_of[name].value >= less[name].value
                assert more_of[name].low >= less[name].low


def test_at_the_owners_own_rate() -> None:
    book = assessed(PRICE)
    view = estimate_view(book, "r-m", [TypedPart("sand", "all", "100", "ft")])
    each = [spent(book, name) for name in ("B-1", "B-2", "B-3")]  # 12 rods each, in sand
    rate = sum(lives[1] for lives in each) / (36.0 * ROD)
    f = view.figures
    assert f["length"].value == pytest.approx(30.48)
    assert f["lives"].value == pytest.approx(30.48 * rate, rel=5e-3)
    assert f["lives"].low == pytest.approx(30.48 * min(s[0] for s in each) / (12.0 * ROD), rel=5e-3)
    assert f["cost"].value == pytest.approx(500.0 * 30.48 * rate, rel=5e-3)
    assert f["string"].value == 10.0
    assert f["longest"].value == pytest.approx(12.0 * ROD)
    assert [line.key for line in view.told] == ["estimate.takes", "estimate.cost"]
    long = estimate_view(book, "", [TypedPart("sand", "all", "40")])
    assert [line.key for line in long.told][-1] == "estimate.longer"  # bores are 36.6 m
    bare = estimate_view(assessed(), "", [TypedPart("sand", "all", "40")])
    assert "cost" not in bare.figures
    assert [e.what for e in bare.lacking] == ["new rod"]
    assert twin(view)["figures"]["estimate.lives"]["value"] == f["lives"].value


def test_every_fault_of_what_was_typed_is_told_at_once() -> None:
    typed = [
        TypedPart("sand", "100", "12,5"), TypedPart("mud", "77", "-3"), TypedPart("", "", ""),
        TypedPart("sand", "all", ""), TypedPart("sand", "all", "1e9"), TypedPart("", "", "abc"),
        TypedPart("sand", "all", "5", "yd"),
    ]  # fmt: skip
    _, faults = read_parts(typed)
    assert [(each.code, each.column) for each in faults] == [
        ("entry_decimal_comma", "length 1"),
        ("estimate_ground", "ground 2"), ("estimate_curve", "curve 2"),
        ("estimate_length", "length 2"), ("estimate_length", "length 4"),
        ("estimate_length", "length 5"),
        ("estimate_ground", "ground 6"), ("estimate_curve", "curve 6"),
        ("entry_not_a_number", "length 6"), ("estimate_unit", "length 7"),
    ]  # fmt: skip
    with pytest.raises(BadInputError) as raised:
        estimate_view(assessed(), "R-X", typed)
    assert raised.value.faults[0].code == "estimate_rod_type"
    assert len(raised.value.faults) == 11


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    folder = tmp_path_factory.mktemp("estimate")
    desk = BookDesk(folder)
    desk.enter("rig", {"rig": "Rig-1"}, "2025-05-01", "owner")
    return TestClient(create_app(desk), base_url="http://127.0.0.1")


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_book_without_wear_says_so(client: TestClient, language: str) -> None:
    page = client.get("/estimate", headers={"accept-language": language})
    assert page.status_code == 200
    assert ("no wear to go by" if language == "en" else "no hay desgaste") in page.text
    asked = {"rod_type": "R-X", "ground": "sand", "curve": "all", "length": "12,5", "unit": "ft"}
    bad = client.get("/estimate", params=asked, headers={"accept": "application/json"})
    assert bad.status_code == 400
    assert len(bad.json()["error"]["faults"]) == 2
    asked = {"ground": "sand", "curve": "all", "length": "12", "unit": "yd"}
    yards = client.get("/estimate", params=asked)
    assert yards.status_code == 400  # never taken for metres


def test_the_command_tells_the_same(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("rodhand.book.opening.open_assessment", lambda *_: assessed(PRICE))
    estimate(["sand,all,100ft", "sand,30,9m"], book=tmp_path, json_=True)
    view = json.loads(capsys.readouterr().out)
    same = estimate_view(
        assessed(PRICE), "", [TypedPart("sand", "all", "100", "ft"), TypedPart("sand", "30", "9")]
    )
    assert view["figures"] == json.loads(json.dumps(twin(same)["figures"]))
    estimate(["sand,all,100ft", "sand,30,9m"], book=tmp_path)
    lines = capsys.readouterr().out
    assert "too few bores (1 bores, 3.0\u00a0m)" in lines
    assert "At least" in lines
