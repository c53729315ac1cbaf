"""API Spec 7-2 (2017) annex B table B.1 (READ for NC23 to NC61; the rest from memory).

Closure: the large and small pin diameters recomputed from the pitch diameter and the thread form
must give the printed ones, so a wrong digit in any of them shows.
"""

from __future__ import annotations

import pytest

from rodhand.book.work.tables import connections, data_rows
from rodhand.units import INCH

PRINTED_TO_A_THOUSANDTH = 0.0007
"""Diameters are printed to 0.001 in, half of that plus the flats' rounding."""
SI_ROUNDING = 0.0006
"""Table B.1 prints DL and DS to 0.01 mm (0.0004 in), C to 0.0001 mm."""
COUNTERBORE_ROUNDING = 0.0008
"""The SI counterbores lie up to 0.018 mm beside the inch fractions they come from; 0.0008 in of
counterbore moves the make-up torque of a box-weak NC38 by less than 0.1 %."""

SI_ROWS = {  # connection: C, DL, DS, Lpc, Qc in mm, as READ in table B.1
    "NC23": (59.817, 65.10, 52.40, 76.21, 66.68),
    "NC26": (67.7672, 73.05, 60.35, 76.21, 74.63),
    "NC31": (80.8482, 86.13, 71.32, 88.91, 87.71),
    "NC35": (89.6874, 94.97, 79.09, 95.26, 96.82),
    "NC38": (96.7232, 102.01, 85.06, 101.61, 103.58),
    "NC40": (103.4288, 108.71, 89.66, 114.31, 110.34),
    "NC44": (112.1918, 117.48, 98.42, 114.31, 119.08),
    "NC46": (117.5004, 122.78, 103.73, 114.31, 124.61),
    "NC50": (128.0592, 133.35, 114.30, 114.31, 134.95),
    "NC56": (142.6464, 149.25, 117.50, 127.01, 150.83),
    "NC61": (156.9212, 163.53, 128.60, 139.71, 165.10),
}


@pytest.mark.parametrize("row", data_rows("connections.csv"), ids=lambda row: row["connection"])
def test_pin_diameters_close(row: dict[str, str]) -> None:
    dimensions = connections()[row["connection"]].dimensions
    assert dimensions.large_diameter is not None
    assert dimensions.small_diameter is not None
    large, small = dimensions.large_diameter / INCH, dimensions.small_diameter / INCH
    assert large == pytest.approx(float(row["DL_in"]), abs=PRINTED_TO_A_THOUSANDTH)
    assert small == pytest.approx(float(row["DS_in"]), abs=PRINTED_TO_A_THOUSANDTH)
    assert dimensions.counterbore > dimensions.large_diameter  # the pin must enter its box


@pytest.mark.parametrize("name", SI_ROWS)
def test_dimensions_against_the_si_table(name: str) -> None:
    dimensions = connections()[name].dimensions
    pitch, large, small, pin_length, counterbore = (mm / 25.4 for mm in SI_ROWS[name])
    assert dimensions.pitch_diameter / INCH == pytest.approx(pitch, abs=1e-4)
    assert dimensions.large_diameter / INCH == pytest.approx(large, abs=SI_ROUNDING)
    assert dimensions.small_diameter / INCH == pytest.approx(small, abs=SI_ROUNDING)
    assert dimensions.pin_length / INCH == pytest.approx(pin_length, abs=1e-3)
    assert dimensions.counterbore / INCH == pytest.approx(counterbore, abs=COUNTERBORE_ROUNDING)


def test_trap_pitch_diameter_of_nc35() -> None:
    """A supplier's table prints 3.631 in: its diameters do not close; 3.531 in is right."""
    row = next(r for r in data_rows("connections.csv") if r["connection"] == "NC35")
    dimensions = connections()["NC35"].dimensions
    assert dimensions.pitch_diameter / INCH == pytest.approx(3.531)
    assert dimensions.large_diameter is not None
    wrong = dimensions.large_diameter / INCH + 0.1
    assert abs(wrong - float(row["DL_in"])) > 100 * PRINTED_TO_A_THOUSANDTH


def test_only_the_rows_of_table_b_1_are_marked_read() -> None:
    read = {name for name, c in connections().items() if c.provenance == "READ"}
    assert read == set(SI_ROWS)
