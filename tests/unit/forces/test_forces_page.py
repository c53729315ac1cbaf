"""The page of force and torque: served, linked, its figures those of its twin, its dots drawn."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from book_builder import YARD, Row, log_rows
from rodhand.record.journal import Journal
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

sys.path.insert(0, str(Path(__file__).parents[1] / "web"))
from web_reading import DIGIT_WITH_UNIT, differences, read

DAY = "2025-06-01"
ROWS: list[Row] = [
    *YARD,
    ("bore", {"bore": "A/1", "rig": "Rig-40"}, DAY),
    *log_rows(
        "A/1",
        [
            {"station": str(n), "length_ft": "10", "pitch_pct": f"{2 * n - 20}", "rpm": "100",
             "rotating_min": "3", "torque_Nm": f"{900 + 20 * n}", "thrust_kN": f"{5 + n}"}
            for n in range(1, 21)
        ],
        day=DAY,
    ),
    ("free-reading", {"bore": "A/1", "station": "20", "motion": "pick-up", "pull_kN": "4"}, DAY),
]  # fmt: skip


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    folder = tmp_path_factory.mktemp("forces") / "book"
    with Journal.open(folder) as journal:
        for kind, payload, *day in ROWS:
            happened = day[0] if day else DAY
            journal.write(kind, payload, happened, "p1", "+00:00", f"{happened}T12:00:00+00:00")
    return TestClient(create_app(BookDesk(folder, "2025-06-06")), base_url="http://127.0.0.1:8420")


@pytest.mark.parametrize("system", ["metric", "us"])
def test_page_and_twin_tell_one_thing(client: TestClient, system: str) -> None:
    client.cookies.set("units", system)
    page = read(client.get("/bore/A%2F1/forces").text)
    figures = client.get("/bore/A%2F1/forces.json").json()["figures"]
    assert len(page.figures) > 100
    assert differences(page, figures, system) == []
    assert not DIGIT_WITH_UNIT.search(page.text)


def test_every_reading_is_a_dot_and_the_free_one_an_open_one(client: TestClient) -> None:
    page = read(client.get("/bore/A%2F1/forces").text)
    kinds = [given.get("class") for tag, given in page.tags if tag == "circle"]
    widths = 3
    assert kinds.count("dot") == widths * 2 * 20
    assert kinds.count("free") == widths


def test_the_bore_leads_there_and_unknown_bores_do_not(client: TestClient) -> None:
    assert 'href="/bore/A%2F1/forces"' in client.get("/bore/A%2F1").text
    assert client.get("/bore/Z/forces").status_code == 404
