"""The page of a way back: what was typed stays, sides are told in words, and its picture."""

from __future__ import annotations

import math
import re
from itertools import pairwise
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from rig_day_book import tell

from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

ROD = 3.048
PIPE = {"plan": "b1", "what": "gas", "how": "located", "size_mm": "100"}
ASK = "/bore/B1/way?depth_m=2&pitch_pct=0&rods=4&to_drill=4"


@pytest.fixture
def client(folder: Path) -> TestClient:
    return TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")


def field(page: str, name: str) -> str:
    found = re.search(f'<input id="{name}"[^>]*>', page)
    assert found is not None
    return found.group()


def test_what_was_typed_stays_and_every_wrong_field_is_marked(client: TestClient) -> None:
    answer = client.get("/bore/B1/way?depth_m=2,5&pitch_pct=steep&rods=1.5&to_drill=9")
    assert answer.status_code == 400
    for name, text, wrong in (
        ("depth", "2,5", False), ("pitch_pct", "steep", True), ("rods", "1.5", True),
        ("to_drill", "9", False),
    ):  # fmt: skip
        assert f'value="{text}"' in field(answer.text, name)
        assert ("aria-invalid" in field(answer.text, name)) == wrong
        assert (f'id="{name}-fault"' in answer.text) == wrong
    fewer = client.get("/bore/B1/way?depth_m=2&pitch_pct=0&rods=4&to_drill=3")
    assert "aria-invalid" in field(fewer.text, "to_drill")
    assert 'value="4"' in field(fewer.text, "rods")
    assert client.get("/bore/B1/way.json?rods=x").json()["error"]["faults"]


def test_rods_out_typed_wrong_stay_too(client: TestClient) -> None:
    answer = client.post("/bore/B1/anew", data={"back": "70", "turned": "no"})
    assert answer.status_code == 400
    assert 'value="70"' in field(answer.text, "rods_out")
    assert "aria-invalid" in field(answer.text, "rods_out")


def test_one_utility_is_told_as_one(client: TestClient, folder: Path) -> None:
    tell(folder, [("utility", PIPE | {"utility": "deep", "at_m": "30", "depth_top_m": "30"})])
    assert "the one utility entered" in client.get("/bore/B1/way").text
    tell(folder, [("utility", PIPE | {"utility": "other", "at_m": "30", "depth_top_m": "30"})])
    told = re.sub("<[^>]+>", "", client.get("/bore/B1/way").text)
    assert "the 2 utilities entered" in told


def test_a_hole_above_the_entry_is_told_so(client: TestClient, folder: Path) -> None:
    """Up a slope: twenty rods at 10 % climb 6 m from the 1.4 m the seven before went down."""
    rows = [
        ("reading", {"bore": "B1", "station": f"{n}", "pitch_pct": f"{min(10, n - 10)}",
                     "length_ft": "10"})
        for n in range(8, 28)
    ]  # fmt: skip
    tell(folder, rows)
    figures = client.get("/bore/B1/way.json").json()["figures"]
    depth = figures["way.B1.depth"]["value"]
    assert depth < -0.2
    assert figures["way.B1.depth_above"]["value"] == pytest.approx(-depth)
    told = re.sub("<[^>]+>", "", client.get("/bore/B1/way").text)
    assert f"{-depth:.2f}" in told
    assert f"-{-depth:.2f}" not in told
    assert "above the entry" in told


def with_headings(folder: Path) -> None:
    tell(folder, [
        ("reading", {"bore": "B1", "station": f"{n}", "pitch_pct": "-3", "length_ft": "10",
                     "heading_deg": "2", "heading_ref": "relative"})
        for n in (8, 9)
    ])  # fmt: skip


def test_a_choice_tells_depth_offset_and_clearance_where_it_passes(
    client: TestClient, folder: Path
) -> None:
    """Carried on at -3 % and 2 degrees to the right: by hand from where the tool stands."""
    with_headings(folder)
    figures = client.get("/bore/B1/way.json").json()["figures"]
    depth, aside = (figures[f"way.B1.{name}"]["value"] for name in ("depth", "offset"))
    at = 11.0 * ROD
    tell(folder, [("utility", PIPE | {"utility": "main", "at_m": f"{at}", "depth_top_m": "5"})])
    answer = client.get(ASK.replace("way?", "way.json?")).json()
    rows = {each["code"]: each for each in answer["view"]["choices"]}
    found, figures = rows["carry_on"]["passed"][0], answer["figures"]
    slope, toward = math.atan(0.03), math.radians(2.0)
    # nine rods down to 3 % lie 0.1 m short of their length at most
    on = at - 9 * ROD
    assert found["name"] == "main"
    value = {name: figures[f"way.B1.carry_on.0.{name}"]["value"] for name in ("depth", "offset")}
    assert value["depth"] == pytest.approx(depth + on * math.tan(slope), abs=0.01)
    assert value["offset"] == pytest.approx(aside + on * math.tan(toward), abs=0.01)
    left = 5.05 - value["depth"] - 0.05 * value["depth"]  # less what is to be kept
    keep = left - figures["way.B1.carry_on.0.left"]["value"]
    assert keep == pytest.approx(0.4572 + 0.505 + 0.05 + 0.07, abs=0.05)
    last = aside + 4 * ROD * math.cos(slope) * math.sin(toward)
    assert figures["way.B1.carry_on.offset_last"]["value"] == pytest.approx(last, abs=0.01)
    assert "right of the line" in client.get(ASK).text


def test_the_picture_shows_way_plan_and_hole_left_behind(client: TestClient, folder: Path) -> None:
    page = client.get(ASK).text
    drawn = page[page.index("<svg") : page.index("</svg>")]
    assert "From above" not in drawn  # no heading from the line was read
    assert "7 rods drilled, 4 of the way, utilities: 0, holes left behind: 0" in drawn
    drawing = client.get(ASK.replace("way?", "way.json?")).json()["view"]["drawing"]
    assert drawing["stations"] == [8, 9, 10, 11]
    assert len(drawing["way_m"]) == 5
    assert drawing["way_m"][0] == drawing["drilled_m"][-1]
    with_headings(folder)
    tell(folder, [("redrill", {"bore": "B1", "from_station": "9", "to_station": "7"})])
    page = client.get(ASK).text
    drawn = page[page.index("<svg") : page.index("</svg>")]
    drawing = client.get(ASK.replace("way?", "way.json?")).json()["view"]["drawing"]
    assert len(drawing["old_m"]) == 1
    assert len(drawing["old_m"][0]) == 3  # from rod 7's end over two rods
    assert "old hole 1" in drawn


def test_the_bores_own_picture_shows_the_hole_left_behind(client: TestClient, folder: Path) -> None:
    """Two rods past rod 7: it begins on the hole, and ends two rods of 10 ft from there."""
    with_headings(folder)
    tell(folder, [
        ("redrill", {"bore": "B1", "from_station": "9", "to_station": "7"}),
        ("reading", {"bore": "B1", "station": "8", "pitch_pct": "4", "length_ft": "10",
                     "anew": "1"}),
    ])  # fmt: skip
    picture = client.get("/bore/B1.json").json()["view"]["picture"]
    (old,) = picture["old"]
    hole = list(zip(picture["along"], picture["down"], strict=True))
    assert min(math.dist(old[0][:2], each) for each in hole) < 0.05
    assert sum(math.dist(a, b) for a, b in pairwise(old)) == pytest.approx(2 * ROD, abs=0.01)
    assert old[-1][1] > max(down for _, down in hole)  # steered up anew, the old one lies deeper
    page = client.get("/bore/B1").text
    assert "old hole 1" in page[page.index("<svg") : page.rindex("</svg>")]
