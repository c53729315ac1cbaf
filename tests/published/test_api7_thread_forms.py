"""API Spec 7, 38th ed. (1994) p. 30, thread forms, as reprinted in a tooling chart (READ).

V-055 and V-065 from memory; the height of V-065 is cross-checked against the compensated height
of API 7-2 addendum 1 table F.16 (READ).
"""

from __future__ import annotations

import math

import pytest

from rodhand.book.work.tables import data_rows, thread_forms
from rodhand.steel.thread import flat_truncation, round_root_truncation
from rodhand.units import INCH

SIX_DECIMALS = 1.1e-6
"""Printed to 0.000001 in, each from values rounded once more."""

ROWS = data_rows("thread_forms.csv")


def form_of(row: dict[str, str]):
    return thread_forms()[row["form"], float(row["taper_in_per_ft"]), float(row["tpi"])]


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['form']}-{r['taper_in_per_ft']}")
def test_heights(row: dict[str, str]) -> None:
    form = form_of(row)
    assert form.sharp_height / INCH == pytest.approx(float(row["H_in"]), abs=SIX_DECIMALS)
    assert form.thread_height / INCH == pytest.approx(float(row["h_in"]), abs=2 * SIX_DECIMALS)


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['form']}-{r['taper_in_per_ft']}")
def test_truncations(row: dict[str, str]) -> None:
    form = form_of(row)
    crest = flat_truncation(float(row["crest_flat_in"]), form.lead / INCH, form.sharp_height / INCH)
    assert crest == pytest.approx(float(row["fcs_crest_trunc_in"]), abs=SIX_DECIMALS)
    if row["root_radius_in"]:
        root = round_root_truncation(float(row["root_radius_in"]), form.half_angle)
    else:
        flat = float(row["root_flat_in"])
        root = flat_truncation(flat, form.lead / INCH, form.sharp_height / INCH)
    assert root == pytest.approx(float(row["Srs_root_trunc_in"]), abs=2 * SIX_DECIMALS)


def test_drawing_of_v_038r() -> None:
    """Connection drawing sheets (READ): h .1218, addendum .0518, dedendum .0700."""
    form = thread_forms()["V-038R", 2.0, 4.0]
    assert form.addendum is not None
    assert form.addendum / INCH == pytest.approx(0.0518, abs=5e-5)
    assert form.dedendum / INCH == pytest.approx(0.0700, abs=5e-5)


def test_v_065_square_to_its_cone() -> None:
    """API 7-2 addendum 1 table F.16 (READ): .1111 +-.002 in normal to the cone."""
    form = thread_forms()["V-065", 2.0, 4.0]
    assert form.thread_height is not None
    square = form.thread_height * math.cos(math.atan(form.taper / 2.0)) / INCH
    assert square == pytest.approx(0.1111, abs=5e-5)
