"""One job kept three ways - by page, by workbook, by command - reads back as one book.

Entered on each way: rod type, rig, head, saver sub, sets, bores with optional facts, logs, passes,
checks, dressing, whereabouts, standings, breaks, events, a strike of a wrong entry. Ids, times of
typing and devices differ and are left aside; everything else is equal, life used to the last digit.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from openpyxl import load_workbook
from typer.testing import CliRunner

from rodhand.book.entry.keeping import enter as enter_drafts
from rodhand.book.entry.keeping import strike
from rodhand.book.work.assess import assess
from rodhand.cli.main import app
from rodhand.record.compare import book_as_facts
from rodhand.record.entry import Draft
from rodhand.record.journal import Journal
from rodhand.record.kinds import KINDS
from rodhand.sheets.importing import import_workbook
from rodhand.sheets.workbook_out import write_workbook
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

Row = tuple[str, Mapping[str, str], str]

ROWS: Sequence[Row] = (
    (
        "rod-type",
        {
            "name": "R-T", "tube_od_in": "2.375", "wall_in": "0.28", "length_ft": "10",
            "joint_od_in": "2.75", "joint_bore_in": "1.0", "joint_length_m": "0.18",
            "yield_ksi": "135", "build": "one-piece", "limit_pct": "6.9", "limit_length_ft": "10",
            "makeup_ftlb": "4200",
        },
        "2025-01-02",
    ),
    ("rig", {"rig": "Rig-T", "rod_type": "R-T", "pin_toward": "head", "box_rows": "2",
             "rods_per_row": "3", "pilot_rpm": "100", "pull_rpm": "80"}, "2025-01-02"),
    ("set", {"set": "SET-T", "rod_type": "R-T", "count": "6", "marks_start": "T-01",
             "rig": "Rig-T", "bought": "2024-11"}, "2025-01-02"),
    ("past", {"set": "SET-T", "rotating_h": "120", "ground": "sand", "order": "turned"},
     "2025-01-02"),
    ("thing", {"thing": "HD-T", "what": "head", "rig": "Rig-T", "length_ft": "5",
               "bit_to_sensor_ft": "3"}, "2025-01-02"),
    ("thing", {"thing": "SS-T", "what": "saver sub", "rig": "Rig-T"}, "2025-01-02"),
    ("thing", {"thing": "RM-T", "what": "reamer", "diameter_in": "8"}, "2025-01-02"),
    ("thing", {"thing": "TX-T", "what": "transmitter", "serial": "0042"}, "2025-01-02"),
    ("load", {"rig": "Rig-T", "things": "T-01..T-06", "how": "by row"}, "2025-02-03"),
    ("bore", {"bore": "T-A", "rig": "Rig-T", "place": "Quarry Gate", "ground": "sand",
              "under": "road", "head": "HD-T", "hole_diameter_in": "4"}, "2025-02-04"),
    *(
        (
            "reading",
            {"bore": "T-A", "station": str(n), "length_ft": "10", "pitch_pct": pitch,
             "rotating_min": "4.5", "rpm": "100"},
            "2025-02-04",
        )
        for n, pitch in enumerate(["-20.0", "-14.2", "-9.0", "-1.5", "0.3", "4.1"], 1)
    ),
    ("pass", {"bore": "T-A", "pass": "pullback", "what": "pullback", "from_station": "6",
              "to_station": "0", "rotating_min": "70", "rpm": "80", "lead_rods_off": "0",
              "tool": "RM-T"}, "2025-02-05"),
    ("event", {"bore": "T-A", "pass": "pilot", "station": "3", "what": "torque spike",
               "torque_ftlb": "4600"}, "2025-02-04"),
    ("load", {"rig": "Rig-T", "things": "T-01..T-06", "how": "by row"}, "2025-02-06"),
    ("check", {"things": "T-01..T-03", "end": "box", "item": "joint-od", "found": "sound",
               "reading_in": "2.745", "second_reading_in": "2.741"}, "2025-02-07"),
    ("check", {"things": "T-02", "end": "pin", "item": "galling", "found": "light galling"},
     "2025-02-07"),
    ("dressing", {"things": "T-02", "end": "pin", "what": "dressed"}, "2025-02-10"),
    ("whereabouts", {"things": "T-06", "where": "at the shop"}, "2025-02-10"),
    ("standing", {"things": "T-06", "standing": "set aside", "why": "nick in the shoulder"},
     "2025-02-10"),
    ("break", {"thing": "T-05", "bore": "T-A", "station": "5", "section": "pin thread"},
     "2025-02-11"),
    ("remark", {"bore": "T-A", "station": "2", "things": "T-01", "text": "wet joint"},
     "2025-02-04"),
    ("pass", {"bore": "T-A", "pass": "swab", "what": "swab", "product": "no"}, "2025-02-05"),
    ("makeup", {"bore": "T-A", "pass": "pilot", "from_station": "3", "to_station": "3",
                "compound_on": "yes", "result": "would not torque up"}, "2025-02-04"),
    ("gauge-table", {"rig": "Rig-T", "gear": "low", "circuit": "make-up", "pressure_bar": "120",
                     "torque_ftlb": "4200"}, "2025-02-03"),
    ("emergency", {"rig": "Rig-T", "what": "electric", "telephone": "555 0100",
                   "words": "Stay on the machine.\nTouch nothing outside it."}, "2025-02-03"),
    ("site", {"rig": "Rig-T", "bore": "T-A", "address": "Quarry Gate 4"}, "2025-02-03"),
    ("shift-line", {"rig": "Rig-T", "shift": "before work", "item": "Radio charged"},
     "2025-02-03"),
    ("shift-check", {"rig": "Rig-T", "shift": "before work", "item": "Radio charged",
                     "state": "not done", "note": "flat"}, "2025-02-04"),
)  # fmt: skip
WRONG: Row = ("check", {"things": "T-04", "item": "full-look", "found": "crack"}, "2025-02-07")


def _struck(folder: Path, entry: str) -> None:
    strike(folder, entry, "meant another rod", "yard-1")


def _by_command(folder: Path) -> None:
    """Every row by its own `rodhand enter`, the wrong one struck by `rodhand strike`."""
    runner = CliRunner(env={"RODHAND_BOOK": str(folder)})

    def run(*words: str) -> str:
        done = runner.invoke(app, words, catch_exceptions=False)
        assert done.exit_code == 0, done.output
        return done.stdout.strip()

    rows = folder.parent / "readings.csv"
    readings = [payload for kind, payload, _ in ROWS if kind == "reading"]
    rows.write_text(
        "\n".join([",".join(readings[0]), *(",".join(row.values()) for row in readings)]),
        encoding="utf-8",
    )
    done_readings = False
    for kind, payload, happened in ROWS:
        if kind == "reading":
            if not done_readings:
                run("enter", kind, "--file", str(rows), "--happened", happened, "--by", "yard-1")
                done_readings = True
            continue
        options = [word for name, text in payload.items() for word in (f"--{name}", text)]
        run("enter", kind, *options, "--happened", happened, "--by", "yard-1")
    options = [word for name, text in WRONG[1].items() for word in (f"--{name}", text)]
    wrong = run("enter", WRONG[0], *options, "--happened", WRONG[2], "--by", "yard-1")
    run("strike", wrong, "--why", "meant another rod", "--by", "yard-1")


def _as_form(kind: str, payload: Mapping[str, str]) -> dict[str, str]:
    """What a person fills in: a value and, where there is a choice, its unit."""
    columns = KINDS[kind].columns()
    form = {}
    for column, text in payload.items():
        field, unit = columns[column.lower()]
        form[f"v.{field.name}"] = text
        if unit:
            form[f"u.{field.name}"] = unit
    return form


def _by_page(folder: Path) -> None:
    """Every row by its form, the wrong one struck on its entry's page."""
    Journal.open(folder).close()
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")
    headers = {"Origin": "http://127.0.0.1"}

    def post(address: str, data: Mapping[str, str]) -> Any:
        done = client.post(address, data=dict(data), headers=headers, follow_redirects=False)
        assert done.status_code == 303, done.text
        return done.headers["location"]

    for kind, payload, happened in (*ROWS, WRONG):
        form = {**_as_form(kind, payload), "happened": happened, "by": "yard-1"}
        where = post(f"/enter/{kind}", form)
    entry = re.search(r"/entry/([0-9a-f]+)", where)
    assert entry is not None, where
    post(f"/entry/{entry[1]}/strike", {"why": "meant another rod", "by": "yard-1"})


def _by_workbook(folder: Path) -> None:
    """Every row typed into the empty workbook's sheets, the file taken in; the wrong one struck."""
    path = folder.parent / "filled.xlsx"
    write_workbook(None, path, "us")
    book = load_workbook(path)
    for kind, payload, happened in (*ROWS, WRONG):
        sheet = book[kind]
        headings = [cell.value for cell in sheet[1]]
        row = next(n for n in range(2, 400) if not any(
            sheet.cell(n, c).value for c in range(1, len(headings) + 1)))  # fmt: skip
        for name, text in {**payload, "happened": happened, "by": "yard-1"}.items():
            if name not in headings:
                headings.append(name)
                sheet.cell(1, len(headings)).value = name
            sheet.cell(row, headings.index(name) + 1).value = text
    book.save(path)
    import_workbook(folder, path)
    with Journal.open(folder, write=False) as journal:
        wrong = next(e.id for e in journal.entries() if e.payload.get("found") == "crack")
    _struck(folder, wrong)


def _by_code(folder: Path) -> None:
    """The reference: the same rows handed to the use case."""
    drafts = [Draft(kind, payload, happened, "", "yard-1") for kind, payload, happened in ROWS]
    enter_drafts(folder, drafts, "test")
    wrong = enter_drafts(folder, [Draft(*WRONG, "", "yard-1")], "test")
    _struck(folder, wrong.entries[0].id)


@pytest.fixture(scope="module")
def reference(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, Any], list[Any]]:
    folder = tmp_path_factory.mktemp("code") / "book"
    _by_code(folder)
    return _facts(folder)


def _facts(folder: Path) -> tuple[dict[str, Any], list[Any]]:
    with Journal.open(folder, write=False) as journal:
        book = journal.book()
    assert not book.problems
    worked = assess(book, "2025-02-14")
    lives = sorted(
        (book.things[key].name, *(each.design for each in history.life.sections),
         *(each.low for each in history.life.sections),
         *(each.high for each in history.life.sections))
        for key, history in worked.histories.items()
    )  # fmt: skip
    return book_as_facts(book), lives


@pytest.mark.parametrize("way", [_by_page, _by_workbook, _by_command])
def test_three_ways_one_book(
    way: Any, reference: tuple[dict[str, Any], list[Any]], tmp_path: Path
) -> None:
    folder = tmp_path / "book"
    way(folder)
    facts, lives = _facts(folder)
    for name, value in reference[0].items():
        assert facts[name] == value, name
    assert lives == reference[1]
    assert any(value > 0.0 for row in lives for value in row[1:])


def test_the_struck_look_does_not_count(reference: tuple[dict[str, Any], list[Any]]) -> None:
    assert "crack" not in str(reference[0]["checks"])
