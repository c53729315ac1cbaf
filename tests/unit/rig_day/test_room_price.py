"""What the end of this rod costs: the same as books in which it was drilled; unknown as unknown."""

from __future__ import annotations

import math
import re
from pathlib import Path

import numpy as np
import pytest
from fastapi.testclient import TestClient
from rig_day_book import tell
from test_over_steer_choices import book_with, case, ends_of

from rodhand.book.rig.over_steer_choices import life_if
from rodhand.book.work.assess import Assessment, assess
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk


@pytest.fixture
def client(folder: Path) -> TestClient:
    return TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")


def lives(book: Assessment) -> dict[str, float]:
    return {
        key: history.life_of(history.bores[0]).worst.design
        for key, history in book.histories.items() if history.bores
    }  # fmt: skip


def test_a_rod_more_costs_what_a_book_with_it_says() -> None:
    """And the same where that bore alone was worked out."""
    one = case(2)
    now = book_with(ends_of(one))
    alone = assess(now.book, now.today, only={"A"})
    for change in (0.03, -0.05):
        then = np.full(4, one.pitch[-1] + change)
        after = lives(book_with([*ends_of(one), *((float(each), None) for each in then)]))
        for book in (now, alone):
            found = life_if(book, now.book.bores["A"], then, None)
            assert {k: v for k, v in found.items() if v} == pytest.approx(after, rel=1e-9)


def planned(folder: Path) -> None:
    """Seven rods end at -3 %; the plan went the same way and levels off to +5 %."""
    pitches = "-9 -8 -7 -6 -5 -4 -3 -2 -1 0 1 2 3 4 5"
    plan = {"plan": "B1", "rig": "Rig-40", "distance_m": "45", "entry_pitch_pct": "-10",
            "exit_pitch_pct": "15", "chosen": "own", "pitches": pitches}  # fmt: skip
    tell(folder, [("plan", plan)])


def test_on_the_plan_in_one_line_with_its_price(client: TestClient, folder: Path) -> None:
    planned(folder)
    answer = client.get("/bore/B1/price.json").json()
    view, figures = answer["view"], answer["figures"]
    assert view["to_drill"] == 8  # 15 of the plan less 7
    codes = [row["code"] for row in view["rows"]]
    assert codes == ["plan", "straight", "long", "limit"]
    # one rod on the plan ends at -2 %; the hole lies a few centimetres off, as nobody read the
    # pitch it was begun with
    assert figures["price.B1.plan.end"]["value"] == pytest.approx(math.atan(-0.02), abs=6e-3)
    assert figures["price.B1.straight.together"]["value"] == 0.0
    ends = [figures[f"price.B1.{code}.end"]["value"] for code in ("straight", "long", "limit")]
    assert ends == sorted(ends)
    room = client.get("/bore/B1/way.json").json()["figures"]["way.B1.room"]["value"]
    assert ends[2] - ends[0] == pytest.approx(room)
    # the owner gave no price: unknown, never nought
    assert figures["price.B1.plan.money"]["value"] is None
    line = client.get("/bore/B1/price?line=1").text
    assert line.startswith("<span data-line>")
    assert "no price of a new rod" in line
    assert "data-later" in client.get("/rig-rod/Rig-40?bore=B1").text
    together = figures["price.B1.limit.together"]["value"]
    given = {"what": "new rod", "price": "400", "currency": "coins"}
    tell(folder, [("price", given)])
    figures = client.get("/bore/B1/price.json").json()["figures"]
    assert figures["price.B1.limit.money"]["value"] == pytest.approx(400.0 * together)


def test_without_a_plan_the_price_is_unknown_until_rods_are_told(client: TestClient) -> None:
    told = re.sub("<[^>]+>", "", client.get("/bore/B1/price").text)
    assert "no plan tells how many rods follow" in told
    view = client.get("/bore/B1/price.json?to_drill=5").json()["view"]
    assert [row["code"] for row in view["rows"]] == ["straight", "long", "limit"]
    assert view["told"][0]["key"] == "price.no_plan"
    wrong = client.get("/bore/B1/price?to_drill=0")
    assert wrong.status_code == 400
    assert 'value="0"' in wrong.text
    assert "aria-invalid" in wrong.text
    assert client.get("/bore/B9/price").status_code == 404


def text_of(client: TestClient, path: str) -> str:
    return re.sub("<[^>]+>", "", client.get(path).text)


def test_the_late_line_tells_what_its_twin_tells(client: TestClient, folder: Path) -> None:
    planned(folder)
    tell(folder, [("price", {"what": "new rod", "price": "400", "currency": "coins"})])
    twin = client.get("/bore/B1/price.json?line=1").json()
    assert twin == client.get("/bore/B1/price.json").json()
    line = text_of(client, "/bore/B1/price?line=1")
    values = [each for told in twin["view"]["told"] for each in told["values"].values()]
    named = [each["figure"] for each in values if isinstance(each, dict)]
    assert named[0] == "price.B1.plan.end"
    assert len(named) == 4  # end, rods, all rods together, money
    for each in named:
        shown = twin["figures"][each]["shown_metric"]
        assert shown.replace("\u00a0", " ") in line.replace("\u00a0", " ")
    assert "coins" in values


def test_what_spares_rods_says_why(client: TestClient, folder: Path) -> None:
    """After a sharp bend down the plan bends back; a bend on in the same curve spares nothing."""
    why = "lies straighter across the bend behind"
    assert why not in text_of(client, "/bore/B1/price?to_drill=5")
    planned(folder)
    tell(folder, [("reading", {"bore": "B1", "station": "8", "pitch_pct": "-9"})])
    answer = client.get("/bore/B1/price.json").json()
    together = answer["figures"]["price.B1.plan.together"]["value"]
    assert together < 0.0
    told = answer["view"]["told"][1]
    assert told["key"] == "price.spared"
    assert answer["figures"][told["values"]["together"]["figure"]]["value"] == -together
    assert why in text_of(client, "/bore/B1/price?line=1")
    assert text_of(client, "/bore/B1/price").count(why) == 1
