"""Reading what was typed: SI values, every fault at once, flags."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from book_builder import ROD_TYPE
from rodhand.record.kinds import KINDS
from rodhand.record.validate import canonical, read_payload
from rodhand.words import render_fault

BORE = {"bore": "B-1", "station": "4"}


def codes(kind: str, payload: dict[str, str]) -> list[tuple[str, str | None]]:
    return [(fault.code, fault.column) for fault in read_payload(kind, payload).faults]


def test_values_are_si() -> None:
    read = read_payload(
        "reading",
        {**BORE, "length_ft": "10", "pitch_pct": "-25", "rotating_min": "6", "thrust_kN": "1.5"},
    )
    assert not read.faults
    assert read.values["length"] == pytest.approx(3.048)  # 1 ft = 0.3048 m, exact
    assert read.values["pitch"] == pytest.approx(math.atan(-0.25))
    assert read.values["rotating_time"] == 360.0
    assert read.values["thrust"] == 1500.0


def test_push_length_and_push_time_are_two_facts() -> None:
    read = read_payload("reading", {**BORE, "push_m": "1.2", "push_min": "3"})
    assert (read.values["push"], read.values["push_time"]) == (1.2, 180.0)


def test_every_fault_at_once() -> None:
    payload = {
        "station": "-1", "Pitch_pct": "4,5", "pitch_deg": "3", "foo": "1", "heading_ref": "x",
        "length": "3", "rpm": "nan", "turns": "1e12", "depth_m": "1_0", "heading_deg": "400",
    }  # fmt: skip
    assert codes("reading", payload) == [
        ("entry_negative", "station"),
        ("entry_decimal_comma", "Pitch_pct"),
        ("entry_column_doubled", "pitch_deg"),
        ("entry_column_unknown", "foo"),
        ("entry_choice", "heading_ref"),
        ("entry_column_unknown", "length"),
        ("entry_not_finite", "rpm"),
        ("entry_too_large", "turns"),
        ("entry_not_a_number", "depth_m"),
        ("entry_angle", "heading_deg"),
        ("entry_missing", "bore"),
    ]


def test_every_fault_is_told_with_what_to_do() -> None:
    for fault in read_payload(
        "reading", {"station": "4,5", "length": "3", "heading_ref": "x"}
    ).faults:
        assert "do:" in render_fault(fault)
    faults = read_payload("reading", {**BORE, "length": "3"}).faults
    assert "length_m, length_ft" in render_fault(faults[0])


@pytest.mark.parametrize(
    ("column", "text", "flagged"),
    [
        ("pitch_pct", "60", False), ("pitch_pct", "-60.5", True),
        ("pitch_deg", "30", False), ("pitch_deg", "31", True),
    ],
)  # fmt: skip
def test_steep_is_kept_and_asked(column: str, text: str, flagged: bool) -> None:
    read = read_payload("reading", {**BORE, column: text})
    assert not read.faults
    assert "pitch" in read.values
    assert [flag.code for flag in read.flags] == ["entry_steep"] * flagged


@pytest.mark.parametrize("text", ["9223372036854775808", "99999999999999999999999", "1000001"])
def test_whole_numbers_are_bounded(text: str) -> None:
    assert codes("rig", {"rig": "R", "box_rows": text})[0][1] == "box_rows"


@pytest.mark.parametrize("text", ["1.5", "-1", "٣", "4 rods"])
def test_whole_numbers_are_digits(text: str) -> None:
    assert codes("rig", {"rig": "R", "box_rows": text}) == [("entry_not_whole", "box_rows")]


def test_choices_are_read_as_people_write_them() -> None:
    read = read_payload("load", {"rig": "R", "things": "A1", "how": "By-Row"})
    assert read.values["how"] == "by row"
    read = read_payload("pass", {"bore": "B", "pass": "p", "what": "pre ream"})
    assert read.values["what"] == "pre-ream"


def test_a_minus_sign_from_a_word_processor() -> None:
    assert read_payload("reading", {**BORE, "pitch_deg": "−4"}).values["pitch"] == math.radians(-4)


@pytest.mark.parametrize("text", ["a\x00b", "\x1b[2J", "\ud800"])
def test_what_cannot_be_printed_is_refused(text: str) -> None:
    assert codes("remark", {"text": text}) == [("entry_not_printable", "text")]
    assert codes("reading", {"bore": text, "station": "1"}) == [("entry_not_printable", "bore")]


def test_marks_that_would_break_a_list_are_refused() -> None:
    assert codes("thing", {"thing": "a,b", "what": "sub"}) == [("entry_name_comma", "thing")]


def test_rod_type_tells_impossible_sizes_with_the_rest() -> None:
    payload = {**ROD_TYPE, "wall_in": "28", "build": "x"}
    del payload["length_ft"]
    found = codes("rod-type", payload)
    assert ("entry_choice", "build") in found
    assert any(column == "wall_in" for _, column in found)
    assert [code for code, _ in found].count("entry_missing") == 1
    assert not any(code.startswith("field_missing") for code, _ in found)


def test_canonical_spells_columns_and_keeps_texts() -> None:
    typed = {"BORE": "B-1", "Station": " 04 ", "THRUST_KN": "1.50", "rpm": " "}
    assert canonical("reading", typed) == {"bore": "B-1", "station": " 04 ", "thrust_kN": "1.50"}


def test_no_kind_has_two_fields_under_one_column() -> None:
    for kind in KINDS.values():
        columns = [column.lower() for field in kind.fields for column in field.columns()]
        assert len(columns) == len(set(columns)), kind.name
        assert not {"happened", "by"} & set(columns), kind.name


@given(st.sampled_from(sorted(KINDS)), st.dictionaries(st.text(max_size=8), st.text(max_size=8)))
def test_anything_typed_gives_values_or_faults(kind: str, payload: dict[str, str]) -> None:
    read = read_payload(kind, payload)
    assert read.faults or not any(field.required for field in KINDS[kind].fields)


@given(st.data())
def test_any_text_in_a_known_column(data: st.DataObject) -> None:
    kind = KINDS[data.draw(st.sampled_from(sorted(KINDS)))]
    columns = sorted(column for field in kind.fields for column in field.columns())
    payload = data.draw(st.dictionaries(st.sampled_from(columns), st.text(max_size=20)))
    for value in read_payload(kind.name, payload).values.values():
        assert not isinstance(value, float) or math.isfinite(value)
