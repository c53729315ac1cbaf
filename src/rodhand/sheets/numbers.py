"""Read a column of texts as numbers, placing a fault at every cell that is none."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from rodhand.sheets.fault_list import FaultList
from rodhand.units import SUFFIXES

BLANKS = frozenset(("", "?", "-", "–", "—"))
"""Ways of writing that nobody read a value."""

DECIMAL_COMMA = re.compile(r"[+\-−]?\d*,\d+")
_NOT_FINITE = re.compile(r"[+\-−]?(nan|inf|infinity|∞|\d[\d.]*e\+?\d+)", re.IGNORECASE)


def read_numbers(
    texts: Sequence[str], lines: Sequence[int], column: str, faults: FaultList,
    percent_sign: bool = False,
) -> tuple[NDArray[np.float64], tuple[str, ...]]:  # fmt: skip
    """Numbers of one column.

    Parameters
    ----------
    texts : sequence of str
        Cells as typed.
    lines : sequence of int
        Line of each cell.
    column : str
        Heading, for the faults.
    faults : FaultList
        Takes a fault for every cell that is no finite number.
    percent_sign : bool, optional
        Whether a percent sign behind the number is right in this column.

    Returns
    -------
    numpy.ndarray
        The numbers; NaN where nobody read one, or where there is a fault.
    tuple of str
        The cells, each number in the digits it was typed with and no sign but a plain minus;
        blank where nobody read one.
    """
    values: list[float] = []
    kept: list[str] = []
    read: dict[str, tuple[float, str, str]] = {}  # cells repeat by the thousand
    for text, line in zip(texts, lines, strict=True):
        if text not in read:
            read[text] = _read(text, percent_sign)
        value, plain, code = read[text]
        if code:
            faults.add(code, text, line, column)
        values.append(value)
        kept.append(plain)
    return np.array(values, dtype=np.float64), tuple(kept)


def _read(text: str, percent_sign: bool) -> tuple[float, str, str]:
    """Number, its digits, and the code of its fault; empty where there is none."""
    if text in BLANKS:
        return math.nan, "", ""
    plain = text.replace("−", "-").replace("\u00a0", "").strip()
    if percent_sign:
        plain = plain.removesuffix("%").rstrip()
    try:
        value = float(plain)
    except ValueError:
        value = math.nan
    if math.isfinite(value) and "_" not in plain:  # Python reads 1_0 as ten
        return value, plain, ""
    if _NOT_FINITE.fullmatch(plain):
        return math.nan, plain, "not_finite"
    return math.nan, plain, "decimal_comma" if DECIMAL_COMMA.fullmatch(plain) else "not_a_number"


def to_si_array(values: NDArray[np.float64], dimension: str, suffix: str) -> NDArray[np.float64]:
    """`rodhand.units.to_si` for a whole column; NaN stays NaN.

    Parameters
    ----------
    values : numpy.ndarray
        Numbers as typed. [suffix]
    dimension, suffix : str
        A dimension and one of its suffixes in `rodhand.units.SUFFIXES`.

    Returns
    -------
    numpy.ndarray
        Base SI values. [SI]
    """
    if dimension == "slope" and suffix == "pct":
        return np.arctan(values / 100.0)
    return values * SUFFIXES[dimension][suffix]
