"""The page of the rods in their clearance: which hole and force, what it does not know."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from book_builder import ROD_TYPE
from rodhand.record.journal import Journal
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

PITCHES = (-20, -20, -20, -12, -4, 0, 0, 0)
"""Two rods in the middle bend 8 % each; the rest is straight or nearly. [%]"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    with Journal.open(tmp_path / "book") as journal:
        journal.write("rod-type", ROD_TYPE, "2025-01-01")
        journal.write("rig", {"rig": "R-1", "rod_type": "R-M"}, "2025-01-01")
        journal.write(
            "bore", {"bore": "B/1", "rig": "R-1", "hole_diameter_mm": "100"}, "2025-02-01"
        )
        for n, pitch in enumerate(PITCHES, 1):
            row = {"bore": "B/1", "station": str(n), "pitch_pct": str(pitch), "thrust_kN": str(n)}
            journal.write("reading", row, "2025-02-01")
        pull = {"bore": "B/1", "pass": "pullback", "what": "pullback", "pull_kN": "40"}
        journal.write("pass", pull | {"hole_diameter_mm": "200", "rpm": "80"}, "2025-02-02")
    return tmp_path / "book"


@pytest.fixture
def client(folder: Path) -> TestClient:
    return TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")


def _twin(client: TestClient, query: str = "") -> dict[str, Any]:
    answer = client.get(f"/bore/B%2F1/bend.json{query}")
    assert answer.status_code == 200
    found = answer.json()
    return {
        "values": {key: each["value"] for key, each in found["figures"].items()},
        "warnings": [each["key"] for each in found["view"]["warnings"]],
        "view": found["view"],
    }


def test_pilot_takes_the_hole_of_the_bore_and_the_median_thrust(client: TestClient) -> None:
    found = _twin(client)
    assert found["values"]["bend.diameter"] == pytest.approx(0.100)
    assert found["values"]["bend.thrust"] == pytest.approx(4.5e3)
    assert found["warnings"] == ["bend.no_heading"]


def test_rods_pulled_back_stand_ahead_of_the_reamer(client: TestClient) -> None:
    """The reamer's 200 mm are behind the tool, where no rod is."""
    found = _twin(client, "?pass=pullback")
    assert found["values"]["bend.diameter"] == pytest.approx(0.100)
    assert found["values"]["bend.pull"] == pytest.approx(40e3)


def test_bend_of_the_hole_by_place_and_rods_that_take_less(client: TestClient) -> None:
    """Row 4 and row 5 each turn atan(.20) to atan(.12) to atan(.04): places 5 and 4 of 8."""
    values = _twin(client)["values"]
    angle = math.atan(0.20) - math.atan(0.12)
    tightest = min(v for k, v in values.items() if k.endswith(".hole_bend"))
    other = math.atan(0.12) - math.atan(0.04)
    assert tightest == pytest.approx(3.048 / max(angle, other), rel=1e-3)
    steel = min(v for k, v in values.items() if k.endswith(".rod_bend"))
    assert steel != pytest.approx(tightest, rel=0.02)


def test_page_shows_each_figure_of_its_twin(client: TestClient) -> None:
    text = client.get("/bore/B%2F1/bend?free_length_m=2&bow_mm=8").text
    for key in _twin(client, "?free_length_m=2&bow_mm=8")["values"]:
        assert f'data-key="{key}"' in text
    assert "<svg" in text
    assert "/bore/B%2F1/bend?pass=pilot" in client.get("/bore/B%2F1").text


def test_free_rod_between_rig_and_ground(client: TestClient) -> None:
    """187 kN over 2 m with a bow of 8 mm, as in the published test of the column."""
    values = _twin(client, "?free_length_m=2&bow_mm=8")["values"]
    assert values["bend.thrust_at_rig"] == pytest.approx(187e3, rel=0.01)


@pytest.mark.parametrize("query", ["free_length_m=x", "free_length_m=0", "bow_mm=-1"])
def test_what_is_no_length_is_refused(client: TestClient, query: str) -> None:
    assert client.get(f"/bore/B%2F1/bend?{query}").status_code == 400


def test_thrust_that_buckles_gives_no_bends(client: TestClient, folder: Path) -> None:
    row = {"bore": "B/1", "pitch_pct": "0", "thrust_kN": "900"}
    with Journal.open(folder) as journal:
        for station in range(9, 18):
            journal.write("reading", row | {"station": str(station)}, "2025-02-01")
    found = _twin(client)
    assert "bend.buckles" in found["warnings"]
    assert found["view"]["drawing"]["at_m"] == []
    assert not any(key.endswith(".rod_bend") for key in found["values"])
    assert client.get("/bore/B%2F1/bend").status_code == 200


def test_no_such_bore_or_pass(client: TestClient) -> None:
    assert client.get("/bore/B9/bend").status_code == 404
    assert client.get("/bore/B%2F1/bend?pass=swab").status_code == 404


def test_a_free_rod_is_asked_for_in_the_units_of_the_page(client: TestClient) -> None:
    """2 m are 6.5617 ft and 8 mm 0.31496 in (an inch is 25.4 mm)."""
    metric = _twin(client, "?free_length_m=2&bow_mm=8")["values"]["bend.thrust_at_rig"]
    us = _twin(client, "?free_length_ft=6.5617&bow_in=0.31496")["values"]["bend.thrust_at_rig"]
    assert us == pytest.approx(metric, rel=1e-4)
    page = client.get("/bore/B%2F1/bend?units=us&free_length_ft=x").text
    assert 'name="free_length_ft"' in page
    assert 'value="x"' in page
