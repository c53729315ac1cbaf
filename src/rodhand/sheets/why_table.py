"""One rod's life used as a file: every line with inputs, and formulas that work it out."""

from __future__ import annotations

import csv
import io
from typing import Any

from rodhand.book.why.table import TableRow, WhyTable
from rodhand.steel.curves import MPA
from rodhand.steel.tube import ELASTIC_MODULUS

INPUTS = (
    "bore", "pass", "station", "start_m", "end_m", "turns", "harder", "bend_1_per_m",
    "modulus_Pa", "tube_od_m", "local", "m", "log10_a",
)  # fmt: skip
"""Columns given, units in their names."""
RESULTS = ("radius_m", "stress_MPa", "cycles", "damage", "class_factor", "life_used_design")
"""Columns worked out of the others; the class's factor is given."""
ORIGINS = ("turns_are", "reading_entry", "turns_entry")
"""Standing of the turns, and the entries that bend and turns rest on."""
COLUMNS = (*INPUTS, *RESULTS, *ORIGINS)
FORMULAS = {
    "radius_m": "=1/H{n}",
    "stress_MPa": "=I{n}*J{n}*K{n}/N{n}/1000000",
    "cycles": "=10^(M{n}-L{n}*LOG10(O{n}))",
    "damage": "=F{n}*G{n}/P{n}",
    "life_used_design": "=Q{n}*R{n}",
}
TOTAL = "total"


def table_csv(table: WhyTable) -> str:
    """The table as CSV with all digits; its last row is the sum.

    Parameters
    ----------
    table : WhyTable
        The rod's lines.

    Returns
    -------
    str
        Comma separated, a heading and one line a row.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for row in table.rows:
        writer.writerow([*_inputs(row), *_results(row), *_origins(row)])
    blank = len(INPUTS) + len(RESULTS) - 2
    writer.writerow([TOTAL, *[""] * blank, repr(table.design), *[""] * len(ORIGINS)])
    return out.getvalue()


def _inputs(row: TableRow) -> list[Any]:
    line = row.line
    if line is None:
        return [row.bore, row.pass_name, *[""] * (len(INPUTS) - 2)]
    return [
        row.bore, row.pass_name, row.station, line.start, line.end, line.turns, row.harder,
        line.bend, ELASTIC_MODULUS, line.tube_od, line.local, line.slope, line.log_a,
    ]  # fmt: skip


def _results(row: TableRow) -> list[Any]:
    worked: list[Any] = ["", "", ""]
    if row.line is not None and row.line.bend > 0.0:
        worked = [1.0 / row.line.bend, row.line.stress_range / MPA, row.line.cycles]
    return [*worked, row.damage, row.factor, row.damage * row.factor]


def _origins(row: TableRow) -> list[str]:
    return [row.turns_are, row.entry, row.turns_entry]


def table_workbook(table: WhyTable) -> bytes:
    """The table as a workbook whose results are formulas over the inputs.

    Parameters
    ----------
    table : WhyTable
        The rod's lines.

    Returns
    -------
    bytes
        An XLSX file. Each formula carries the value it gives, for readers that do not calculate.
    """
    import xlsxwriter

    out = io.BytesIO()
    book = xlsxwriter.Workbook(
        out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    )
    sheet = book.add_worksheet(table.section[:31])
    bold = book.add_format({"bold": True, "bottom": 1})
    sheet.write_row(0, 0, COLUMNS, bold)
    sheet.freeze_panes(1, 1)
    last = len(INPUTS) + len(RESULTS) - 1
    for at, row in enumerate(table.rows, 1):
        for column, value in enumerate(_inputs(row)):
            if isinstance(value, str):
                sheet.write_string(at, column, value)
            else:
                sheet.write_number(at, column, value)
        _write_results(sheet, at, row)
        for column, text in enumerate(_origins(row), len(INPUTS) + len(RESULTS)):
            sheet.write_string(at, column, text)
    total = len(table.rows) + 1
    sheet.write_string(total, 0, TOTAL, bold)
    sheet.write_formula(total, last, f"=SUM(S2:S{total})", bold, table.design)
    book.close()
    return out.getvalue()


def _write_results(sheet: Any, at: int, row: TableRow) -> None:
    for place, (name, value) in enumerate(zip(RESULTS, _results(row), strict=True), len(INPUTS)):
        whole = row.line is not None and row.line.bend > 0.0
        if name in FORMULAS and (whole or name == "life_used_design"):
            sheet.write_formula(at, place, FORMULAS[name].format(n=at + 1), None, value)
        elif value != "":
            sheet.write_number(at, place, value)
