"""This rod: the room by hand, its row kept three ways, what is refused, the page."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from rig_day_book import BORE, RIG, kept, tell

from rodhand.book.entry.pressed import take_back
from rodhand.book.rig.this_rod import ThisRodView, keep_row, this_rod
from rodhand.faults import BadInputError
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

BEGUN = len((*RIG, *BORE))


def value(view: ThisRodView, name: str) -> float:
    found = view.room.figures[name].value
    assert found is not None
    return found


def test_the_eighth_rod_from_the_seventh_reading(folder: Path) -> None:
    """Last read -3 %; limit 10 % on 10 ft is 0.1 rad over the rod. Reading error by hand:
    0.25 % and a step of 0.1 %/sqrt 12, so 0.002517, times sqrt 2 and 1.645: 0.005855 off."""
    view = this_rod(folder, "rig-40")
    assert (view.station, view.rods, view.last) == (8, "M-08", "-3")
    assert view.room.governs == "rod"
    limit = 10 * 0.3048 / value(view, "limit_radius")
    sd = math.hypot(0.0025, 0.001 / math.sqrt(12)) * math.cos(math.atan(0.03)) ** 2
    room = limit - 1.64485 * math.sqrt(2) * sd
    assert value(view, "to") - math.atan(-0.03) == pytest.approx(room, rel=1e-4)
    assert value(view, "from") - math.atan(-0.03) == pytest.approx(-room, rel=1e-4)
    assert "sideways" not in view.room.figures  # nobody read a heading


def test_a_heads_stricter_limit_governs(tmp_path: Path) -> None:
    head = ("thing", {"thing": "HD-1", "what": "head", "rig": "Rig-40", "limit_radius_m": "80"})
    rows = [head if row[1].get("thing") == "HD-1" else row for row in RIG]
    tell(tmp_path / "b", (*rows, *BORE))
    view = this_rod(tmp_path / "b", "Rig-40")
    assert view.room.governs == "head"
    assert value(view, "limit_radius") == pytest.approx(80.0)


def test_after_a_rod_without_a_pitch_no_room_is_told(folder: Path) -> None:
    keep_row(folder, "Rig-40", "B1", "8", "not read", {})
    view = this_rod(folder, "Rig-40")
    assert (view.station, view.last) == (9, "")
    assert view.room.told.key == "this_rod.not_read"
    assert "from" not in view.room.figures


@pytest.mark.parametrize(
    ("what", "typed", "payload"),
    [
        ("read", {"pitch_pct": "-1.4"}, {"pitch_pct": "-1.4"}),
        ("same", {}, {"pitch_pct": "-3", "signs": 'pitch_pct "'}),
        ("not read", {"pitch_pct": "-9"}, {}),
        ("read", {"pitch_pct": "0", "push_ft": "1.2", "heading_deg": ""},
         {"pitch_pct": "0", "push_ft": "1.2"}),
    ],
)  # fmt: skip
def test_a_row_is_kept_as_said(
    folder: Path, what: str, typed: dict[str, str], payload: dict[str, str]
) -> None:
    keep_row(folder, "Rig-40", "", "8", what, typed)
    assert kept(folder, BEGUN) == [("reading", {"bore": "B1", "station": "8", **payload})]


def test_nothing_is_kept_without_a_pitch_or_with_a_wrong_one(folder: Path) -> None:
    for typed in ({}, {"pitch_pct": "steep"}):
        with pytest.raises(BadInputError):
            keep_row(folder, "Rig-40", "B1", "8", "read", typed)
    assert kept(folder, BEGUN) == []


def test_one_press_takes_the_row_back(folder: Path) -> None:
    entry = keep_row(folder, "Rig-40", "B1", "8", "read", {"pitch_pct": "-2"})
    assert this_rod(folder, "Rig-40").station == 9
    take_back(folder, entry)
    assert this_rod(folder, "Rig-40").station == 8


def test_once_a_later_pass_began_the_pilot_takes_no_row(folder: Path) -> None:
    tell(folder, [("pass", {"bore": "B1", "pass": "pullback", "what": "pullback"})])
    view = this_rod(folder, "Rig-40")
    assert view.station is None
    assert view.room.told.key == "this_rod.pilot_done"


def test_the_page_leads_on_to_the_next_rod(folder: Path) -> None:
    client = TestClient(
        create_app(BookDesk(folder)), base_url="http://127.0.0.1", follow_redirects=False
    )
    page = client.get("/rig-rod/Rig-40")
    assert page.status_code == 200
    assert 'placeholder="-3"' in page.text
    form = {"bore": "B1", "station": "8", "pitch_pct": "-2", "what": "read"}
    answer = client.post("/rig-rod/Rig-40", data=form)
    assert answer.status_code == 303
    after = client.get(answer.headers["location"])
    assert "Rod 8 is kept." in after.text
    assert 'name="station" inputmode="numeric" required value="9"' in after.text
    bad = client.post("/rig-rod/Rig-40", data={**form, "station": "9", "pitch_pct": "steep"})
    assert bad.status_code == 400
    assert 'value="steep"' in bad.text  # nothing typed is lost
    twin = json.loads(client.get("/rig-rod/Rig-40.json").text)
    assert twin["figures"]["this_rod.Rig-40.station"]["value"] == 9
    assert client.get("/rig-rod/Rig-99").status_code == 404


def test_an_over_steer_is_told_until_the_next_rod_is_read(folder: Path) -> None:
    """From -3 % to 11.5 %: 0.1445 rad over 10 ft, where the limit of 10 % on 10 ft allows 0.1."""
    assert this_rod(folder, "Rig-40").bends.over is None
    keep_row(folder, "Rig-40", "B1", "8", "read", {"pitch_pct": "11.5"})
    bends = this_rod(folder, "Rig-40").bends
    told = bends.over
    assert told is not None
    assert (told.key, told.values["station"]) == ("this_rod.over", "8")
    limit = 10 * 0.3048 / value(this_rod(folder, "Rig-40"), "limit_radius")
    turned = math.atan(0.115) - math.atan(-0.03)
    assert told.values["share"].value == pytest.approx(turned / limit, rel=1e-3)
    assert [(each.key, each.values["rods"]) for each in bends.rods] == [
        ("this_rod.over_in", "M-01")]  # fmt: skip
    ease = this_rod(folder, "Rig-40").ease
    assert ease is not None
    easy = 10 * 0.3048 / (1200 * 2.375 * 0.0254)  # 1200 times the tube's diameter
    for name, end in (("low", -easy), ("high", easy)):
        assert ease.values[name].value == pytest.approx(math.atan(0.115) + end)
    assert bends.sharpest is not None
    assert bends.sharpest.values["station"] == "8"  # the others turned by 1 % each
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")
    page = client.get("/rig-rod/Rig-40").text
    places = [page.index(part) for part in ("Over-steer, rod 8:", "keypad", 'id="over-told"')]
    assert places == sorted(places)  # one line above the keys, the whole of it under them
    assert "In it now: M-01." in page
    assert "Ease the next rods" in page
    assert "/bore/B1/way" in page
    keep_row(folder, "Rig-40", "B1", "9", "read", {"pitch_pct": "11"})
    assert this_rod(folder, "Rig-40").bends.over is None


def test_the_plan_at_this_rod(folder: Path) -> None:
    """Seven rods of 10 ft were read from -9 % up to -3 %, the rig's own pitch was not: the hole
    dives at their mean slopes, (9 + 8.5 + 7.5 + 6.5 + 5.5 + 4.5 + 3.5) / 100 x 10 ft = 4.5 ft.
    The plan enters at -1 % and is level from its first rod's end: 0.5 / 100 x 10 ft = 0.05 ft."""
    assert this_rod(folder, "Rig-40").plan is None
    level = " ".join(["0"] * 12)
    plan = {"plan": "B1", "rig": "Rig-40", "distance_ft": "120", "entry_pitch_pct": "-1",
            "exit_pitch_pct": "1", "chosen": "own", "pitches": level}  # fmt: skip
    tell(folder, [("plan", plan)])
    target = this_rod(folder, "Rig-40").plan
    assert target is not None
    assert target.figures["plan"].value == 0.0
    assert target.figures["off"].value == pytest.approx(4.45 * 0.3048, rel=0.01)
    assert [each.key for each in target.told] == ["this_rod.plan", "this_rod.plan_below"]
    assert this_rod(folder, "Rig-40").station == 8
