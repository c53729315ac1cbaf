"""Read the sheets of a workbook row by row, as texts."""

from __future__ import annotations

import io
import re
import warnings
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime, time
from typing import Any

import openpyxl

from rodhand.faults import BadInputError, CannotReadError, Fault
from rodhand.sheets.grids import check_row_count, file_fault, megabytes

LARGEST_UNPACKED = 500_000_000  # bytes of a workbook's parts once unpacked
_NEVER_COMPUTED = re.compile(
    rb'<c r="([A-Z]+)(\d+)"[^>]*><f[^>]*?(?:/>|>([^<]*)</f>)(?:<v\s*/>|<v></v>)?</c>'
)


class Workbook:
    """An open workbook; made by `open_workbook`."""

    def __init__(self, data: bytes, source: str) -> None:
        self.source = source
        self._parts = zipfile.ZipFile(io.BytesIO(data))
        if "xl/workbook.xml" not in self._parts.namelist():
            raise file_fault(source, "zip_not_workbook")
        size = sum(part.file_size for part in self._parts.infolist())
        if size > LARGEST_UNPACKED:
            most = megabytes(LARGEST_UNPACKED)
            raise file_fault(source, "workbook_unpacks_too_large", megabytes(size), most=most)
        self._book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)
        self.sheet_names = [each.title for each in self._book.worksheets]

    def has_rows(self, name: str) -> bool:
        """Tell whether anything is typed in the first thousand rows of a sheet."""
        rows = self._sheet(name).iter_rows(max_row=1000, values_only=True)
        return any(value not in (None, "") for row in rows for value in row)

    def rows(self, name: str) -> tuple[tuple[int, ...], tuple[tuple[str, ...], ...]]:
        """Row numbers and texts of a sheet's rows that hold anything.

        Parameters
        ----------
        name : str
            The sheet.

        Returns
        -------
        tuple of int, tuple of tuple of str
            Sheet rows counted from 1, and their cells.

        Raises
        ------
        BadInputError
            If there is no such sheet, it has too many rows, or a formula was never computed.
        """
        if name not in self.sheet_names:
            names = ", ".join(self.sheet_names)
            raise file_fault(self.source, "sheet_missing", name, names=names)
        sheet = self._sheet(name)
        self._check_formulas(sheet)
        lines: list[int] = []
        cells: list[tuple[str, ...]] = []
        for number, row in enumerate(sheet.iter_rows(), start=1):
            texts = tuple([cell_text(cell) for cell in row])
            if any(texts):
                lines.append(number)
                cells.append(texts)
                check_row_count(len(cells), self.source)
        return tuple(lines), tuple(cells)

    def _sheet(self, name: str) -> Any:
        sheet = self._book[name]
        sheet.reset_dimensions()  # some programs write a wrong extent into the file
        return sheet

    def _check_formulas(self, sheet: Any) -> None:
        """Refuse formulas that no spreadsheet has computed: they would read as blank."""
        part = str(getattr(sheet, "_worksheet_path", "")).lstrip("/")
        if part not in self._parts.namelist():
            return
        faults = [
            Fault(
                "formula_not_computed",
                f"={text.decode('utf-8', 'replace')}",
                int(row),
                column.decode(),
            )
            for column, row, text in _NEVER_COMPUTED.findall(self._parts.read(part))
        ]
        if faults:
            raise BadInputError(faults, f"{self.source}, {sheet.title}")


@contextmanager
def open_workbook(data: bytes, source: str) -> Iterator[Workbook]:
    """Open a workbook's content for reading; damage met at any moment becomes a fault.

    Parameters
    ----------
    data : bytes
        Content of the file.
    source : str
        Its name.

    Yields
    ------
    Workbook
        The open workbook.

    Raises
    ------
    BadInputError
        If it is no workbook, too large once unpacked, or damaged.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # told of features dropped; none of them holds a value
        try:
            yield Workbook(data, source)
        except (BadInputError, CannotReadError):
            raise
        except Exception as error:  # a damaged file makes the parser raise nearly anything
            raise file_fault(source, "workbook_damaged", str(error)[:80]) from error


def cell_text(cell: Any) -> str:
    """A cell as text: what a spreadsheet shows, dates as ISO, percent with its sign."""
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, str):
        return value.replace("_x000D_", "\r").strip()  # how a workbook writes a carriage return
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        if "%" in cell.number_format:
            return f"{100 * value:.15g}%"
        return number_text(value)
    return _moment_text(value)


def number_text(value: float) -> str:
    """A number with at most 15 digits, as a spreadsheet shows it."""
    return str(value) if isinstance(value, int) else f"{value:.15g}"


def _moment_text(value: object) -> str:
    if isinstance(value, datetime):
        if value.time() == time():
            return value.date().isoformat()
        return value.isoformat(sep=" ", timespec="seconds" if value.second else "minutes")
    if isinstance(value, (date, time)):
        return value.isoformat()
    return str(value)
