"""Plans through the pages and the command: form, refusal, keep, paper, twin, both unit systems."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from rodhand.book.entry.keeping import enter
from rodhand.book.plan.plan_page import plan_view
from rodhand.book.plan.planned import in_way_of
from rodhand.cli.main import app
from rodhand.record.entry import Draft
from rodhand.record.planned import Utility
from rodhand.units import show
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

FORM = {
    "v.plan": "High Street", "v.rod_type": "demo-small", "v.distance": "60", "u.distance": "m",
    "v.entry_pitch": "25", "u.entry_pitch": "pct", "v.exit_pitch": "20", "u.exit_pitch": "pct",
    "v.cover": "1.5", "u.cover": "m", "v.cover_from": "20", "u.cover_from": "m",
    "v.cover_to": "40", "u.cover_to": "m",
}  # fmt: skip
GAS = {
    "plan": "high street", "utility": "gas", "what": "gas", "how": "located", "at_m": "15",
    "depth_top_m": "0.9", "size_mm": "100",
}  # fmt: skip


@pytest.fixture
def client(tmp_path: Path) -> TestClient:
    enter(tmp_path, [Draft("rig", {"rig": "R1"}, "", "", "")], "test")
    return TestClient(create_app(BookDesk(tmp_path)), base_url="http://127.0.0.1")


def test_a_plan_from_the_form_to_the_paper(client: TestClient, tmp_path: Path) -> None:
    assert client.post("/plan", data=FORM).status_code == 200
    enter(tmp_path, [Draft("utility", GAS, "", "", "")], "test")
    page = client.get("/plan/high%20street").text
    assert "It can be drilled inside every limit entered here." in page
    assert "expose it by hand" in page
    assert client.get("/plan/High%20Street/plan.pdf").content.startswith(b"%PDF")
    plain = client.get("/plan/High%20Street/print?path=shortest").text
    assert "shortest" in plain
    twin = client.get("/plan/High%20Street.json").json()
    figures = twin["figures"]
    assert figures["plan.High Street.rod.1.pitch"]["value"] == pytest.approx(-math.atan(0.25))
    assert figures["plan.High Street.easiest.clear"]["value"] >= -1e-3
    us = client.get("/plan/High%20Street?units=us").text
    assert "ft" in us
    assert "High Street" in client.get("/plan").text


def test_a_kept_path_is_the_plan_until_it_is_entered_anew(
    client: TestClient, tmp_path: Path
) -> None:
    client.post("/plan", data=FORM)
    wanted = plan_view(tmp_path, "High Street", "shortest").rows
    client.post("/plan/High%20Street/keep", data={"path": "shortest"})
    view = plan_view(tmp_path, "High Street")
    assert (view.chosen, view.shown) == ("shortest", "kept")
    for kept, was in zip(view.rows, wanted, strict=False):
        assert kept.figures["pitch"].value == pytest.approx(
            was.figures["pitch"].value, abs=math.atan(0.0006)
        )
    assert [each.key for each in view.limits] == [
        "plan.limit.rod", "plan.limit.long_life", "plan.steering_assumed",
    ]  # fmt: skip
    client.post("/plan", data=FORM)
    assert plan_view(tmp_path, "High Street").chosen == ""


def test_a_path_that_is_none_is_refused(client: TestClient) -> None:
    client.post("/plan", data=FORM)
    assert client.post("/plan/High%20Street/keep", data={"path": "nicest"}).status_code == 400


def test_everything_wrong_is_told_beside_its_field(client: TestClient) -> None:
    wrong = FORM | {"v.distance": "0", "v.entry_pitch": "steep", "v.cover_to": "10", "v.plan": ""}
    answer = client.post("/plan", data=wrong)
    assert answer.status_code == 400
    for told in ("more than 0", "more than where cover holds from, 20.00", 'value="steep"'):
        assert told in answer.text


def test_a_refused_plan_says_why_and_what_mends_it(client: TestClient, tmp_path: Path) -> None:
    client.post("/plan", data=FORM | {"v.cover": "2", "v.cover_from": "6"})
    page = client.get("/plan/High%20Street").text
    assert "Refused: the hole cannot be deep enough where the cover begins" in page
    assert "Enough alone: rig farther back by" in page
    view = plan_view(tmp_path, "High Street")
    by = next(each for each in view.changes if each.key == "plan.change.back").values["by"]
    # 2 m at 25 % take 8 m, 6 are there
    assert not isinstance(by, str)
    assert by.value == pytest.approx(2.05, abs=0.16)


def test_a_utility_nobody_found_is_told_before_drilling(client: TestClient, tmp_path: Path) -> None:
    client.post("/plan", data=FORM)
    drawn = GAS | {"how": "drawing", "utility": "old main", "depth_top_m": ""}
    enter(tmp_path, [Draft("utility", drawn, "", "", "")], "test")
    page = client.get("/plan/High%20Street").text
    assert "nobody knows how deep old main lies" in page
    assert "old main is not found: locate it and expose it by hand" in page


def test_without_rods_or_a_limit_nothing_is_worked(client: TestClient, tmp_path: Path) -> None:
    client.post("/plan", data=FORM | {"v.rod_type": "no such rods"})
    assert plan_view(tmp_path, "High Street").candidates == ()
    assert "Say which rods drill it" in client.get("/plan/High%20Street").text


def test_a_bore_that_is_only_planned_leads_to_its_plan(client: TestClient) -> None:
    client.post("/plan", data=FORM)
    answer = client.get("/bore/high%20street", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/plan/high%20street")
    assert client.get("/bore/High%20Street.json").json()["figures"]
    assert client.get("/bore/Low%20Street", follow_redirects=False).status_code == 404


def test_a_bore_without_a_plan_leads_to_the_form(client: TestClient) -> None:
    page = client.get("/plan/B-77")
    assert page.url.path == "/plan"
    assert 'value="B-77"' in page.text
    assert client.get("/plan/B-77.json").status_code == 404


def test_what_is_to_keep_by_hand() -> None:
    # 4 in pipe 0.9 m under the ground, located: half sizes, 18 in and a tenth of 0.95 m
    way = in_way_of(
        Utility(None, "A", "gas", "gas", "located", 15.0, depth_top=0.9, size=0.1),  # type: ignore[arg-type]
        0.1,
    )
    assert way.depth == pytest.approx(0.95)
    assert way.keep == pytest.approx(0.05 + 0.1 + 0.4572 + 0.095)
    unknown = in_way_of(Utility(None, "A", "x", "gas", "unknown", 15.0, depth_top=0.9), 0.1)  # type: ignore[arg-type]
    assert unknown.keep == pytest.approx(0.25 + 0.1 + 3.0)


def test_a_little_life_is_not_printed_as_none() -> None:
    told = [show(each, "life", "metric") for each in (0.0, 0.00004, 0.00006)]
    assert told == ["0.0000", "<0.0001", "0.0001"]


def test_the_command(client: TestClient, tmp_path: Path) -> None:
    client.post("/plan", data=FORM)
    run = CliRunner()
    book = ["--book", str(tmp_path)]
    good = run.invoke(app, ["plan", "High Street", *book, "--json"])
    assert good.exit_code == 0
    figures = json.loads(good.output)["figures"]
    pull = next(each for key, each in figures.items() if key.endswith("easiest.pull"))
    assert json.loads(good.output)["view"]["shown"] == "easiest"
    paper = tmp_path / "plan.pdf"
    told = run.invoke(app, ["plan", "high street", *book, "--pdf", str(paper), "--units", "us"])
    assert told.exit_code == 0
    assert paper.read_bytes().startswith(b"%PDF")
    low, high = (f"{pull[end] / 4.4482216152605:,.0f}" for end in ("low", "high"))
    assert f"{pull['shown_us']} ({low} to {high})" in told.output
    client.post("/plan", data=FORM | {"v.cover": "9"})
    assert run.invoke(app, ["plan", "High Street", *book]).exit_code == 1
