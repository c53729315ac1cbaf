"""The pages of a break or loss are served, and linked from where a user looks."""

from __future__ import annotations

import pytest
from claim_books import SEASON, on_disk
from fastapi.testclient import TestClient

from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

LINK = 'href="/claim/M1-03"'


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    # A day near the break of 2025-06-01: a break stays news for a while only.
    desk = BookDesk(on_disk(tmp_path_factory.mktemp("links") / "season", SEASON), "2025-06-05")
    return TestClient(create_app(desk), base_url="http://127.0.0.1:8420")


def test_this_week_and_the_thing_lead_to_the_file(client: TestClient) -> None:
    assert LINK in client.get("/").text
    assert LINK in client.get("/thing/M1-03").text
    assert 'href="/schedule"' in client.get("/office").text


@pytest.mark.parametrize(
    "address", ["/claim/M1-03", "/claim/M1-03/claim.pdf", "/claim/T-2/claim.zip", "/schedule"]
)
def test_every_part_is_served(client: TestClient, address: str) -> None:
    assert client.get(address).status_code == 200


def test_a_name_nobody_carries_is_not_here(client: TestClient) -> None:
    assert client.get("/claim/M1-99").status_code == 404
