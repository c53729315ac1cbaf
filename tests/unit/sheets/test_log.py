"""Logs and surveys: what is read, every fault at its place, what is kept and flagged."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodhand.faults import BadInputError, Fault
from rodhand.record.kinds_bores import READING_FIELDS
from rodhand.sheets.flags import told_flag
from rodhand.sheets.grids import grid_from_bytes
from rodhand.sheets.log import LogFile, log_of, read_log
from rodhand.sheets.log_columns import log_columns
from rodhand.sheets.tables import table_of
from rodhand.units import to_si
from rodhand.words import render_fault, render_faults

ROD = 3.048  # m, 10 ft


def log(text: str, **options: object) -> LogFile:
    grid = grid_from_bytes(text.encode(), "log.csv")
    return log_of(table_of(grid), **{"rod_length": ROD, **options})  # type: ignore[arg-type]


def faults(text: str, **options: object) -> list[Fault]:
    with pytest.raises(BadInputError) as raised:
        log(text, **options)
    render_faults(raised.value)
    for fault in raised.value.faults:
        assert render_fault(fault)
    return list(raised.value.faults)


def places(found: Sequence[Fault]) -> list[tuple[str, int | None, str | None]]:
    return [(fault.code, fault.line, fault.column) for fault in found]


def flags(text: str, **options: object) -> list[tuple[str, int | None, str | None]]:
    found = log(text, **options).flags
    assert all(told_flag(flag) for flag in found)
    return places(found)


def test_values_come_in_base_si_and_as_typed() -> None:
    read = log(
        "Station,PITCH_pct,depth_FT,torque_FTLB,rotating_MIN,hole_diameter_in,rpm\n"
        "0,-24.0,,,,,\n1,-24.00,2.40,959,4.2,5.5,100\n2,?,-,881,2.7,,100\n"
    )
    assert read.kind == "log"
    assert read.si["station"].tolist() == [0, 1, 2]
    # hand arithmetic: atan 0.24; 2.4 x 0.3048; 959 x 1.3558179...; 4.2 x 60; 5.5 x 0.0254
    assert read.si["pitch"][1] == pytest.approx(-0.235544981, abs=1e-9)
    assert read.si["depth"][1] == pytest.approx(0.73152, abs=1e-12)
    assert read.si["torque"][1] == pytest.approx(1300.2294, abs=1e-3)
    assert read.si["rotating_time"][1] == pytest.approx(252.0)
    assert read.si["hole_diameter"][1] == pytest.approx(0.1397)
    assert math.isnan(read.si["pitch"][2])
    assert math.isnan(read.si["depth"][2])
    assert read.row(1)["depth_ft"] == "2.40"
    assert read.row(2) == {
        "station": "2",
        "torque_ftlb": "881",
        "rotating_min": "2.7",
        "rpm": "100",
    }
    assert np.isnan(read.si["offset"]).all()


def test_every_column_of_the_contract_is_read_in_its_unit() -> None:
    for column in log_columns().values():
        if column.field.type != "quantity" or column.field.name == "md":
            continue
        read = log(f"station,{column.name.upper()}\n1,2.5\n")
        expected = to_si(2.5, column.field.dimension, column.suffix)
        assert read.si[column.field.name][0] == pytest.approx(expected, rel=1e-15), column.name


def test_push_length_and_push_time_are_two_columns() -> None:
    read = log("station,push_ft,push_min\n1,4,2.5\n")
    assert read.si["push"][0] == pytest.approx(1.2192)
    assert read.si["push_time"][0] == pytest.approx(150)


@pytest.mark.parametrize("suffix", sorted({"pct", "deg"}))
def test_a_pitch_without_unit_asks_for_one(suffix: str) -> None:
    (fault,) = faults("station,pitch\n1,-20\n")
    assert fault.code == "column_without_unit"
    assert f"pitch_{suffix}" in render_fault(fault)


def test_all_faults_of_a_file_come_at_once_and_in_order() -> None:
    found = faults(
        "station,rod,length_m,pitch_pct,ptich_pct,rpm,rpm,depth_m,depth_ft,heading_ref\n"
        "1,M1-01,3.05,-20,1,100,100,1,3,grid\n"
        "2,M1-01,-3,nan,1,inf,100,1 m,3,magnetic\n"
        "2,M1-03,x,-10%,1,100,100,1,3,north\n"
        ',M1-04,0,"-9,5",1,1e999,100,1,3,grid\n'
        "1,M1-05,3.05,-5,1,#N/A,100,1,3,grid\n"
    )
    assert places(found) == [
        ("column_unknown_near", 1, "ptich_pct"),
        ("column_doubled", 1, "rpm"),
        ("column_two_units", 1, "depth_ft"),
        ("not_finite", 3, "pitch_pct"),
        ("not_finite", 3, "rpm"),
        ("not_a_number", 3, "depth_m"),
        ("negative", 3, "length_m"),
        ("rod_twice", 3, "rod"),
        ("heading_ref_mixed", 3, "heading_ref"),
        ("not_a_number", 4, "length_m"),
        ("station_doubled", 4, "station"),
        ("not_a_choice", 4, "heading_ref"),
        ("decimal_comma", 5, "pitch_pct"),
        ("not_finite", 5, "rpm"),
        ("station_missing", 5, "station"),
        ("not_a_number", 6, "rpm"),
        ("station_back", 6, "station"),
    ]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("pitch_pct,depth_m\n-20,1\n", [("column_missing", 1, "station")]),
        ("md_m,azimuth_deg\n1,20\n", [("column_missing_survey", 1, "inclination_deg")]),
        ("inclination_deg,azimuth_deg\n1,20\n", [("column_missing_survey", 1, "md_m / md_ft")]),
        ("station,pitch_pct\n1,-20,5\n", [("row_too_long", 2, None)]),
        ("station,pitch_pct,rpm\n1,-20\n", [("row_too_short", 2, None)]),
        ("station,\n1,-20\n", [("heading_blank", 1, "2")]),
        ("station,pitch_pct\n-1,3\n", [("negative", 2, "station")]),
        ("station,inclination_deg\n1,190\n", [("angle_outside", 2, "inclination_deg")]),
        ("station,heading_deg\n1,361\n", [("angle_outside", 2, "heading_deg")]),
        ("station,push_from_m,push_to_m\n1,2,1\n", [("push_backwards", 2, "push_to_m")]),
        ("station,zebra\n1,2\n", [("column_unknown", 1, "zebra")]),
        ("station,length_m\n1,0\n", [("length_zero", 2, "length_m")]),
    ],
)  # fmt: skip
def test_faults_of_columns_and_rows(
    text: str, expected: list[tuple[str, int | None, str | None]]
) -> None:
    assert places(faults(text)) == expected


def test_a_file_with_headings_only() -> None:
    assert places(faults("station,pitch_pct\n")) == [("no_rows", 1, None)]


def test_lengths_must_come_from_somewhere() -> None:
    plain = "station,pitch_pct\n0,-20\n1,-20\n"
    assert places(faults(plain, rod_length=None)) == [
        ("length_column_missing", 1, "length_m / length_ft")
    ]
    assert log(plain, rod_length=None, length_needed=False).kind == "log"
    some = "station,length_m\n0,\n1,3\n1.5,\n2,\n"  # station 0 and a part of a rod need none
    assert places(faults(some, rod_length=None)) == [("length_missing", 5, "length_m")]


def test_more_than_5000_stations_are_no_rod_log() -> None:
    rows = "".join(f"{n},-1\n" for n in range(1, 5002))
    (fault,) = faults("station,pitch_pct\n" + rows)
    assert (fault.code, fault.found) == ("log_too_long", "5,001")
    assert "no rod-by-rod log" in render_fault(fault)
    assert len(log("station,pitch_pct\n" + rows.rsplit("5001", 1)[0]).lines) == 5000


def test_steep_readings_are_kept_and_flagged() -> None:
    text = "station,pitch_pct\n1,-60\n2,60.1\n3,-61\n"
    assert flags(text) == [("steep", 3, "pitch_pct"), ("steep", 4, "pitch_pct")]
    assert log(text).row(2)["pitch_pct"] == "-61"
    assert flags("station,pitch_deg\n1,-30\n2,30.1\n") == [("steep", 3, "pitch_deg")]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("station,length_m\n1,10\n2,3.05\n", [("length_unit", 2, "length_m")]),
        ("station,length_ft\n1,3.05\n2,10\n", [("length_unit", 2, "length_ft")]),
        ("station,length_ft\n1,20\n2,10\n", [("length_unusual", 2, "length_ft")]),
        ("station,md_m\n1,10\n2,20\n", [("length_unit", 3, "md_m")]),
        ("station,depth_m\n1,1\n2,420\n", [("unusual", 3, "depth_m")]),
        ("station,torque_Nm\n1,500000\n", [("unusual", 2, "torque_Nm")]),
        ("station,pitch_pct\n1,-20\n4,-10\n", [("stations_left_out", 3, "station")]),
        ("station,pitch_pct\n3,-20\n", [("stations_left_out", 2, "station")]),
        ("station,heading_deg\n1,70\n", [("heading_ref_assumed", 1, "heading_deg")]),
        ("station,heading_deg,heading_ref\n1,70,GRID\n", []),
        (
            "station,md_m,length_m\n1,3.05,3.05\n2,6.5,3.05\n",
            [("md_against_length", 3, "md_m")],
        ),
    ],
)
def test_doubtful_values_are_kept_and_flagged(
    text: str, expected: list[tuple[str, int | None, str | None]]
) -> None:
    assert flags(text) == expected


def test_readings_inside_a_rod_stand_between_its_ends() -> None:
    read = log("station,rod,pitch_pct\n4,M1-04,-13.5\n4.5,M1-05,-9\n5,M1-05,-4\n")
    assert read.si["station"].tolist() == [4, 4.5, 5]
    found = faults("station,rod\n4.5,M1-05\n5.5,m1-05\n")
    assert places(found) == [("rod_twice", 3, "rod")]


def test_passes_are_apart_and_a_pass_may_come_back() -> None:
    read = log(
        "station,rod,pass,torque_Nm\n1,A,,500\n2,B,Pilot,500\n2,B,Pullback,900\n1,A,pullback,800\n"
    )
    assert read.passes == ("pilot", "Pullback")
    assert read.rows_of("Pullback").tolist() == [2, 3]
    back = "station,pass\n5,ream\n4,ream\n4.5,ream\n3,ream\n"
    assert places(faults(back)) == [("station_back", 4, "station")]
    assert places(faults("station,pass\n2,pilot\n1,pilot\n")) == [("station_back", 3, "station")]


def test_a_survey_needs_no_stations() -> None:
    read = log("md_ft,inclination_deg,azimuth_deg,heading_ref\n0,90,70,grid\n100,92,71,grid\n")
    assert (read.kind, read.heading_ref) == ("survey", "grid")
    assert read.si["md"][1] == pytest.approx(30.48)
    assert read.slope[1] == pytest.approx(math.radians(2))
    assert read.direction[1] == pytest.approx(math.radians(71))
    assert read.si["station"].tolist() == [0, 1]


def test_md_of_a_survey_goes_one_way_and_is_there() -> None:
    found = faults("md_m,inclination_deg\n0,90\n10,90\n10,90\n5,90\n,91\n")
    assert places(found) == [
        ("md_doubled", 4, "md_m"), ("md_back", 5, "md_m"), ("md_missing", 6, "md_m"),
    ]  # fmt: skip


def test_odd_spellings_of_numbers() -> None:
    read = log("station,pitch_pct,torque_Nm\n1,−20.5 %,1e3\n2,+3,.5\n")
    assert read.row(0)["pitch_pct"] == "-20.5"
    assert read.si["pitch"][0] == pytest.approx(math.atan(-0.205))
    for bad in ("1_0", "10 ft", "0x10", "--3", "3-", "5%"):
        assert places(faults(f"station,torque_Nm\n1,{bad}\n")) == [("not_a_number", 2, "torque_Nm")]


def test_first_fifty_faults_are_shown_and_the_rest_counted() -> None:
    with pytest.raises(BadInputError) as raised:
        log("station,rpm\n" + "".join(f"{n},x\n" for n in range(1, 121)))
    told = render_faults(raised.value)
    assert "120 faults" in told
    assert "70 more faults" in told
    assert told.count("line ") == 50


def test_a_file_where_everything_is_wrong_is_told_by_number(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("rodhand.sheets.fault_list.PLACED_AT_MOST", 5)
    found = faults("station,rpm,turns\n" + "".join(f"{n},x,y\n" for n in range(1, 11)))
    assert len(found) == 11
    assert (found[-1].code, found[-1].found) == ("faults_beyond_count", "10")
    assert places(found)[:2] == [("not_a_number", 2, "rpm"), ("not_a_number", 2, "turns")]


def test_reading_a_workbook_and_a_csv_gives_the_same(tmp_path: Path) -> None:
    import openpyxl

    (tmp_path / "a.csv").write_text("station,pitch_pct\n1,-20.5\n2,-15\n")
    book = openpyxl.Workbook()
    for row in (["station", "pitch_pct"], [1, -20.5], [2, -15]):
        book.worksheets[0].append(row)
    book.save(tmp_path / "a.xlsx")
    first, second = (read_log(tmp_path / name, rod_length=ROD) for name in ("a.csv", "a.xlsx"))
    assert first.rows == second.rows
    assert first.si["pitch"].tolist() == second.si["pitch"].tolist()


headings = st.lists(
    st.sampled_from([*log_columns(), "pitch", "n", "zz", ""]), min_size=1, max_size=8
)
cells = st.one_of(
    st.floats(-100, 100).map(str), st.integers(0, 9).map(str),
    st.sampled_from(["", "?", "nan", "1,5", "grid", "pilot", "x", "∞", "1e400", "-0"]),
)  # fmt: skip


@settings(deadline=None, derandomize=True)
@given(names=headings, data=st.data())
def test_any_table_is_either_read_or_told(names: list[str], data: st.DataObject) -> None:
    rows = data.draw(st.lists(st.lists(cells, min_size=1, max_size=9), min_size=1, max_size=6))
    text = "\n".join(";".join(row) for row in [names, *rows])
    try:
        read = log(text)
    except BadInputError as error:
        render_faults(error)  # a fault without its text raises
        return
    numbers = [f.name for f in READING_FIELDS if f.type in ("number", "quantity")]
    assert set(read.si) == set(numbers)
    assert not any(np.isinf(values).any() for values in read.si.values())
    assert all(told_flag(flag) for flag in read.flags)


def test_the_page_on_input_columns_names_every_heading() -> None:
    page = Path(__file__).parents[3] / "docs" / "input-columns.md"
    table = page.read_text(encoding="utf-8").split("## Numbers")[0]
    named = {name for line in table.splitlines() if line.startswith("| `")
             for name in re.findall(r"`(\w+)`", line.split("|")[1])}  # fmt: skip
    assert named == {column.name for column in log_columns().values()}
