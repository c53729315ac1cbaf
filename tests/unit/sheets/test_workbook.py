"""The workbook: what is written is read back as typed, and every fault has its sheet and row."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodhand.faults import BadInputError, CannotReadError, Fault
from rodhand.record.compare import book_as_facts
from rodhand.record.entry import Chain, Draft, Entry
from rodhand.record.kinds import KINDS
from rodhand.record.memory import MemoryJournal
from rodhand.record.reading_back import read_book
from rodhand.sheets.workbook import holds_our_sheets, read_rows, read_workbook
from rodhand.sheets.workbook_columns import sheet_columns
from rodhand.sheets.workbook_out import BY_ENTRY, in_force, write_workbook
from rodhand.words import render_faults, say

RIG = ("rig", {"rig": "Rig-40", "units": "us", "zone": "+01:00"})
BORE = ("bore", {"bore": "B-2", "rig": "Rig-40", "rig_pitch_pct": "-24"})


def entries_of(*said: tuple[str, dict[str, str]], happened: str = "2025-09-09") -> list[Entry]:
    chain = Chain("d1")
    return [chain.add(Draft(kind, row, happened, "+02:00", "p1")) for kind, row in said]


def filled(path: Path, **sheets: list[list[object]]) -> Path:
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for name, rows in sheets.items():
        sheet = book.create_sheet(name.replace("_", "-"))
        for row in rows:
            sheet.append(row)
    book.save(path)
    return path


def faults(path: Path) -> list[tuple[str, int | None, str | None]]:
    with pytest.raises(BadInputError) as raised:
        read_workbook(path)
    render_faults(raised.value)
    return [(fault.code, fault.line, fault.column) for fault in raised.value.faults]


@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_empty_workbook_has_a_sheet_for_each_kind(tmp_path: Path, system: str) -> None:
    path = tmp_path / "book.xlsx"
    write_workbook(None, path, system)  # type: ignore[arg-type]
    book = openpyxl.load_workbook(path)
    assert book.sheetnames == [
        say("workbook.guide"),
        *(kind for kind in KINDS if kind not in BY_ENTRY),
    ]
    rod_type = [cell.value for cell in book["rod-type"][1]]
    assert rod_type[:2] == ["happened", "by"]
    assert ("tube_od_in" in rod_type) == (system == "us")
    assert ("tube_od_mm" in rod_type) == (system == "metric")
    assert book["rod-type"]["C1"].font.b  # name must be filled in
    assert not book["rod-type"]["A1"].font.b
    assert holds_our_sheets(path)
    with pytest.raises(BadInputError, match="workbook_without_rows"):
        read_workbook(path)


def test_every_choice_of_every_sheet_can_be_picked(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    write_workbook(None, path)
    book = openpyxl.load_workbook(path)
    for kind in KINDS.values():
        if kind.name in BY_ENTRY:
            continue
        sheet = book[kind.name]
        headings = [cell.value for cell in sheet[1]]
        lists = {
            headings[range_.min_col - 1]: rule.formula1.strip('"').split(",")
            for rule in sheet.data_validations.dataValidation
            for range_ in rule.sqref.ranges
        }
        assert lists == {f.name: list(f.choices) for f in kind.fields if f.choices}, kind.name


def test_each_kind_has_one_line_in_the_guide_and_one_column_a_field() -> None:
    for kind in KINDS.values():
        assert kind.name in BY_ENTRY or say(f"workbook.kind.{kind.name}")
        for system in ("metric", "us"):
            columns = sheet_columns(kind, system)
            assert [kind.columns()[c.lower()][0] for c in columns] == list(kind.fields)


def test_what_is_written_is_read_back_in_order_and_as_typed(tmp_path: Path) -> None:
    entries = entries_of(
        RIG,
        BORE,
        ("reading", {"bore": "B-2", "station": "1", "pitch_pct": "-24.0", "length_ft": "10"}),
        ("remark", {"text": "=1+1\r\nsecond\tline", "bore": "B-2"}),
        ("reading", {"bore": "B-2", "station": "2", "pitch_deg": "-1e1", "length_m": "3.050"}),
        ("mark", {"thing": "007", "mark": "1-2"}),
    )
    path = tmp_path / "book.xlsx"
    write_workbook(entries, path)
    read = read_workbook(path)
    assert [(r.draft.kind, r.draft.payload) for r in read.rows] == [
        (entry.kind, entry.payload) for entry in entries
    ]
    assert {(r.draft.happened, r.draft.zone, r.draft.by) for r in read.rows} == {
        ("2025-09-09", "+02:00", "p1")
    }
    assert [(row.sheet, row.line) for row in read.rows[2:5]] == [
        ("reading", 2), ("remark", 2), ("reading", 3),
    ]  # fmt: skip


def test_struck_entries_and_strikes_are_left_out() -> None:
    entries = entries_of(RIG, BORE, ("remark", {"text": "wrong"}))
    chain = Chain("d1", 3, entries[-1].hash)
    strike = chain.add(Draft("strike", {"entry": entries[2].id, "why": "typed twice"}, "2025"))
    assert in_force([*entries, strike]) == entries[:2]


def test_a_book_kept_as_a_workbook_is_the_same_book(tmp_path: Path) -> None:
    journal = MemoryJournal()
    rows = [
        ("rig", {"rig": "R", "zone": "Europe/Berlin"}),
        ("bore", {"bore": "B", "rig": "R", "ground": "sand"}),
        ("thing", {"thing": "H-1", "what": "head", "limit_radius_ft": "120.50"}),
        ("whereabouts", {"things": "H-1", "where": "at the shop"}),
        ("check", {"things": "H-1", "item": "cracks", "found": "none"}),
        ("whereabouts", {"things": "H-1", "where": "row", "rig": "R", "row": "1"}),
        ("reading", {"bore": "B", "station": "1", "pitch_pct": "-12", "remark": "µ ° ✕"}),
    ]
    for kind, payload in rows:
        journal.write(kind, payload, "2025-09-09", "p1", "+02:00")
    write_workbook(journal.entries(), tmp_path / "book.xlsx")
    other = MemoryJournal()
    other.write_many(read_workbook(tmp_path / "book.xlsx").drafts)
    assert book_as_facts(other.book()) == book_as_facts(read_book(journal.entries()))


texts = st.text(
    st.characters(exclude_categories=("Cc", "Cs", "Cn")), min_size=1, max_size=20
).map(str.strip).filter(bool)  # fmt: skip
numbers = st.one_of(
    st.floats(-1e6, 1e6).map(str), st.integers(-999, 10**6).map(str), st.sampled_from(
        ["2.740", "007", "1e3", "-0", "+5", ".5", "5.", "1E-7", "123456789012345678"]
    ),
)  # fmt: skip


@st.composite
def remarks(draw: st.DrawFn) -> tuple[str, dict[str, str]]:
    if draw(st.booleans()):
        return "remark", {"text": draw(texts), "bore": draw(texts)}
    columns = draw(
        st.lists(
            st.sampled_from(["pitch_pct", "length_ft", "torque_Nm", "rpm", "depth_m", "offset_m"]),
            unique=True,
        )
    )
    row = {column: draw(numbers) for column in columns}
    return "reading", {"bore": "B", "station": str(draw(st.integers(0, 99))), **row}


@settings(deadline=None, derandomize=True, max_examples=60)
@given(said=st.lists(remarks(), min_size=1, max_size=6))
def test_any_row_comes_back_as_typed(
    tmp_path_factory: pytest.TempPathFactory, said: list[tuple[str, dict[str, str]]]
) -> None:
    path = tmp_path_factory.mktemp("wb") / "book.xlsx"
    entries = in_force(entries_of(*said))
    write_workbook(entries, path)
    if not entries:
        return
    read = read_workbook(path)
    assert [(r.draft.kind, dict(r.draft.payload)) for r in read.rows] == [
        (entry.kind, dict(entry.payload)) for entry in entries
    ]


def test_faults_of_all_sheets_come_at_once_at_their_place(tmp_path: Path) -> None:
    path = filled(
        tmp_path / "book.xlsx",
        rig=[["rig", "units", "box_rows"], ["R", "feet", "two"], [None, "us"]],
        bore=[["bore", "rig", "client", "client"], ["B", "R"]],
        reading=[["bore", "station", "pitch"], ["B", 1, -20]],
        rod_typ=[["name"], ["x"]],
        remark=[["no", "text"], ["first", "hello"]],
    )
    assert faults(path) == [
        ("entry_heading_twice", 1, "bore: client"),
        ("sheet_name_near", None, "rod-typ"),
        ("row_number", 2, "remark: no"),
        ("entry_choice", 2, "rig: units"),
        ("entry_not_whole", 2, "rig: box_rows"),
        ("entry_missing", 3, "rig: rig"),
        ("entry_column_unknown", 2, "reading: pitch"),
    ]


def test_dates_typed_in_a_spreadsheet_are_read(tmp_path: Path) -> None:
    from datetime import datetime

    path = filled(
        tmp_path / "book.xlsx",
        remark=[
            ["happened", "text"],
            [datetime(2025, 9, 9), "a"],
            [datetime(2025, 9, 9, 14, 30), "b"],
        ],
    )
    assert [r.draft.happened for r in read_workbook(path).rows] == [
        "2025-09-09",
        "2025-09-09 14:30",
    ]


def test_notes_of_one_s_own_are_left_out_and_told(tmp_path: Path) -> None:
    path = filled(tmp_path / "b.xlsx", remark=[["text"], ["a"]], jottings=[["anything"]])
    read = read_workbook(path, happened="2025-09-09", by="p9")
    assert [(flag.code, flag.found) for flag in read.flags] == [("sheet_not_read", "jottings")]
    assert (read.rows[0].draft.happened, read.rows[0].draft.by) == ("2025-09-09", "p9")


def test_faults_found_later_are_placed_too(tmp_path: Path) -> None:
    path = filled(tmp_path / "b.xlsx", remark=[["text"], ["a"]], event=[
        ["bore", "what"], ["B", "jerk"]])  # fmt: skip
    read = read_workbook(path)
    (placed,) = read.placed([Fault("bore_unknown", "B", 1, "bore")])
    assert (placed.line, placed.column) == (2, "event: bore")


def test_rows_of_one_kind_from_a_csv(tmp_path: Path) -> None:
    (tmp_path / "rows.csv").write_text("happened,text\n2025-09-09,a\n,b\n")
    drafts = read_rows("remark", tmp_path / "rows.csv", happened="2025", by="p1")
    assert [(d.happened, dict(d.payload), d.line) for d in drafts] == [
        ("2025-09-09", {"text": "a"}, 2), ("2025", {"text": "b"}, 3),
    ]  # fmt: skip


def test_a_csv_is_no_workbook_and_a_missing_file_cannot_be_read(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text("a\n1\n")
    assert not holds_our_sheets(tmp_path / "a.csv")
    assert not holds_our_sheets(filled(tmp_path / "b.xlsx", log=[["station"], [1]]))
    with pytest.raises(CannotReadError):
        read_workbook(tmp_path / "none.xlsx")
    with pytest.raises(CannotReadError):
        write_workbook(None, tmp_path / "no" / "folder.xlsx")
