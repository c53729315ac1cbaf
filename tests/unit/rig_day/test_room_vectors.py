"""The room left as Python works it, held to the vectors the device's script is held to as well."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from rig_day_book import RIG, tell

from rodhand.book.rig.this_rod import this_rod
from rodhand.drillstring.places_in import places_in
from rodhand.hole.readings import ReadingError
from rodhand.hole.room_left import room_left
from rodhand.units import Figure

VECTORS = json.loads((Path(__file__).parent / "room_vectors.json").read_text(encoding="utf-8"))


def named(rows: list[dict[str, Any]]) -> list[Any]:
    return [pytest.param(row, id=row["name"]) for row in rows]


@pytest.mark.parametrize("row", named(VECTORS["rooms"]))
def test_a_room(row: dict[str, Any]) -> None:
    pitch = math.atan(row["pitch_pct"] / 100.0)
    up = float(ReadingError().pitch_sd(np.array(pitch)))
    across = float(ReadingError().sideways_sd(np.array(pitch)))
    found = room_left(row["length_m"], row["radius_m"], up, up)
    sideways = room_left(row["length_m"], row["radius_m"], across, across)
    level = max(math.cos(pitch), 0.1)
    assert found.limit == pytest.approx(row["limit"], rel=1e-12)
    assert found.room == pytest.approx(row["room"], rel=1e-12)
    assert sideways.room / level == pytest.approx(row["sideways"], rel=1e-12)
    half = sideways.sideways(found.room / 2.0) / level
    assert half == pytest.approx(row["half_sideways"], rel=1e-9)


@pytest.mark.parametrize("row", named(VECTORS["easy"]))
def test_the_easier_middle(row: dict[str, Any]) -> None:
    pitch = math.atan(row["pitch_pct"] / 100.0)
    found = room_left(row["length_m"], row["radius_m"], 0.0, 0.0).limit
    assert (pitch - found, pitch + found) == pytest.approx((row["from"], row["to"]), rel=1e-12)


@pytest.mark.parametrize("row", named(VECTORS["none"]))
def test_no_room_without_a_length_and_a_limit(row: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="must be above 0"):
        room_left(row["length_m"], row["radius_m"], 0.0, 0.0)


@pytest.mark.parametrize("row", named(VECTORS["starts"]))
def test_where_the_next_rod_starts(row: dict[str, Any], tmp_path: Path) -> None:
    rows = [
        ("reading", {"bore": "B1"} | {name: str(text) for name, text in each.items() if text})
        for each in row["rows"]
    ]
    tell(tmp_path / "book", (*RIG, ("bore", {"bore": "B1", "rig": "Rig-40"}), *rows))
    view = this_rod(tmp_path / "book", "Rig-40")
    assert view.station == row["station"]
    figures = view.room.figures
    assert ("from" in figures) is (row["pitch_pct"] is not None and not row["unread"])
    if "from" in figures:
        assert figures["last"].value == pytest.approx(math.atan(row["pitch_pct"] / 100.0))
    unread = figures["unread"].value if "unread" in figures else 0
    assert unread == row["unread"]
    if row["heading_deg"] is None:
        assert "heading" not in figures
    else:
        turned = math.degrees(figures["heading"].value or 0.0) % 360.0
        assert turned == pytest.approx(row["heading_deg"])


@pytest.mark.parametrize("row", named(VECTORS["over"]))
def test_an_over_steer_of_the_rod_read_last(row: dict[str, Any], tmp_path: Path) -> None:
    bore = {"bore": "B1", "rig": "Rig-40", "bit_to_sensor_ft": str(row["back_ft"]),
            "front_length_ft": str(row["front_ft"])}  # fmt: skip
    if row["rig_pct"]:
        bore["rig_pitch_pct"] = row["rig_pct"]
    rows = [
        ("reading", {"bore": "B1"} | {name: text for name, text in each.items() if text})
        for each in row["rows"]
    ]
    tell(tmp_path / "book", (*RIG, ("bore", bore), *rows))
    over = this_rod(tmp_path / "book", "Rig-40").bends.over
    told = row["told"]
    assert (over is not None) is (told is not None)
    if over is not None:
        assert over.key == f"this_rod.{told['verdict']}"
        assert over.values["station"] == str(told["station"])
        for name in ("share", "length", "radius"):
            figure = over.values[name]
            assert isinstance(figure, Figure)
            assert figure.value == pytest.approx(told[name], rel=1e-9)


@pytest.mark.parametrize("row", named(VECTORS["places"]))
def test_places_that_passed_and_that_stand_in_a_bend(row: dict[str, Any]) -> None:
    passed, in_it = places_in(row["start"], row["end"], row["bit"], row["front"], row["length"])
    assert (len(passed), list(in_it)) == (row["passed"], row["in_it"])
