"""Why a chance, a make-up torque and a load: worked again out of the inputs shown, by hand."""

from __future__ import annotations

import json
import math
import subprocess
import sys
from pathlib import Path
from statistics import NormalDist

import pytest
from fastapi.testclient import TestClient

from book_builder import ROD_TYPE, YARD, Row, build_book, entries_of
from rodhand.book.why.chance import why_chance
from rodhand.book.why.force import why_force
from rodhand.book.why.makeup import why_makeup
from rodhand.book.why.room import why_room
from rodhand.book.why.why import NoSuchNumberError, WhyInput, WhyPart
from rodhand.book.work.assess import Assessment, assess
from rodhand.book.yard.thing_page import NoSuchThingError, thing_view
from rodhand.record.journal import Journal
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

PITCHES = (-20, -20, -12.8, -4, -4, 0, 0, 0)
MAKER = 4200 * 1.3558179483314  # ft-lb


def _rows(*more: Row) -> list[Row]:
    day = "2025-02-03"
    rows: list[Row] = [
        ("bore", {"bore": "A", "rig": "Rig-40", "bit_to_sensor_m": "0"}, day),
        ("load", {"rig": "Rig-40", "bore": "A", "things": "M1-01..M1-12", "how": "marked"}, day),
    ]
    for station, pitch in enumerate(PITCHES, 1):
        row = {
            "bore": "A", "station": str(station), "pitch_pct": str(pitch), "turns": "40000",
            "rpm": "100", "thrust_kN": str(10 + station), "torque_Nm": str(1000 + 100 * station),
        }  # fmt: skip
        rows.append(("reading", row, day))
    rows.append(
        ("pass", {"bore": "A", "pass": "back", "what": "pullback", "turns": "30000"}, "2025-02-04")
    )
    return [*rows, *more]


def _assessed() -> Assessment:
    return assess(build_book(_rows()), "2025-06-01")


def _given(rows: tuple[WhyInput, ...]) -> dict[str, float]:
    return {
        each.code: each.figure.value
        for each in rows
        if each.figure is not None and each.figure.value is not None
    }


def _book(tmp_path: Path, *more: Row) -> Path:
    folder = tmp_path / "book"
    with Journal.open(folder) as journal:
        journal.append(entries_of([*YARD, *_rows(*more)]))
    return folder


def _section_chance(part: WhyPart, common: dict[str, float], times: float = 1.0) -> float:
    given = _given(part.inputs)
    variance = (common["scatter"] * math.log(10.0)) ** 2
    variance += math.log(1.0 + common["critical_cov"] ** 2)
    variance += (given["slope"] * common["stress_model"]) ** 2

    def broken(damage: float) -> float:
        if damage <= 0.0:
            return 0.0
        return NormalDist().cdf(math.log(damage / common["median"]) / math.sqrt(variance))

    before = broken(times * given["mean_so_far"])
    after = broken(times * (given["mean_so_far"] + given["mean_more"]))
    return (after - before) / (1.0 - before)


def test_a_chance_follows_from_the_inputs_shown() -> None:
    assessment = _assessed()
    view = why_chance(assessment, "M1-01")
    rod, *sections = view.parts
    common, results = _given(rod.inputs), _given(rod.results)
    assert len(sections) == 5
    for part in sections:
        told = _given(part.results)["section_chance"]
        assert told == pytest.approx(_section_chance(part, common), rel=1e-6)
    whole = 1.0 - math.prod(1.0 - _section_chance(part, common) for part in sections)
    assert results["chance_order"] == pytest.approx(whole, rel=1e-6)
    high = 1.0 - math.prod(
        1.0 - _section_chance(p, common, common["class_error"]) for p in sections
    )
    steps = [s * 10**k for k in range(7) for s in (1, 2, 5)]
    nearest = min(steps, key=lambda n: abs(math.log(n * high)))
    assert results["chance_high"] == nearest
    shown = thing_view(assessment, "M1-01").figures
    assert shown["chance_high"].value == nearest


def test_no_chance_where_none_is_told() -> None:
    assessment = _assessed()
    with pytest.raises(NoSuchNumberError):
        why_chance(assessment, "M1-40")
    with pytest.raises(NoSuchThingError):
        why_chance(assessment, "nobody")


def test_makeup_follows_from_the_makers_figure(tmp_path: Path) -> None:
    compound: Row = ("compound", {"rig": "Rig-40", "compound": "zinc", "friction_factor": "1.1"})
    view = why_makeup(_book(tmp_path, compound), "rig-40", "A")
    window = view.parts[0]
    given, results = _given(window.inputs), _given(window.results)
    assert given["maker_torque"] == pytest.approx(MAKER, rel=1e-9)
    assert results["makeup_torque"] == pytest.approx(MAKER, rel=1e-9)
    assert results["makeup_low"] == pytest.approx(0.8 * MAKER, rel=1e-9)
    by_code = {each.code: each for each in window.inputs}
    assert by_code["rod_type"].entry == "tablet-1-1"
    assert by_code["od_measured"].known_as == "unknown"
    assert given["friction_factor"] == 1.1
    assert by_code["compound"].entry.startswith("tablet-1-")
    assert next(r for r in window.results if r.code == "makeup_highest").known_as == "unknown"


def test_wear_and_its_gauge_stand_in_the_chain(tmp_path: Path) -> None:
    thread = {
        "pitch_diameter_in": "2.0", "lead_in": "0.25", "pin_length_in": "2.5",
        "counterbore_in": "2.2", "root_truncation_in": "0.02", "taper_in_per_ft": "2",
        "half_angle_deg": "30", "shoulders": "single",
    }  # fmt: skip
    worn: Row = ("check", {
        "things": "M1-08", "end": "pin", "item": "joint-od", "found": "worn",
        "reading_in": "2.60", "gauge_error_in": "0.01",
    })  # fmt: skip
    folder = tmp_path / "worn"
    yard: list[Row] = [("rod-type", {**ROD_TYPE, **thread}, "2025-01-01"), *YARD[1:]]
    drilling = [row for row in _rows() if row[0] != "pass"]
    with Journal.open(folder) as journal:
        journal.append(entries_of([*yard, *drilling, worn]))
    window, beside = why_makeup(folder, "Rig-40", "A").parts
    given, formula = _given(window.inputs), _given(beside.results)
    assert given["od_measured"] == pytest.approx(2.60 * 0.0254, rel=1e-9)
    assert given["gauge_error"] == pytest.approx(0.01 * 0.0254, rel=1e-9)
    assert _given(beside.inputs)["od_used"] == pytest.approx(2.59 * 0.0254, rel=1e-9)
    left = formula["computed_torque"] / formula["new_torque"]
    assert 0.0 < left < 1.0
    assert given["wear_share"] == pytest.approx(left, rel=1e-9)
    assert _given(window.results)["makeup_torque"] == pytest.approx(left * MAKER, rel=1e-9)
    look = next(each for each in window.inputs if each.code == "od_measured")
    assert look.entry.startswith("tablet-1-")


def test_a_load_and_its_share_of_make_up() -> None:
    view = why_force(_assessed(), "a", 8)
    load = view.parts[0]
    given, results = _given(load.inputs), _given(load.results)
    # the tool is here at the last reading alone: its torque less what 8 rods of string took
    assert given["read_torque"] == 1800.0
    assert 0.0 < results["torque"] < 1800.0
    check = next(p for p in view.parts if p.title.key == "forces.governs.makeup")
    used = _given(check.results)["used"]
    assert used == pytest.approx(results["torque"] / MAKER, rel=1e-9)
    assert _given(check.results)["margin"] == pytest.approx(1.0 - used, rel=1e-9)


def test_tube_share_by_the_textbook() -> None:
    view = why_force(_assessed(), "A", 4)
    load = _given(view.parts[0].results)
    part = next(p for p in view.parts if p.title.key == "forces.governs.tube")
    given = _given(part.inputs)
    od, bore = given["tube_od"], given["tube_id"]
    inertia = math.pi * (od**4 - bore**4) / 64.0
    bending = given["modulus"] * od / 2.0 / given["bend_radius"]
    axial = load["pull"] / (math.pi * (od**2 - bore**2) / 4.0)
    shear = load["torque"] * od / 2.0 / (2.0 * inertia)
    stress = math.sqrt(max(abs(axial + bending), abs(axial - bending)) ** 2 + 3.0 * shear**2)
    # the share is the median over 100 cases and takes the worst of pull and thrust
    assert _given(part.results)["used"] == pytest.approx(stress / given["yield_stress"], rel=0.02)


def test_pages_links_and_nowhere(tmp_path: Path) -> None:
    folder = _book(tmp_path)
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")
    assert "/why/chance/M1-01" in client.get("/thing/M1-01").text
    assert "/why/force/4/A?pass=pilot" in client.get("/bore/A/forces").text
    assert "/why/makeup/Rig-40?bore=A" in client.get("/rig-makeup/Rig-40?bore=A").text
    for page in ("chance/M1-01", "force/4/A", "makeup/Rig-40"):
        assert client.get(f"/why/{page}").status_code == 200
        assert client.get(f"/why/{page}.json").json()["figures"]
    for page in (
        "chance/nobody",
        "force/99/A",
        "force/4/Z",
        "force/x/A",
        "force/3.7/A",
        "makeup/Rig-99",
    ):
        assert client.get(f"/why/{page}").status_code == 404


def test_room_follows_from_the_inputs_shown(tmp_path: Path) -> None:
    folder = tmp_path / "drilling"
    rows = [row for row in _rows() if row[0] != "pass"]
    with Journal.open(folder) as journal:
        journal.append(entries_of([*YARD, *rows]))
    part = why_room(folder, "Rig-40").parts[0]
    given, results = _given(part.inputs), _given(part.results)
    error = math.hypot(given["repeat"], given["step"] / math.sqrt(12.0))
    error *= math.cos(given["pitch_last"]) ** 2 * math.sqrt(2.0)
    z = -NormalDist().inv_cdf(given["from_within_error"])
    room = given["rod_length"] / given["limit_radius"] - z * error
    # by hand: 3.048 / 44.196 - 1.644854 x 1.414214 x 0.0025166 = 0.068966 - 0.005854
    assert results["room"] == pytest.approx(0.063112, abs=2e-6)
    assert results["room"] == pytest.approx(room, rel=1e-6)
    assert results["room_to"] == pytest.approx(given["pitch_last"] + room, rel=1e-6)
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")
    assert "/why/room/Rig-40?bore=A" in client.get("/rig-rod/Rig-40").text
    assert client.get("/why/room/Rig-40").status_code == 200


def test_no_room_once_the_pilot_is_done(tmp_path: Path) -> None:
    with pytest.raises(NoSuchNumberError):
        why_room(_book(tmp_path), "Rig-40")


def _run(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "rodhand", "why", *words, "--book", str(folder)]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def test_the_command(tmp_path: Path) -> None:
    folder, out = _book(tmp_path), tmp_path / "lines.csv"
    told = _run(folder, "life", "M1-01", "--out", str(out))
    assert told.returncode == 0, told.stderr
    assert "Why: life used of M1-01" in told.stdout
    assert out.read_text(encoding="utf-8").startswith("bore,pass,station")
    told = _run(folder, "bend", "A", "--station", "4", "--json")
    assert json.loads(told.stdout)["figures"]["why.bend.A.4.0.limit_radius"]["value"] > 40.0
    assert _run(folder, "bend", "A").returncode == 2
    assert _run(folder, "life", "M1-01", "--section", "handle").returncode == 2
    assert _run(folder, "force", "A", "--station", "99").returncode == 2
