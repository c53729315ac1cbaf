"""The page of a way back."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from rig_day_book import tell

from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

LENGTH = 2 * 3.048  # two rods of 10 ft [m]


@pytest.fixture
def client(folder: Path) -> TestClient:
    return TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")


def test_before_an_end_is_asked_for_no_way_is_shown(client: TestClient) -> None:
    twin = client.get("/bore/B1/way.json").json()
    assert twin["view"]["rows"] == []
    page = client.get("/bore/B1/way").text
    assert "Say where the pilot should be" in page
    assert "No utility is entered for this bore" in page


def test_a_way_starts_from_the_last_reading(client: TestClient) -> None:
    """Seven rods read to -3 %: a level end two rods on, at the depth of an even bend up."""
    twin = client.get("/bore/B1/way.json").json()
    start = math.atan(-0.03)
    assert twin["figures"]["way.B1.last"]["value"] == pytest.approx(start)
    depth = twin["figures"]["way.B1.depth"]["value"] + LENGTH * (1 - math.cos(start)) / -start
    twin = client.get(f"/bore/B1/way.json?depth_m={depth}&pitch_pct=0&rods=2").json()
    assert twin["view"]["reached"]
    assert [row["station"] for row in twin["view"]["rows"]] == [8, 9]
    assert twin["figures"]["way.B1.8.pitch"]["value"] == pytest.approx(start / 2, abs=1e-4)


def test_what_cannot_be_reached_is_told(client: TestClient) -> None:
    page = client.get("/bore/B1/way?depth_m=50&pitch_pct=0&rods=2").text
    assert "It cannot be reached" in page


def test_an_unread_rod_stops_it(client: TestClient, folder: Path) -> None:
    tell(folder, [("reading", {"bore": "B1", "station": "8", "length_ft": "10"})])
    page = client.get("/bore/B1/way?depth_m=2&pitch_pct=0&rods=4").text
    assert "went by without a pitch" in page


@pytest.mark.parametrize("asked", ["depth_m=x&pitch_pct=0&rods=2", "depth_m=1&pitch_pct=0&rods=0"])
def test_what_cannot_be_worked_is_refused(client: TestClient, asked: str) -> None:
    assert client.get(f"/bore/B1/way?{asked}").status_code == 400


def test_what_cannot_be_read_hides_nothing_out_of_range(client: TestClient) -> None:
    asked = "depth_m=abc&pitch_pct=900&rods=0&to_drill=401&back=1.5"
    told = client.get(f"/bore/B1/way.json?{asked}")
    assert told.status_code == 400
    columns = ["depth", "back", "to_drill", "rods", "pitch_pct"]
    faults = told.json()["error"]["faults"]
    assert [each.split()[1] for each in faults] == [f"{column}:" for column in columns]
    assert "«900»" in faults[-1]
    page = client.get(f"/bore/B1/way?{asked}").text
    for column in columns:
        assert f'aria-describedby="{column}-fault"' in page


def test_rods_out_of_range_are_told_without_a_depth(client: TestClient) -> None:
    page = client.get("/bore/B1/way?rods=0").text
    assert 'aria-describedby="rods-fault"' in page


def test_no_such_bore(client: TestClient) -> None:
    assert client.get("/bore/B9/way").status_code == 404


def test_without_heading_no_utility_is_to_be_passed_on_it(client: TestClient) -> None:
    page = client.get("/bore/B1/way?depth_m=2&pitch_pct=0&rods=6").text
    assert "Do not pass a utility on this" in page


def test_once_a_later_pass_began_no_way_is_offered(client: TestClient, folder: Path) -> None:
    tell(folder, [("pass", {"bore": "B1", "pass": "pullback", "what": "pullback"})])
    twin = client.get("/bore/B1/way.json?depth_m=2&pitch_pct=0&rods=6").json()
    assert twin["view"]["rows"] == []


def test_choices_with_their_costs_and_who_will_pass(client: TestClient, folder: Path) -> None:
    """Rod 8 ends 12 % steeper than rod 7: over the limit of 145 ft on 10 ft; four rods follow."""
    tell(folder, [("reading", {"bore": "B1", "station": "8", "pitch_pct": "-15",
                               "length_ft": "10", "rpm": "100", "rotating_min": "4"})])  # fmt: skip
    answer = client.get("/bore/B1/way.json?depth_m=3&pitch_pct=-10&rods=2&to_drill=4").json()
    view, figures = answer["view"], answer["figures"]
    assert [each["code"] for each in view["choices"]][-1] == "carry_on"
    assert {each["code"] for each in view["choices"]} == {"ease", "pull_back", "carry_on"}
    assert view["over"][0]["station"] == 8.0
    assert view["over"][0]["in_it"] == ["M-01"]
    assert view["over"][0]["to_come"] == [f"M-{n:02d}" for n in range(2, 6)]
    worst = {each["code"]: figures[f"way.B1.{each['code']}.worst"]["value"]
             for each in view["choices"]}  # fmt: skip
    assert all(value > 0.0 for value in worst.values())
    page = client.get("/bore/B1/way?depth_m=3&pitch_pct=-10&rods=2&to_drill=4").text
    assert "Rods out: " in page


def test_each_choice_tells_what_is_left_to_a_utility(client: TestClient, folder: Path) -> None:
    """Seven rods down to about 1.4 m, rod 8 to 1.65 m at -15 %. Carried on, rod 12 ends 4 x 3.048 m
    x 0.148 = 1.8 m deeper; the way back levels off near 2 m. A pipe at 3.3 m is met by it."""
    tell(folder, [("reading", {"bore": "B1", "station": "8", "pitch_pct": "-15",
                               "length_ft": "10", "rpm": "100", "rotating_min": "4"})])  # fmt: skip
    ask = "/bore/B1/way.json?depth_m=2&pitch_pct=0&rods=4&to_drill=4"
    rows = {each["code"]: each for each in client.get(ask).json()["view"]["choices"]}
    assert [each["near"] for each in rows.values()] == [None] * 3
    pipe = {"plan": "b1", "utility": "main", "what": "gas", "how": "located", "size_mm": "100",
            "at_m": str(11.8 * 3.048), "depth_top_m": "3.2"}  # fmt: skip
    tell(folder, [("utility", pipe)])
    answer = client.get(ask).json()
    rows = {each["code"]: each for each in answer["view"]["choices"]}
    assert rows["ease"]["near"]["key"] == "way.choice_left"
    assert rows["carry_on"]["near"]["key"] == "way.choice_near"
    left = answer["figures"]["way.B1.ease.left"]["value"]
    # From the middle of the pipe at 3.25 m to the hole at 2 to 2.2 m there, less 18 in, a tenth of
    # 3.2 m and half of pipe and hole: 1.05 to 1.25 - 0.457 - 0.32 - 0.05 - some 0.04 m.
    assert left == pytest.approx(0.28, abs=0.12)
    assert "do not do this" in client.get(ask.replace(".json", "")).text


@pytest.mark.parametrize("more", ["to_drill=1", "to_drill=401", "back=7", "back=1.5"])
def test_choices_that_cannot_be(client: TestClient, more: str) -> None:
    asked = f"/bore/B1/way?depth_m=1&pitch_pct=0&rods=2&to_drill=4&{more}"
    if more.startswith("to_drill"):
        asked = f"/bore/B1/way?depth_m=1&pitch_pct=0&rods=2&{more}"
    assert client.get(asked).status_code == 400


def test_a_way_too_near_a_utility_is_not_offered(client: TestClient, folder: Path) -> None:
    """A pipe laid where the way's next rod ends; one 30 m deep changes nothing."""
    figures = client.get("/bore/B1/way.json").json()["figures"]
    depth = figures["way.B1.depth"]["value"]
    ask = f"/bore/B1/way.json?depth_m={depth}&pitch_pct=0&rods=4"
    pipe = {"plan": "b1", "what": "gas", "how": "located", "size_mm": "100"}
    at = str(8 * 3.048)
    tell(folder, [("utility", pipe | {"utility": "deep", "at_m": at, "depth_top_m": "30"})])
    assert client.get(ask).json()["view"]["rows"]
    here = {"utility": "main", "at_m": at, "depth_top_m": f"{max(depth, 0):.2f}"}
    tell(folder, [("utility", pipe | here)])
    twin = client.get(ask).json()
    assert twin["view"]["rows"] == []
    assert twin["view"]["told"]["key"] == "way.too_near"
    tell(folder, [("utility", pipe | {"utility": "main", "at_m": at})])  # its depth not known
    assert client.get(ask).json()["view"]["told"]["key"] == "way.too_near"


def planned(folder: Path, *more: tuple[str, dict[str, str]]) -> None:
    """Headings read on the last two rods, a plan that runs straight on level from -3 % upward."""
    pitches = " ".join(["-9", "-8", "-7", "-6", "-5", "-4", "-3", *["-2"] * 8])
    plan = {"plan": "B1", "rig": "Rig-40", "distance_m": "60", "entry_pitch_pct": "-10",
            "exit_pitch_pct": "15", "chosen": "own", "pitches": pitches}  # fmt: skip
    read = [
        ("reading", {"bore": "B1", "station": f"{n}", "pitch_pct": f"{-10 + n}",
                     "length_ft": "10", "heading_deg": "1"})
        for n in range(8, 10)
    ]  # fmt: skip
    tell(folder, [*read, ("plan", plan), *more])


def test_back_onto_the_plan_in_both_planes(client: TestClient, folder: Path) -> None:
    """Blank depth and pitch: the end is the plan's at rod 15, drawn here by its own targets."""
    planned(folder)
    twin = client.get("/bore/B1/way.json?rods=6").json()
    assert twin["view"]["planned"]
    assert twin["view"]["reached"]
    figures = twin["figures"]
    targets = [math.atan(p / 100) for p in (-10, -9, -8, -7, -6, -5, -4, -3, *[-2] * 8)]
    depth = sum(-3.048 * math.sin((a + b) / 2) for a, b in pairwise(targets))
    assert figures["way.B1.15.depth"]["value"] == pytest.approx(depth, abs=0.02)
    assert figures["way.B1.15.pitch"]["value"] == pytest.approx(math.atan(-0.02), abs=2e-3)
    assert figures["way.B1.15.heading"]["value"] == pytest.approx(0.0, abs=2e-3)
    assert figures["way.B1.15.offset"]["value"] == pytest.approx(0.0, abs=0.02)
    room, before = figures["way.B1.room"]["value"], (figures["way.B1.last"]["value"], None)
    heading = math.radians(1.0)
    for station in range(10, 16):  # no rod bends past its room, both planes together
        now = figures[f"way.B1.{station}.pitch"]["value"]
        turned = figures[f"way.B1.{station}.heading"]["value"]
        bend = math.hypot(now - before[0], math.cos(now) * (turned - heading))
        assert bend <= room * (1 + 1e-3)
        before, heading = (now, None), turned


def test_a_utility_is_gone_round_or_no_way_is_offered(client: TestClient, folder: Path) -> None:
    utility = {"plan": "B1", "utility": "gas-1", "what": "gas", "how": "potholed seen",
               "at_m": "37", "runs": "across", "size_mm": "100", "depth_top_m": "1.9"}  # fmt: skip
    planned(folder, ("utility", utility))
    twin = client.get("/bore/B1/way.json?rods=6").json()
    view = twin["view"]
    # Offered only where every rod keeps off it: drawn here from the twin, rod end by rod end.
    if view["rows"]:
        for row in view["rows"]:
            depth = twin["figures"][f"way.B1.{row['station']}.depth"]["value"]
            along = 3.048 * row["station"]
            assert math.hypot(along - 37, depth - 1.95) > 0.4572 or abs(along - 37) > 1.0
    unknown = {**utility, "utility": "drain", "depth_top_m": "", "how": "drawing"}
    tell(folder, [("utility", unknown)])
    view = client.get("/bore/B1/way.json?rods=6").json()["view"]
    assert view["rows"] == []
    assert view["reached"] is False
