"""The hole driven against the plan's path, by hand arithmetic."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "rig_day"))

from rig_day_book import RIG, tell

from rodhand.book.plan.plan_page import plan_view
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

TARGETS = " ".join(str(each) for each in [*range(-9, 10), 10])
PLAN = {"plan": "B1", "rig": "Rig-40", "distance_ft": "200", "entry_pitch_pct": "-10",
        "exit_pitch_pct": "10", "chosen": "own", "pitches": TARGETS}  # fmt: skip


def folder_with(tmp_path: Path, pitches: list[str], **more: str) -> Path:
    folder = tmp_path / "b"
    rows = [
        ("reading", {"bore": "B1", "station": str(n), "length_ft": "10"}
         | ({"pitch_pct": pitch} if pitch else {}) | more)
        for n, pitch in enumerate(pitches, 1)
    ]  # fmt: skip
    bore = ("bore", {"bore": "B1", "rig": "Rig-40", "rig_pitch_pct": "-10"})
    tell(folder, (*RIG, ("plan", PLAN), bore, *rows))
    return folder


def test_a_hole_on_the_plan_is_told_to_be(tmp_path: Path) -> None:
    view = plan_view(folder_with(tmp_path, ["-9", "-8", "-7"]), "B1")
    assert [each.key for each in view.driven] == ["plan.driven_on", "plan.driven_most_on"]
    assert [row.figures["off"].value for row in view.rows[:3]] == pytest.approx([0.0] * 3, abs=2e-3)
    assert "off" not in view.rows[3].figures


def test_a_hole_kept_at_its_entry_pitch_falls_below_the_plan(tmp_path: Path) -> None:
    """Three rods of 10 ft at -10 %, plan at -9, -8, -7 %: the plan's mean slopes are -9.5, -8.5
    and -7.5 %, so it lies 0.005, 0.02 and 0.045 of 10 ft higher."""
    view = plan_view(folder_with(tmp_path, ["-10", "", "-10"]), "B1")
    off = [row.figures["off"].value for row in view.rows[:3]]
    foot = 0.3048 * 10.0
    assert off == pytest.approx([0.005 * foot, 0.02 * foot, 0.045 * foot], rel=0.02)
    assert view.driven[0].key == "plan.driven_below"
    assert view.rows[1].figures["read"].value is None  # not read is not the plan's pitch
    assert "aside" not in view.rows[0].figures


def test_headings_from_the_line_tell_how_far_aside(tmp_path: Path) -> None:
    """Three rods at 2 degrees right, the first turning into it: sin 1 + 2 sin 2 over 10 ft."""
    folder = folder_with(
        tmp_path, ["-9", "-8", "-7"], heading_deg="2", heading_ref="relative"
    )  # fmt: skip
    view = plan_view(folder, "B1")
    aside = view.rows[2].figures["aside"].value
    assert aside == pytest.approx(0.3048 * 10.0 * 3 * 0.0349, rel=0.2)
    page = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1").get("/plan/B1")
    assert page.status_code == 200
    assert 'id="driven"' in page.text
