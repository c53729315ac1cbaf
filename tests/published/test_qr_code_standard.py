"""ISO/IEC 18004: the worked example of its annex and its table of format bits (from memory)."""

from __future__ import annotations

import pytest

from rodhand.sheets.qr_code import correction, format_bits

EXAMPLE_DATA = "10 20 0C 56 61 80 EC 11 EC 11 EC 11 EC 11 EC 11"
EXAMPLE_CORRECTION = "A5 24 D4 C1 ED 36 C7 87 2C 55"
FORMATS = (
    "101010000010010", "101000100100101", "101111001111100", "101101101001011",
    "100010111111001", "100000011001110", "100111110010111", "100101010100000",
)  # fmt: skip


def test_the_worked_example_01234567_at_1_m() -> None:
    data = [int(word, 16) for word in EXAMPLE_DATA.split()]
    assert correction(data, 10) == [int(word, 16) for word in EXAMPLE_CORRECTION.split()]


@pytest.mark.parametrize("mask", range(8))
def test_format_bits_of_level_m(mask: int) -> None:
    assert f"{format_bits(mask):015b}" == FORMATS[mask]
