"""The page that starts a book: led to from an empty folder, faults beside fields, nothing lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from web_reading import read

from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

TYPED = {
    "v.rod_type": "thirty", "v.tube_od": "2.375", "u.tube_od": "in", "v.wall": "0.28",
    "u.wall": "in", "v.length": "10", "u.length": "ft", "v.joint_od": "2.75", "u.joint_od": "in",
    "v.joint_bore": "1", "u.joint_bore": "in", "v.joint_length": "180", "u.joint_length": "mm",
    "v.limit_radius": "145", "u.limit_radius": "ft", "v.set": "S1", "v.count": "36",
    "v.box_rows": "3", "v.rig": "Rig-1", "happened": "2026-03-02",
}  # fmt: skip
JSON = {"Accept": "application/json"}


@pytest.fixture
def client(tmp_path: Path) -> TestClient:
    app = create_app(BookDesk(tmp_path / "book"))
    return TestClient(app, base_url="http://127.0.0.1", follow_redirects=False)


@pytest.mark.parametrize("path", ["/", "/yard", "/office"])
def test_without_a_book_the_first_pages_lead_to_its_start(client: TestClient, path: str) -> None:
    answer = client.get(path)
    assert (answer.status_code, answer.headers["location"]) == (303, "/start")
    assert client.get(path if path != "/" else "/index.json", headers=JSON).status_code == 503
    client.post("/start", data=TYPED)
    assert client.get(path).status_code == 200


def test_one_post_writes_all_and_leads_on(client: TestClient) -> None:
    answer = client.post("/start", data=TYPED)
    assert (answer.status_code, answer.headers["location"]) == (303, "/start/next")
    page = read(client.get("/start/next").text)
    assert "36" in page.plain or any(f.key == "start.rods" for f in page.figures)
    assert any("row 1 holds S1 no. 1 to S1 no. 12" in line for line in page.plain)
    links = [given["href"] for tag, given in page.tags if tag == "a" and "href" in given]
    assert "/enter/bore?rig=Rig-1" in links
    twin = client.get("/start/next.json").json()
    assert twin["figures"]["start.rods"]["value"] == 36


def test_faults_stand_beside_their_fields_and_nothing_is_lost(
    client: TestClient, tmp_path: Path
) -> None:
    typed = {**TYPED, "v.count": "36,5", "v.wall": "", "v.bought": "soon", "u.length": "m"}
    answer = client.post("/start", data=typed)
    assert answer.status_code == 400
    tags = read(answer.text).tags
    wrong = {g["name"] for _, g in tags if g.get("aria-invalid") == "true"}
    assert {"v.count", "v.wall", "v.bought"} <= wrong
    values = {g["name"]: g.get("value", "") for tag, g in tags if tag == "input" and "name" in g}
    assert {k: v for k, v in typed.items() if k.startswith("v.")}.items() <= values.items()
    chosen = [g["value"] for tag, g in tags if tag == "option" and "selected" in g]
    assert "m" in chosen
    assert not (tmp_path / "book").exists()


def test_a_day_nobody_can_read_is_told_at_its_field(client: TestClient) -> None:
    answer = client.post("/start", data={**TYPED, "happened": "spring"})
    assert answer.status_code == 400
    wrong = [g["name"] for _, g in read(answer.text).tags if "aria-invalid" in g]
    assert wrong == ["happened"]


def test_an_example_fills_the_fields_and_stays_marked(client: TestClient) -> None:
    page = read(client.get("/start?like=demo-mid").text)
    values = {g["name"]: g.get("value") for tag, g in page.tags if tag == "input" and "name" in g}
    assert values["v.tube_od"] == "2.375"
    assert values["like"] == "demo-mid"
    client.post("/start", data={**TYPED, "like": "demo-mid"})
    assert any("not all real" in line for line in read(client.get("/start/next").text).plain)


def test_faults_as_json(client: TestClient) -> None:
    answer = client.post("/start", data={"v.set": "S1"}, headers=JSON)
    assert answer.status_code == 400
    assert len(answer.json()["error"]["faults"]) >= 9
    assert "count" in client.get("/start.json").json()["columns"]


def test_after_a_bore_comes_its_log_and_after_a_reading_the_next(client: TestClient) -> None:
    client.post("/start", data=TYPED)
    bore = client.post(
        "/enter/bore", data={"v.bore": "A 1", "v.rig": "Rig-1", "happened": "2026-03-03"}
    )
    page = read(client.get(bore.headers["location"]).text)
    links = [given["href"] for tag, given in page.tags if tag == "a" and "href" in given]
    first = next(link for link in links if link.startswith("/enter/reading"))
    values = {
        g["name"]: g.get("value")
        for tag, g in read(client.get(first).text).tags
        if tag == "input" and "name" in g
    }
    assert (values["v.bore"], values["v.station"]) == ("A 1", "1")
    assert values["happened"] == "2026-03-03"
    typed = {
        "v.bore": "A 1", "v.pass": "pilot", "v.station": "1", "v.inclination": "80",
        "v.push_time": "2", "u.push_time": "h", "happened": "2026-03-03",
    }  # fmt: skip
    reading = client.post("/enter/reading", data=typed)
    page = read(client.get(reading.headers["location"]).text)
    links = [given["href"] for tag, given in page.tags if tag == "a" and "href" in given]
    following = next(link for link in links if link.startswith("/enter/reading?"))
    form = read(client.get(following).text)
    values = {g["name"]: g for tag, g in form.tags if tag == "input" and "name" in g}
    assert values["v.station"]["value"] == "2"
    assert values["v.inclination"].get("value", "") == ""
    assert "autofocus" in values["v.inclination"]
    units = [g for tag, g in form.tags if tag == "option" and "selected" in g]
    assert "h" in [g["value"] for g in units if "value" in g]
    assert "/bore/A%201" in links
