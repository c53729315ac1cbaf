"""Why a life used: one line by hand, lines that add up, files that work it out again."""

from __future__ import annotations

import csv
import io
import math
import re
from pathlib import Path

import openpyxl
import pytest
from fastapi.testclient import TestClient
from openpyxl.worksheet.worksheet import Worksheet

from book_builder import YARD, Row, build_book, entries_of
from rodhand.book.why.rod import WhyRod, why_rod
from rodhand.book.why.table import why_table
from rodhand.book.work.assess import Assessment, assess
from rodhand.record.journal import Journal
from rodhand.sheets.why_table import table_csv, table_workbook
from rodhand.steel.curves import Curve
from rodhand.wear.counted_damage import Line, line_that_holds
from rodhand.wear.life_used import MODEL
from rodhand.wear.sections import SECTIONS
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

PITCHES = (-20, -20, -14, -8, -4, 0, 0, 0)
KEPT = {"model": str(MODEL), "why": "breaks", "thread_factor": "2.5", "thread_sigma": "0.3"}


def _rows(*more: Row, salt: str = "no", how: str = "marked") -> list[Row]:
    day = "2025-02-03"
    load = {"rig": "Rig-40", "bore": "A", "things": "M1-01..M1-08", "how": how}
    bore = {"bore": "A", "rig": "Rig-40", "salt_or_sour": salt}
    rows: list[Row] = [("bore", bore, day), ("load", load, day)]
    for station, pitch in enumerate(PITCHES, 1):
        row = {"bore": "A", "station": str(station), "pitch_pct": str(pitch), "turns": "400"}
        rows.append(("reading", row, day))
    rows.append(
        ("pass", {"bore": "A", "pass": "back", "what": "pullback", "turns": "3000"}, "2025-02-04")
    )
    return [*rows, *more]


def _assessed(*rows: Row) -> Assessment:
    return assess(build_book(rows or _rows()), "2025-06-01")


def _why(assessment: Assessment, name: str = "M1-01") -> WhyRod:
    view = why_rod(assessment, name)
    assert view is not None
    return view


def test_one_line_by_hand() -> None:
    # E 206 GPa x 60.325 mm x (1/50 m) x 0.23 = 57.163 MPa; category 50: N = 10^11.398 / S^3 =
    # 2.50035e11 / 1.86790e5 = 1.33859e6; 400 turns: 2.9882e-4.
    line = Line(0.0, 3.0, 400.0, 0.02, 0.23, 0.060325, 3.0, 11.398)
    assert line.stress_range / 1e6 == pytest.approx(57.1640, rel=1e-4)
    assert line.cycles == pytest.approx(1.3386e6, rel=1e-3)
    assert line.damage == pytest.approx(2.988e-4, rel=1e-3)


def test_no_bend_costs_nothing_and_the_second_line_holds_past_the_knee() -> None:
    assert Line(0.0, 3.0, 400.0, 0.0, 1.0, 0.06, 3.0, 11.398).damage == 0.0
    weld = Curve("C air", 3.0, 12.592, 0.2, second_slope=5.0, second_log_a=16.320, knee=1e7)
    # The knee at 1e7: S = 10^((12.592 - 7)/3) = 73.1 MPa.
    assert line_that_holds(weld, 74e6) == (3.0, 12.592)
    assert line_that_holds(weld, 73e6) == (5.0, 16.320)


@pytest.mark.parametrize("salt", ["no", "yes"])
def test_lines_add_up_to_the_sum_and_the_sum_to_life_used(salt: str) -> None:
    assessment = _assessed(*_rows(salt=salt))
    for number in range(1, 9):
        view = _why(assessment, f"M1-0{number}")
        lines = math.fsum(
            row.figures["damage"].value or 0.0 for each in view.passes for row in each.lines
        )
        assert lines == pytest.approx(view.figures["sum"].value, rel=1e-9)
        thing = assessment.book.thing_named(view.name)
        assert thing is not None
        history = assessment.histories[thing.key]
        assert lines == pytest.approx(history.life.worst.design, rel=1e-9)
        passes = math.fsum(row.figures["damage"].value or 0.0 for row in view.passes)
        assert passes == pytest.approx(lines, rel=1e-12)


@pytest.mark.parametrize("section", SECTIONS)
def test_every_section_has_its_lines(section: str) -> None:
    assessment = _assessed()
    view = why_rod(assessment, "M1-03", section_name=section)
    table = why_table(assessment, "M1-03", section)
    assert view is not None
    assert table is not None
    assert (view.section, table.section) == (section, section)
    thing = assessment.book.thing_named("M1-03")
    assert thing is not None
    life = assessment.histories[thing.key].life
    own = next(each for each in life.sections if each.section == section)
    assert view.figures["design"].value == pytest.approx(own.design, rel=1e-12)
    assert _recomputed(table_csv(table))[0] == pytest.approx(own.design, rel=1e-9)
    assert view.governs == (section == life.worst.section)


def test_a_class_factor_stands_in_the_chain_with_its_entry() -> None:
    view = _why(_assessed(*_rows(("class-calibration", KEPT, "2025-03-01"))))
    factor = next(each for each in view.inputs if each.code == "factor")
    assert factor.figure is not None
    assert factor.figure.value == 2.5
    assert factor.entry
    whole = (view.figures["sum"].value or 0.0) * 2.5
    assert view.figures["design"].value == pytest.approx(whole, rel=1e-12)


def test_a_straight_hole_has_no_radius_and_is_not_called_unknown() -> None:
    # stations 7 and 8 read level and on the line, as station 6 did
    rows = [
        (row[0], {**row[1], "heading_deg": "0"}, *row[2:]) if row[0] == "reading" else row
        for row in _rows()
    ]
    lines = [row for each in _why(_assessed(*rows)).passes for row in each.lines]
    assert all("hole_radius" not in row.figures for row in lines if row.station in (7.0, 8.0))
    assert all(row.figures["hole_radius"].value for row in lines if row.station in (3.0, 4.0))


def test_best_follows_from_the_mean_sum() -> None:
    # Without a kept calibration best = mean sum / 0.957826; mean curve 0.40 above: design / 10^0.4.
    view = _why(_assessed())
    mean = view.figures["mean_sum"].value or 0.0
    assert view.figures["best"].value == pytest.approx(mean / 0.957826, rel=1e-5)
    assert mean == pytest.approx((view.figures["sum"].value or 0.0) / 10**0.4, rel=1e-9)


@pytest.mark.parametrize("kept", [False, True])
def test_the_band_follows_from_its_sums_and_errors(kept: bool) -> None:
    more: tuple[Row, ...] = (("class-calibration", KEPT, "2025-03-01"),) if kept else ()
    view = _why(_assessed(*_rows(*more)))
    given = {each.code: each.figure.value or 0.0 for each in view.band if each.figure}
    factor = view.figures["factor"].value or 0.0
    # curve scatter 0.20 in log10, critical sum 1.09, and m x 0.198 or the 0.3 the breaks left
    stress = 0.3 if kept else 3.0 * 0.198
    model = math.sqrt((0.2 * math.log(10.0)) ** 2 + math.log(1.09) + stress**2)
    assert given["band_sigma_model"] == pytest.approx(model, rel=1e-9)
    spread = math.exp(1.645 * math.hypot(model, given["band_sigma_width"]))
    shown = view.figures["life_used"]
    median = 1.0 / math.sqrt(1.09)
    assert shown.low == pytest.approx(factor * given["band_sum_low"] / median / spread, rel=1e-9)
    assert shown.high == pytest.approx(factor * given["band_sum_high"] / median * spread, rel=1e-9)
    assert given["band_low"] == shown.low
    assert given["band_high"] == shown.high


def _recomputed(text: str) -> tuple[float, float]:
    """Design value out of the inputs alone, with plain arithmetic; and the file's own total."""
    rows = list(csv.DictReader(io.StringIO(text)))
    total = 0.0
    for row in rows[:-1]:
        damage = float(row["damage"])
        if row["bend_1_per_m"]:
            given = {name: float(row[name]) for name in (
                "turns", "harder", "bend_1_per_m", "modulus_Pa", "tube_od_m", "local", "m",
                "log10_a",
            )}  # fmt: skip
            stress = given["modulus_Pa"] * given["tube_od_m"] * given["bend_1_per_m"]
            stress *= given["local"] / 1e6
            cycles = 10 ** given["log10_a"] / stress ** given["m"] if stress else math.inf
            again = given["turns"] * given["harder"] / cycles
            assert damage == pytest.approx(again, rel=1e-9, abs=1e-30)
            damage = again
        total += damage * float(row["class_factor"])
    return total, float(rows[-1]["life_used_design"])


@pytest.mark.parametrize("how", ["marked", "set only"])
def test_the_file_works_out_the_pages_figure_again(how: str) -> None:
    kept: Row = ("class-calibration", KEPT, "2025-03-01")
    assessment = _assessed(*_rows(kept, how=how))
    table = why_table(assessment, "M1-02")
    assert table is not None
    again, told = _recomputed(table_csv(table))
    shown = _why(assessment, "M1-02").figures["design"].value
    assert again == pytest.approx(shown, rel=1e-9)
    assert told == pytest.approx(shown, rel=1e-9)


def _calculated(sheet: Worksheet, at: str) -> float:
    """A cell worked out by its formula: + - * / ^, LOG10 and SUM of a column, as a reader would."""
    told = sheet[at].value
    if not isinstance(told, str) or not told.startswith("="):
        return float(told or 0.0)
    if found := re.fullmatch(r"=SUM\(([A-Z])(\d+):\1(\d+)\)", told):
        column, first, last = found.groups()
        return math.fsum(
            _calculated(sheet, f"{column}{n}") for n in range(int(first), int(last) + 1)
        )
    cells = {name: _calculated(sheet, name) for name in re.findall(r"\b[A-Z]\d+\b", told)}
    return float(eval(told[1:].replace("^", "**"), {"LOG10": math.log10, **cells}))


@pytest.mark.parametrize("salt", ["no", "yes"])
def test_the_workbooks_formulas_give_the_pages_figure(salt: str) -> None:
    assessment = _assessed(*_rows(salt=salt))
    table = why_table(assessment, "M1-02")
    assert table is not None
    data = table_workbook(table)
    formulas = openpyxl.load_workbook(io.BytesIO(data)).active
    values = openpyxl.load_workbook(io.BytesIO(data), data_only=True).active
    assert formulas is not None
    assert values is not None
    names = {cell.value: cell.column_letter for cell in formulas[1]}
    whole = f"{names['life_used_design']}{formulas.max_row}"
    shown = _why(assessment, "M1-02").figures["design"].value
    assert _calculated(formulas, whole) == pytest.approx(shown, rel=1e-9)
    for name in ("radius_m", "stress_MPa", "cycles", "damage", "life_used_design"):
        at = f"{names[name]}2"
        assert str(formulas[at].value).startswith("=")
        assert values[at].value == pytest.approx(_calculated(formulas, at), rel=1e-9)


def test_pages_files_and_links(tmp_path: Path) -> None:
    folder = tmp_path / "book"
    with Journal.open(folder) as journal:
        journal.append(entries_of([*YARD, *_rows()]))
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")
    assert "/why/rod/M1-01" in client.get("/thing/M1-01").text
    page = client.get("/why/rod/M1-01?bore=A")
    assert page.status_code == 200
    assert "Stress range S" in page.text
    twin = client.get("/why/rod/M1-01.json").json()
    assert twin["figures"]["why.M1-01.design"]["value"] > 0.0
    assert client.get("/why/file/csv/M1-01").text.startswith("bore,pass,station")
    assert client.get("/why/file/xlsx/M1-01").content[:2] == b"PK"
    assert twin["figures"]["why.M1-01.A.pilot.damage"]["standing"] == "computed"
    assert twin["figures"]["why.M1-01.input.tube_od"]["value"] == pytest.approx(0.060325)
    for nowhere in (
        "/why/rod/nobody",
        "/why/file/csv/nobody",
        "/why/file/doc/M1-01",
        "/why/rod/M1-01?bore=Z",
        "/why/rod/M1-01?section=handle",
    ):
        assert client.get(nowhere).status_code == 404
