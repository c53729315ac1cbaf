"""Single published rows of joints (READ), one source each."""

from __future__ import annotations

import pytest
from joint_rows import Row, rows

EXACT = 0.0001
"""Printed to 1 lb or 1 ft-lb."""
ROUNDED = 0.0015
"""34,700 ft-lb is rounded to 100; 17.33 kN m to 0.01."""
OLDER_FIGURE = 0.014
"""21,149 ft-lb is not 60 % of its own yield, 34,780 ft-lb; the errata of May 2000 (READ) replaced
most make-up values of the table, so it is probably a figure from before."""


def one(source: str, quantity: str) -> Row:
    found = [row for row in rows(source) if row.quantity.startswith(quantity)]
    assert len(found) == 1
    return found[0]


def test_heavy_weight_5_inch_row() -> None:
    """Public data file of API pipe tables, heading cites RP 7G."""
    assert abs(one("public data file", "tensile").nearest_error()) < EXACT
    assert abs(one("public data file", "makeup").nearest_error()) < ROUNDED


def test_full_hole_row() -> None:
    """A web page on drill pipe, table 1, cites RP 7G 1998; connection inferred from tension."""
    assert abs(one("web page on drill pipe", "tensile").nearest_error()) < EXACT
    row = one("web page on drill pipe", "makeup")
    assert abs(row.nearest_error()) < OLDER_FIGURE
    assert row.published != pytest.approx(0.6 * 34_780, rel=0.01)  # the misfit is the source's


def test_compound_makers_example_belongs_to_another_od() -> None:
    """21,914 ft-lb, printed for 5-1/2 x 3-1/4 NC50: belongs to OD 6-3/32 (OD inferred)."""
    row = one("a compound maker's", "makeup")
    assert abs(row.nearest_error()) < EXACT
    as_printed = Row(**{**row.__dict__, "od": 5.5})
    assert abs(as_printed.nearest_error()) > 0.3


def test_finite_element_papers_make_up() -> None:
    """Chen et al. 2015: NC35 120.65 x 50.8 mm made up to 17.33 kN m."""
    assert abs(one("Chen", "makeup").nearest_error()) < ROUNDED
