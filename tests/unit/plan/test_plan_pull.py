"""The product of a plan: its pull by hand and against ASTM F1962 terms, its limits, its refusals.

F1962 terms: Najafi, Trenchless Technology Piping: Installation and Inspection (McGraw-Hill 2010),
eqs. 5.12a to d (READ), figures of the 6 in DR11 pipe computed twice outside this program.
"""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from fastapi.testclient import TestClient

from rodhand.book.entry.keeping import enter
from rodhand.book.plan.plan_page import plan_view
from rodhand.book.plan.plan_views import PlanView
from rodhand.drillstring.product_pull import product_pull
from rodhand.drillstring.pullback_load import Product, product_bore, pullback_load
from rodhand.drillstring.soft_string import Axis, Strand
from rodhand.record.entry import Draft
from rodhand.units import FOOT, PSI
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

PLAN = {
    "plan": "P", "rig": "R1", "rod_type": "demo-small", "distance_m": "60",
    "entry_pitch_pct": "25", "exit_pitch_pct": "20", "cover_m": "1.5", "cover_from_m": "20",
    "cover_to_m": "40", "product_od_mm": "114.3", "product_mass_kg_per_m": "3.5", "reams": "1",
}  # fmt: skip


def axis_of(down: np.ndarray, length: float) -> Axis:
    edges = np.linspace(0.0, length, len(down))
    return Axis(edges, np.stack((np.cos(down), np.zeros(len(down)), np.sin(down)), axis=1))


def test_the_long_pipe_of_the_handbook_on_a_hole_drawn_arc_by_arc() -> None:
    # rig's side 15 degrees over 267.38 ft, level 201.55 ft, pipe's side 10 degrees over 401.07 ft
    at = np.linspace(0.0, 870.0, 436)
    down = np.interp(at, [0.0, 267.38, 468.93, 870.0], np.radians([15.0, 0.0, 0.0, -10.0]))
    bore = product_bore(axis_of(down, 870.0 * FOOT))
    assert bore.depth == pytest.approx(35.0 * FOOT, rel=0.01)
    assert math.degrees(bore.entry_angle) == pytest.approx(10.0)
    assert math.degrees(bore.exit_angle) == pytest.approx(15.0)
    pull = product_pull(replace(bore, outside=100.0 * FOOT), 4.714, 17.69)
    found = np.array([pull.a, pull.d]) / FOOT
    assert found == pytest.approx([2494.7708, 5447.2645], rel=0.01)


def test_a_level_hole_by_hand() -> None:
    length, weight, mass, od = 100.0, 60.0, 3.5, 0.1143
    product = Product(od, mass)
    axis = axis_of(np.zeros(21), length)
    load = pullback_load(axis, Strand(weight, 0.03), 0.06, product, 2.0)
    in_air = 9.80665 * mass
    floats = 9.80665 * abs(mass - 1100.0 * math.pi / 4 * od**2)
    shear = 0.025 * PSI
    # at the start all of the pipe lies outside and all of the string is in; at the end the reverse
    start = 0.5 * in_air * length
    end = 0.3 * floats * length + math.pi * od * shear * length
    assert load.product[1] == pytest.approx(max(start, end), rel=1e-6)
    string = 0.3 * weight * length + math.pi * 0.06 * shear * length
    assert load.at_rig[1] == pytest.approx(max(start + string, end), rel=1e-6)
    assert load.product[0] < load.product[1] < load.product[2]
    # hung in the mud it may weigh nothing: then the low end has no weight in it
    assert Product(od, 1050.0 * product.displaced).buoyant_range()[0] == 0.0


def view_of(folder: Path, rig: dict[str, str], **changes: str) -> PlanView:
    entries = [("rig", {"rig": "R1"} | rig), ("plan", PLAN | changes)]
    enter(folder, [Draft(kind, typed, "", "", "") for kind, typed in entries], "test")
    return plan_view(folder, "P")


@pytest.mark.parametrize(
    ("rig", "changes", "what"),
    [
        ({"max_pull_kN": "2"}, {}, "rig"),
        ({"max_pull_kN": "900"}, {"product_pull_kN": "2"}, "product"),
        ({}, {"product_mass_kg_per_m": "2000", "product_od_mm": "600"}, "rods"),
    ],
)
def test_too_much_pull_is_refused_for_what_it_passes_and_each_change_mends_it(
    tmp_path: Path, rig: dict[str, str], changes: dict[str, str], what: str
) -> None:
    view = view_of(tmp_path, rig, **changes)
    assert not view.possible
    assert view.told.key == f"plan.refused.pull_{what}"
    pull = view.told.values["pull"]
    assert not isinstance(pull, str)
    assert pull.low is not None
    assert pull.high is not None
    assert pull.low < (pull.value or 0.0) < pull.high
    for change in view.changes:
        value = change.values["value"]
        assert not isinstance(value, str)
        assert value.value is not None
        kind = change.key.removeprefix("plan.change.")
        if kind == "ballast":
            mass = f"{value.value:.6f}"
            again = view_of(tmp_path, rig, **changes, product_mass_kg_per_m=mass)
            assert again.possible
        if kind == "stronger_rig":
            enough = f"{1.001 * value.value / 1e3:.6f}"
            assert view_of(tmp_path, {"max_pull_kN": enough}, **changes).possible
        if kind == "stronger_product":
            enough = f"{1.001 * value.value / 1e3:.6f}"
            assert view_of(tmp_path, rig, **changes | {"product_pull_kN": enough}).possible


def test_the_stricter_limit_stands_first_and_what_is_not_entered_is_said(tmp_path: Path) -> None:
    told = [each.key for each in view_of(tmp_path, {"max_pull_kN": "20"}).limits]
    assert told.index("plan.pull_rig") < told.index("plan.pull_rods")
    assert "plan.pull_no_product" in told
    assert "plan.pull_no_rig" not in told


def test_an_unknown_weight_is_an_unknown_pull(tmp_path: Path) -> None:
    view = view_of(tmp_path, {}, product_mass_kg_per_m="", reams="")
    assert view.possible
    assert view.candidates[0].figures["pull_rig"].value is None
    told = [each.key for each in view.limits]
    assert "plan.pull_unknown" in told
    assert "plan.reams_unknown" in told


def test_reaming_takes_time_and_life(tmp_path: Path) -> None:
    without = view_of(tmp_path, {}, reams="0").candidates[0].figures
    twice = view_of(tmp_path, {}, reams="2").candidates[0].figures
    # nobody timed this rig: four passes at the published pace against two
    assert twice["time"].value == pytest.approx(2.0 * (without["time"].value or 0.0))
    assert (twice["life"].value or 0.0) > 1.3 * (without["life"].value or 0.0)


def test_what_was_typed_of_the_product_stays_and_every_fault_is_told(tmp_path: Path) -> None:
    enter(tmp_path, [Draft("rig", {"rig": "R1"}, "", "", "")], "test")
    client = TestClient(create_app(BookDesk(tmp_path)), base_url="http://127.0.0.1")
    typed = {
        "v.plan": "P", "v.product_mass": "0", "u.product_mass": "kg_per_m", "v.reams": "two",
        "v.product_od": "wide", "u.product_od": "mm",
    }  # fmt: skip
    answer = client.post("/plan", data=typed)
    assert answer.status_code == 400
    for told in ('value="wide"', 'value="two"', "more than 0", "#v.reams", "#v.distance"):
        assert told in answer.text
