"""Life used of one rod by a second way: a plain march of the tool, station by station."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from typer.testing import CliRunner

from rodhand.cli.main import app

PITCHES = (-20, -20, -14, -4.5, -2, 0, 0.4, 0.1, 2.1, 4, 5, 6)
MINUTES = tuple(3 + row % 3 for row in range(1, 13))
ROD = 10 * 0.3048  # m
TUBE, TUBE_BORE, JOINT, JOINT_BORE = (inch * 0.0254 for inch in (2.375, 1.815, 2.75, 1.0))
BOTH_JOINTS = 2 * 0.18  # m, the mid rod of the scenario
STEPS = 200
THRUST = 200  # kN, far past what the rods bear in any hole: no string can be laid


def test_a_rods_thread_by_a_plain_march(tmp_path: Path) -> None:
    """DEFINITIONS: S = 2 E r kappa J B f, category 50 (m 3, log a 11.398), share 0.30, B 1.1.

    Thrust that buckles the string leaves the bend of the hole times the assumed factors (model 1).
    The box of rod 1 is one rod behind the bit; its turns at 100 rpm; reading noise taken off by
    m^2/2 in two planes. No code of ours is used on this side.
    """
    log = tmp_path / "log.csv"
    lines = ["station,length_ft,pitch_pct,heading_deg,heading_ref,rotating_min,rpm,thrust_kN"]
    rows = enumerate(zip(PITCHES, MINUTES, strict=True), 1)
    lines += [f"{n},10,{pitch},0,true,{minutes},100,{THRUST}" for n, (pitch, minutes) in rows]
    log.write_text("\n".join(lines))

    def second_moment(outside: float, inside: float) -> float:
        return outside**4 - inside**4

    stiff = 1 - second_moment(TUBE, TUBE_BORE) / second_moment(JOINT, JOINT_BORE)
    per_bend = 206e9 * TUBE * ROD / (ROD - BOTH_JOINTS * stiff) * 1.1 * 0.30 / 1e6  # MPa m
    angle = [math.atan(pitch / 100) for pitch in PITCHES]
    noise = math.hypot(0.0025, 0.001 / math.sqrt(12))
    damage = 0.0
    for row, minutes in enumerate(MINUTES):
        for step in range(STEPS):
            box = (row + (step + 0.5) / STEPS - 1) * ROD
            stretch = math.floor(box / ROD)
            if stretch < 1:
                continue
            before, after = angle[stretch - 1], angle[stretch]
            bend = abs(after - before) / ROD
            error = noise * math.hypot(math.cos(before) ** 2, math.cos(after) ** 2) / ROD
            told = max(0.0, bend**3 - 4.5 * error**2 * bend)
            damage += minutes * 100 / STEPS * per_bend**3 * told / 10**11.398
    answer = CliRunner().invoke(app, ["check", str(log), "--rod-type", "demo-mid", "--json"])
    rod = json.loads(answer.stdout)["rods"][0]
    told = json.loads(answer.stdout)["warnings"]
    assert any("buckle" in each for each in told)
    assert rod["turns"] == pytest.approx(100 * sum(MINUTES))
    assert rod["life_used"]["section"] == "box thread"
    assert rod["life_used"]["design"] == pytest.approx(damage, rel=1e-9)
