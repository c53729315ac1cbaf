"""Read a rod-by-rod log or a well survey: one row a station, units in the headings."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rodhand.record.kinds_bores import READING_FIELDS
from rodhand.sheets import log_checks
from rodhand.sheets.fault_list import FaultList
from rodhand.sheets.flags import Flag, FlagList
from rodhand.sheets.grids import read_grid
from rodhand.sheets.log_columns import Column, find_columns
from rodhand.sheets.numbers import BLANKS, read_numbers, to_si_array
from rodhand.sheets.recipes import Recipe
from rodhand.sheets.tables import Table, table_of

Array = NDArray[np.float64]
NUMBER_FIELDS = tuple(f.name for f in READING_FIELDS if f.type in ("number", "quantity"))
"""Fields of a log that hold a number."""
PILOT = "pilot"


@dataclass(frozen=True, eq=False)
class LogFile:
    """A log as read: what was typed, and the same in base SI.

    Parameters
    ----------
    source : str
        Name of the file.
    kind : {"log", "survey"}
        Rod by rod with stations, or measured depth with inclination.
    typed : mapping of str to tuple of str
        Heading in the contract's spelling to its cells as typed, blank where nobody read one.
    si : mapping of str to numpy.ndarray
        Every field of `NUMBER_FIELDS` to its values in base SI, angles in radians; NaN where
        unknown. ``rpm`` [rev/min] and ``turns`` [-] are as typed. A survey without a station
        column has its stations counted from 0.
    lines : tuple of int
        Line of each row in the file.
    pass_of : tuple of str
        Name of the pass of each row.
    heading_ref : {"relative", "magnetic", "grid", "true"}
        What headings and azimuths are counted from.
    flags : tuple of Flag
        What is doubtful and was kept, by line and column; codes under `flag` in the words.
    unused : tuple of str
        Headings of the file that a recipe left out.
    """

    source: str
    kind: Literal["log", "survey"]
    typed: Mapping[str, tuple[str, ...]]
    si: Mapping[str, Array]
    lines: tuple[int, ...]
    pass_of: tuple[str, ...]
    heading_ref: str
    flags: tuple[Flag, ...]
    unused: tuple[str, ...] = ()

    @property
    def passes(self) -> tuple[str, ...]:
        """Names of the passes in the order of the file."""
        return tuple(dict.fromkeys(self.pass_of))

    @property
    def slope(self) -> Array:
        """Pitch, up positive; from the inclination where there is no pitch. [rad]"""
        return np.where(
            np.isnan(self.si["pitch"]), self.si["inclination"] - math.pi / 2, self.si["pitch"]
        )

    @property
    def direction(self) -> Array:
        """Heading, clockwise; the azimuth where there is no heading. [rad]"""
        return np.where(np.isnan(self.si["heading"]), self.si["azimuth"], self.si["heading"])

    def row(self, index: int) -> dict[str, str]:
        """What was typed in one row, by heading; blank cells left out."""
        return {name: cells[index] for name, cells in self.typed.items() if cells[index]}

    @property
    def rows(self) -> list[dict[str, str]]:
        """What was typed in every row; see `row`."""
        return [self.row(index) for index in range(len(self.lines))]

    def rows_of(self, pass_name: str) -> NDArray[np.intp]:
        """Positions of a pass's rows in the arrays."""
        return np.array(
            [i for i, name in enumerate(self.pass_of) if name == pass_name], dtype=np.intp
        )


def read_log(
    path: Path | str, recipe: Recipe | None = None, rod_length: float | None = None,
    length_needed: bool = True, sheet: str | None = None,
) -> LogFile:  # fmt: skip
    """Read a log or survey from a CSV or XLSX file.

    Parameters
    ----------
    path : Path or str
        The file.
    recipe : Recipe, optional
        How to understand headings and units that are not those of the contract.
    rod_length : float, optional
        Length of a rod whose row says none. [m]
    length_needed : bool, optional
        Whether a row without any length is a fault; not where a book knows the rods.
    sheet : str, optional
        Sheet of a workbook.

    Returns
    -------
    LogFile
        The log.

    Raises
    ------
    CannotReadError
        If there is no such file, or it cannot be read.
    BadInputError
        With every fault of the file.
    """
    grid = read_grid(path, sheet)
    table = table_of(grid, *recipe.lines) if recipe else table_of(grid)
    return log_of(table, recipe, rod_length, length_needed)


def log_of(
    table: Table, recipe: Recipe | None = None, rod_length: float | None = None,
    length_needed: bool = True,
) -> LogFile:  # fmt: skip
    """Understand a table as a log or survey; see `read_log`."""
    faults = FaultList(table.source)
    unused: tuple[str, ...] = ()
    if recipe is not None:
        table, unused = recipe.apply(table)
    faults.faults += table.faults
    columns = find_columns(table, faults)
    kind = _kind_of(columns, faults)
    texts = {name: table.column(position) for name, (position, _) in columns.items()}
    numbers = {}
    for name, (_, column) in columns.items():
        if name in NUMBER_FIELDS:
            numbers[name], texts[name] = read_numbers(  # type: ignore[assignment]
                texts[name], table.lines, column.name, faults, column.suffix == "pct"
            )
        else:
            texts[name] = ["" if text in BLANKS else text for text in texts[name]]
    rows = log_checks.Rows(
        kind=kind,
        lines=table.lines,
        columns={name: column for name, (_, column) in columns.items()},
        texts=texts,
        numbers=numbers,
        si=_in_si(numbers, columns, len(table.rows)),
        pass_of=_passes(texts.get("pass"), len(table.rows)),
    )
    flags = FlagList(list(table.flags))
    log_checks.check_rows(rows, rod_length, length_needed, faults, flags)
    reference = log_checks.heading_reference(rows, faults, flags)
    faults.raise_any()
    return LogFile(
        source=table.source, kind=kind, lines=table.lines, pass_of=rows.pass_of,
        typed={column.name: tuple(texts[name]) for name, (_, column) in columns.items()},
        si=rows.si, heading_ref=reference, flags=flags.in_order(), unused=unused,
    )  # fmt: skip


def _kind_of(
    columns: Mapping[str, tuple[int, Column]], faults: FaultList
) -> Literal["log", "survey"]:
    if "station" in columns:
        return "log"
    if "md" in columns and ("inclination" in columns or "pitch" in columns):
        return "survey"
    if "md" in columns or "inclination" in columns:
        missing = "inclination_deg" if "md" in columns else "md_m / md_ft"
        faults.add("column_missing_survey", line=1, column=missing)
    else:
        faults.add("column_missing", line=1, column="station")
    return "log"


def _in_si(
    numbers: Mapping[str, Array], columns: Mapping[str, tuple[int, Column]], count: int
) -> dict[str, Array]:
    """Every number field in base SI, unknown where the file has no such column."""
    si = {}
    for name in NUMBER_FIELDS:
        if name not in numbers:
            si[name] = np.full(count, math.nan)
            continue
        column = columns[name][1]
        si[name] = numbers[name]
        if column.field.type == "quantity":
            si[name] = to_si_array(numbers[name], column.field.dimension, column.suffix)
    if "station" not in numbers and "md" in numbers:
        si["station"] = np.arange(count, dtype=float)
    for values in si.values():
        values.setflags(write=False)
    return si


def _passes(names: list[str] | None, count: int) -> tuple[str, ...]:
    """Pass of each row; one spelling for names that differ only in case."""
    if names is None:
        return (PILOT,) * count
    spelling: dict[str, str] = {PILOT: PILOT}
    return tuple([spelling.setdefault((name or PILOT).lower(), name or PILOT) for name in names])
