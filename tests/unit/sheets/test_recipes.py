"""Recipes: foreign headings, units, signs and pairs restated in ours; built-in and kept ones."""

from __future__ import annotations

import math
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.faults import BadInputError, CannotReadError
from rodhand.sheets.flags import told_flag
from rodhand.sheets.foreign_units import RESTATED, restate
from rodhand.sheets.grids import grid_from_bytes
from rodhand.sheets.log import LogFile, log_of, read_log
from rodhand.sheets.recipes import (
    Recipe,
    built_in_names,
    find_recipe,
    recipe_from_text,
    recipe_of,
)
from rodhand.sheets.tables import table_of
from rodhand.units import SUFFIXES
from rodhand.words import render_faults


def log(text: str, recipe: Recipe, rod_length: float = 3.048) -> LogFile:
    grid = grid_from_bytes(text.encode(), "log.csv")
    return log_of(table_of(grid, *recipe.lines), recipe, rod_length)


def recipe(**columns: str) -> Recipe:
    return recipe_of({"name": "r", "columns": columns}, "r")


def test_pitch_at_start_and_end_of_each_rod() -> None:
    read = log(
        "n,pitch_start_pct,pitch_end_pct,pitch_change_pct,depth_end_ft,clock,rotate_min,push_min,"
        "rpm,torque_ftlb,thrust_lb,mud_psi\n"
        "1,-24,-24.0,0.0,2.4,rotate,4.2,0.0,100,959,3602,583\n"
        "2,-24.0,-18.0,6.0,4.5,12,2.7,2.9,100,881,3721,259\n",
        find_recipe("start-end-pitch"),
    )
    assert read.kind == "log"
    assert read.unused == ("pitch_change_pct", "clock", "mud_psi")
    assert read.flags == ()
    assert read.lines == (2, 2, 3)
    assert read.row(0) == {"station": "0", "pitch_pct": "-24"}
    assert read.row(2) == {
        "station": "2", "pitch_pct": "-18.0", "depth_ft": "4.5", "rotating_min": "2.7",
        "push_min": "2.9", "rpm": "100", "torque_ftlb": "881", "thrust_lb": "3721",
    }  # fmt: skip


def test_a_table_that_counts_downward_pitch_as_plus_is_turned_over() -> None:
    # a planning example of an operator manual (READ; brand withheld): 26 % entry, last part rod
    read = log(
        "rod,start_pitch_pct,end_pitch_pct,avg_pitch_pct,rod_length_ft,printed_depth_in\n"
        "1,26,26,26,10,30\n2,26,18,22,10,56\n3,18,10,14,10,73\n4,10,2,6,10,80\n4.5,2,0,1,5,82\n",
        find_recipe("start-end-pitch"),
    )
    assert read.si["pitch"] == pytest.approx([math.atan(-p / 100) for p in (26, 26, 18, 10, 2, 0)])
    assert read.si["depth"][1] == pytest.approx(30 * 0.0254)
    assert [flag.code for flag in read.flags] == ["pitch_sign_by_entry"]
    assert all(told_flag(flag) for flag in read.flags)


def test_a_start_that_is_not_the_end_before_is_flagged_and_the_end_kept() -> None:
    read = log(
        "n,pitch_start_pct,pitch_end_pct\n1,-20,-18\n2,-17,-15\n", find_recipe("start-end-pitch")
    )
    assert [(flag.code, flag.line, flag.found) for flag in read.flags] == [
        ("start_not_end_before", 3, "-17")
    ]
    assert read.si["pitch"][1] == pytest.approx(math.atan(-0.18))


def test_starts_alone_are_the_readings_of_the_stations_before() -> None:
    read = log("n,s\n1,-20\n2,-18\n3,-15\n", recipe(n="station", s="pitch_start pct"))
    assert [read.row(i) for i in range(4)] == [
        {"station": "0", "pitch_pct": "-20"}, {"station": "1", "pitch_pct": "-18"},
        {"station": "2", "pitch_pct": "-15"}, {"station": "3"},
    ]  # fmt: skip


def test_well_surveys_with_each_kind_of_azimuth() -> None:
    survey = find_recipe("well-survey")
    read = log("md_ft,inc_deg,azi_grid_deg,tvd_ft\n0,0,0,0\n133.86,0.76,203.7,133.8561\n", survey)
    assert (read.kind, read.heading_ref, read.unused) == ("survey", "grid", ("tvd_ft",))
    assert read.si["md"][1] == pytest.approx(40.800528)
    plain = log("md_ft,inc_deg,azi_deg\n173,0.34,109.34\n204,0.31,95.05\n", survey)
    assert plain.heading_ref == "relative"
    assert [flag.code for flag in plain.flags] == ["heading_ref_assumed"]
    pitch = log("station,md_ft,pitch_deg_up,pitch_pct_up,heading_deg\n0,0,-1,-1.7,70\n", survey)
    assert (pitch.kind, pitch.unused) == ("survey", ("station", "pitch_pct_up"))
    assert pitch.slope[0] == pytest.approx(math.radians(-1))


def test_decimal_commas_are_read_when_the_recipe_says_so() -> None:
    text = "station;pitch_pct;length_m\n1;-20,5;3,05\n2;−18;3\n"
    with pytest.raises(BadInputError) as raised:
        log(text, recipe(n="station"))
    assert {fault.code for fault in raised.value.faults} == {"decimal_comma"}
    assert "--columns decimal-comma" in render_faults(raised.value)
    read = log(text, find_recipe("decimal-comma"))
    assert read.row(0) == {"station": "1", "pitch_pct": "-20.5", "length_m": "3.05"}
    assert read.si["pitch"][1] == pytest.approx(math.atan(-0.18))


def test_points_between_thousands_are_not_taken_for_decimals() -> None:
    with pytest.raises(BadInputError) as raised:
        log("station;torque_Nm\n1;1.250\n2;900,5\n", find_recipe("decimal-comma"))
    assert [(f.code, f.line, f.column) for f in raised.value.faults] == [
        ("point_in_comma_file", 2, "torque_Nm")
    ]
    render_faults(raised.value)


def test_units_signs_and_references_of_a_recipe() -> None:
    read = log(
        "a,b,c,d,e,f\n1,20,61,0.3,1.25,271\n",
        recipe(a="station", b="pitch pct down", c="depth cm", d="offset m left",
               e="torque kNm", f="heading deg magnetic"),
    )  # fmt: skip
    assert read.row(0) == {
        "station": "1", "pitch_pct": "-20", "depth_m": "0.61", "offset_m": "-0.3",
        "torque_Nm": "1250.00", "heading_deg": "271", "heading_ref": "magnetic",
    }  # fmt: skip
    assert read.heading_ref == "magnetic"


def test_titles_above_and_units_below_the_headings() -> None:
    plain = {
        "name": "titled", "heading_line": 3, "unit_line": 4,
        "columns": {"Rod": "station", "Pitch [%]": "pitch pct"},
    }  # fmt: skip
    read = log("Bore 7,\n2025-01-02,\nRod,Pitch\n,%\n1,-20\n", recipe_of(plain, "titled"))
    assert (read.row(0), read.lines) == ({"station": "1", "pitch_pct": "-20"}, (5,))


def test_rows_without_numbers_can_be_counted() -> None:
    plain = {"name": "r", "number_rows": True, "columns": {"p": "pitch pct"}}
    read = log("p,x\n-20,1\n-18,2\n", recipe_of(plain, "r"))
    assert read.si["station"].tolist() == [1, 2]


def test_faults_of_cells_keep_their_line_and_say_our_heading() -> None:
    with pytest.raises(BadInputError) as raised:
        log("n,pitch_end_pct,torque_ftlb\n1,x,5\n2,-5,inf\n", find_recipe("start-end-pitch"))
    assert [(f.code, f.line, f.column) for f in raised.value.faults] == [
        ("not_a_number", 2, "pitch_pct"), ("not_finite", 3, "torque_ftlb"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("plain", "codes"),
    [
        ({"columns": {"a": "zzz"}}, ["recipe_field_unknown"]),
        ({"columns": {"a": "pitch"}}, ["recipe_unit_missing"]),
        ({"columns": {"a": "pitch furlong"}}, ["recipe_word_unknown", "recipe_unit_missing"]),
        ({"columns": {"a": "depth m left"}}, ["recipe_word_unknown"]),
        ({"columns": {"a": "depth m entry-down"}}, ["recipe_word_unknown"]),
        ({"columns": {}}, ["recipe_without_columns"]),
        ({"columns": {"a": "station"}, "spare": 1}, ["recipe_key_unknown"]),
        ({"columns": {"a": "station"}, "heading_line": "3"}, ["recipe_key_value"]),
        ({"columns": {"a": "station"}, "decimal_comma": 1}, ["recipe_key_value"]),
    ],
)
def test_faults_of_recipes_come_all_at_once(plain: dict[str, object], codes: list[str]) -> None:
    with pytest.raises(BadInputError) as raised:
        recipe_of(plain, "r")
    assert [fault.code for fault in raised.value.faults] == codes
    render_faults(raised.value)


def test_a_recipe_for_another_table_says_so() -> None:
    with pytest.raises(BadInputError, match="recipe_fits_nothing"):
        log("x,y\n1,2\n", recipe(a="station"))


def test_recipes_are_found_by_name_in_the_book_or_by_file(tmp_path: Path) -> None:
    assert built_in_names() == ("decimal-comma", "start-end-pitch", "well-survey")
    kept = {"blue": recipe(a="station", b="depth cm").to_text()}
    assert find_recipe("blue", kept) == recipe_from_text(kept["blue"], "blue")
    file = tmp_path / "mine.toml"
    file.write_text('[columns]\n"A" = "station"\n')
    assert find_recipe(str(file)).name == "mine"
    assert find_recipe(str(file)).spec_of("a") is not None
    with pytest.raises(BadInputError) as raised:
        find_recipe("green", kept)
    assert "blue" in render_faults(raised.value)
    with pytest.raises(CannotReadError):
        find_recipe(str(tmp_path / "none.toml"))
    file.write_text("[columns\n")
    with pytest.raises(BadInputError, match="recipe_not_readable"):
        find_recipe(str(file))


@pytest.mark.parametrize("name", built_in_names())
def test_a_recipe_kept_as_text_is_the_same_recipe(name: str) -> None:
    built_in = find_recipe(name)
    assert recipe_from_text(built_in.to_text(), name) == built_in


# Factors from definitions, apart from the table in the code: inch 25.4 mm, yard 0.9144 m,
# kilogram-force 9.80665 N, kip 1,000 lbf, gon 0.9 degrees.
FACTORS = {
    "mm": 0.001, "cm": 0.01, "km": 1000.0, "in": 0.0254, "yd": 0.9144, "N": 1.0, "daN": 10.0,
    "MN": 1e6, "kgf": 9.80665, "tf": 9806.65, "kip": 4448.2216152605, "kNm": 1000.0,
    "daNm": 10.0, "kftlb": 1355.8179483314004, "kgfm": 9.80665, "s": 1.0,
}  # fmt: skip


@pytest.mark.parametrize("unit", sorted(FACTORS))
def test_foreign_units_are_worth_what_they_are(unit: str) -> None:
    dimension = next(d for d, units in RESTATED.items() if unit in units and d != "size")
    ours = RESTATED[dimension][unit][0]
    typed = restate("7.25", dimension, unit)
    assert float(typed) * SUFFIXES[dimension][ours] == pytest.approx(7.25 * FACTORS[unit], rel=1e-9)


def test_permille_ratio_and_gon() -> None:
    assert restate("-185", "slope", "permille") == "-18.5"
    assert restate("0.24", "slope", "ratio") == "24.00"
    assert restate("100", "angle", "gon") == "90"
    assert restate("abc", "angle", "gon") == "abc"
    assert restate("nan", "angle", "gon") == "nan"


@given(st.decimals(-1000, 1000, places=3))
def test_turning_a_sign_over_twice_changes_nothing(number: Decimal) -> None:
    once = restate(str(number), "slope", "pct", negative=True)
    assert float(restate(once, "slope", "pct", negative=True)) == float(number)


def test_a_recipe_reads_a_workbook_too(tmp_path: Path) -> None:
    import openpyxl

    book = openpyxl.Workbook()
    for row in (["Stange", "Neigung"], [1, -20.5], [2, "-18,5"]):
        book.worksheets[0].append(row)
    book.save(tmp_path / "log.xlsx")
    kept = recipe_of(
        {
            "name": "r",
            "decimal_comma": True,
            "columns": {"Stange": "station", "Neigung": "pitch pct"},
        },
        "r",
    )
    read = read_log(tmp_path / "log.xlsx", kept, rod_length=3.0)
    assert read.typed["pitch_pct"] == ("-20.5", "-18.5")
