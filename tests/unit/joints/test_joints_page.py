"""The page of the shoulders: served, linked, its figures those of its twin, in both languages."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from test_shoulders import SEATED, rows_of

from book_builder import YARD, Row
from rodhand.record.journal import Journal
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

sys.path.insert(0, str(Path(__file__).parents[1] / "web"))
from web_reading import DIGIT_WITH_UNIT, differences, read

ROWS: list[Row] = [
    ("rod-type", SEATED, "2025-01-01"),
    *YARD[1:],
    *rows_of(dict.fromkeys(range(1, 8), 1.0) | {4: 0.05, 5: 0.05}),
]


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    folder = tmp_path_factory.mktemp("joints") / "book"
    with Journal.open(folder) as journal:
        for kind, payload, *day in ROWS:
            happened = day[0] if day else "2025-06-01"
            journal.write(kind, payload, happened, "p1", "+00:00", f"{happened}T12:00:00+00:00")
    return TestClient(create_app(BookDesk(folder, "2025-06-06")), base_url="http://127.0.0.1:8420")


@pytest.mark.parametrize("system", ["metric", "us"])
def test_page_and_twin_tell_one_thing(client: TestClient, system: str) -> None:
    client.cookies.set("units", system)
    page = read(client.get("/bore/A/joints").text)
    figures = client.get("/bore/A/joints.json").json()["figures"]
    assert len(page.figures) > 50
    assert differences(page, figures, system) == []
    assert not DIGIT_WITH_UNIT.search(page.text)


def test_what_opened_is_named_and_linked_from_bore_week_and_rod(client: TestClient) -> None:
    text = client.get("/bore/A/joints").text
    assert text.count('class="alarmed"') >= 2
    bore = client.get("/bore/A").text
    assert '/bore/A/joints"' in bore
    assert "Shoulders opened at A" in bore
    assert "/bore/A/joints" in client.get("/").text
    assert "Under-torque, not the bend" in client.get("/thing/M1-05").text


def test_a_bore_nobody_drilled_is_not_here(client: TestClient) -> None:
    assert client.get("/bore/Z/joints").status_code == 404
    assert client.get("/bore/Z/joints.json").status_code == 404


def test_the_other_language_has_the_page(client: TestClient) -> None:
    answer = client.get("/bore/A/joints", headers={"Accept-Language": "es"})
    assert "Hombros de las uniones" in answer.text
