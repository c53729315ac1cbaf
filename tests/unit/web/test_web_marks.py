"""The page of marks: one touch for a row, faults kept with what was typed."""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from test_web_start import TYPED
from web_reading import read

from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk


@pytest.fixture
def client(tmp_path: Path) -> TestClient:
    made = TestClient(
        create_app(BookDesk(tmp_path / "book")),
        base_url="http://127.0.0.1",
        follow_redirects=False,
    )
    made.post("/start", data=TYPED)
    return made


def test_the_button_of_a_row_marks_it(client: TestClient) -> None:
    tags = read(client.get("/marks").text).tags
    hidden = [g["value"] for tag, g in tags if tag == "input" and g.get("name") == "rods"]
    assert hidden[:3] == ["S1 no. 1..S1 no. 12", "S1 no. 13..S1 no. 24", "S1 no. 25..S1 no. 36"]
    firsts = [g["value"] for tag, g in tags if tag == "input" and g.get("name") == "first"]
    answer = client.post("/marks", data={"rods": hidden[0], "first": firsts[0]})
    assert answer.headers["location"] == "/marks"
    view = client.get("/marks.json").json()
    assert view["figures"]["marks.unmarked"]["value"] == 24
    assert "S1-12" in read(client.get("/yard").text).plain


def test_a_fault_keeps_what_was_typed(client: TestClient) -> None:
    answer = client.post(
        "/marks", data={"rods": "S1 no. 40", "first": "M-1", "happened": "2026-05-01"}
    )
    assert answer.status_code == 400
    tags = read(answer.text).tags
    assert [g["name"] for _, g in tags if g.get("aria-invalid") == "true"] == ["rods"]
    last = {g["name"]: g.get("value", "") for tag, g in tags if tag == "input" and "name" in g}
    assert (last["rods"], last["first"]) == ("S1 no. 40", "M-1")


def test_without_a_book_nothing_can_be_marked(tmp_path: Path) -> None:
    made = TestClient(create_app(BookDesk(tmp_path / "no")), base_url="http://127.0.0.1")
    answer = made.get("/marks", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/start")
    assert made.get("/marks.json").status_code == 503
    assert made.post("/marks", data={"rods": "S1 no. 1", "first": "A-1"}).status_code == 503
    assert not (tmp_path / "no").exists()
