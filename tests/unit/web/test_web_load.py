"""The page of a box without a browser: what it offers, and what it refuses."""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from book_builder import ROD_TYPE
from rodhand.record.journal import Journal
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    with Journal.open(tmp_path / "book") as journal:
        for kind, payload in (
            ("rod-type", ROD_TYPE),
            ("rig", {"rig": "R/1", "rod_type": "R-M", "rods_per_row": "2"}),
            ("set", {"set": "S", "rod_type": "R-M", "count": "4", "marks_start": "M-1"}),
        ):
            journal.write(kind, payload, "2025-01-01")
    return tmp_path / "book"


@pytest.fixture
def client(folder: Path) -> TestClient:
    return TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1",
                      follow_redirects=False)  # fmt: skip


def tell(folder: Path, kind: str, payload: dict[str, str], day: str = "2025-02-01") -> None:
    with Journal.open(folder) as journal:
        journal.write(kind, payload, day)


def test_an_order_nobody_knows_is_not_offered(client: TestClient, folder: Path) -> None:
    assert "/enter/load?rig=R%2F1" in client.get("/load/R%2F1").text
    tell(folder, "load", {"rig": "R/1", "things": "S", "how": "set only"})
    assert client.get("/load/R%2F1.json").json()["view"]["rows"] == []
    assert client.get("/load/R9").status_code == 404


def test_a_rod_that_is_away_is_left_out_and_named(client: TestClient, folder: Path) -> None:
    tell(folder, "load", {"rig": "R/1", "things": "S", "how": "by row"})
    tell(folder, "whereabouts", {"things": "M-2", "where": "lent"}, "2025-02-02")
    view = client.get("/load/R%2F1.json").json()["view"]
    assert (view["things"], view["away"]) == ("M-1, M-3, M-4", ["M-2"])
    assert [[rod["name"] for rod in row["rods"]] for row in view["rows"]] == [
        ["M-1", "M-3"],
        ["M-4"],
    ]


def test_what_was_shown_is_what_is_entered(client: TestClient, folder: Path) -> None:
    tell(folder, "load", {"rig": "R/1", "things": "S", "how": "by row"})
    answer = client.post("/load/R%2F1", data={"what": "marked", "things": "M-4, M-3"})
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/load/R%2F1?done=marked")
    view = client.get("/load/R%2F1.json").json()["view"]
    assert (view["things"], view["how"]) == ("M-4, M-3", "marked")


@pytest.mark.parametrize(
    ("data", "told"),
    [
        ({"what": "else", "things": "M-1"}, "one of the buttons"),
        ({"what": "by row", "things": "M-1, M-9"}, "M-9"),
        ({"what": "swap", "things": "M-1, M-2", "touched": ["M-1", "M-2"]}, "drilled from"),
    ],
)
def test_faults_are_told_and_nothing_is_kept(
    client: TestClient, folder: Path, data: dict[str, str], told: str
) -> None:
    tell(folder, "load", {"rig": "R/1", "things": "S", "how": "by row"})
    answer = client.post("/load/R%2F1", data=data)
    assert answer.status_code == 400
    assert told in answer.text
    with Journal.open(folder, write=False) as journal:
        assert len(journal.entries()) == 4
