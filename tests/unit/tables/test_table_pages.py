"""The page of foreign tables without a browser: its JSON twin and what it refuses."""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from rodhand.record.journal import Journal
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

LOG = b"Stange Nr;Neigung [%];Tiefe (cm)\n1;20,5;61\n2;15;110\n"
JSON = {"accept": "application/json"}


@pytest.fixture
def client(tmp_path: Path) -> TestClient:
    with Journal.open(tmp_path / "book") as journal:
        journal.write("rig", {"rig": "R"}, "2025-01-01")
        journal.write("bore", {"bore": "T-9", "rig": "R"}, "2025-01-02")
    return TestClient(create_app(BookDesk(tmp_path / "book")), base_url="http://127.0.0.1")


def test_the_twin_says_what_was_found_and_what_is_understood(client: TestClient) -> None:
    sent = {"file": ("log.csv", LOG, "text/csv")}
    told = client.post("/table/look", data={"bore": "T-9"}, files=sent, headers=JSON).json()
    assert told["found"]["rows"][0] == ["1", "20,5", "61"]
    assert told["understood"]["rows"][0] == ["1", "-20.5", "0.61"]
    assert told["understood"]["lines"] == [2, 3]
    assert (told["rows"], told["entries"], told["faults"]) == (2, 2, [])
    assert client.get("/table", headers=JSON).json()["imports"] == []


def test_a_file_that_is_no_longer_held_is_asked_for_again(client: TestClient) -> None:
    answer = client.post("/table/take", data={"digest": "0" * 64, "what": "reading"}, headers=JSON)
    assert answer.status_code == 400
    assert "once more" in answer.json()["error"]["faults"][0]


def test_an_unknown_kind_and_a_table_that_is_not_there_are_refused(client: TestClient) -> None:
    sent = {"file": ("log.csv", LOG, "text/csv")}
    answer = client.post("/table/look", data={"what": "poem"}, files=sent, headers=JSON)
    assert answer.status_code == 400
    assert client.post("/table/undo", data={"entry": "x"}, headers=JSON).status_code == 400
