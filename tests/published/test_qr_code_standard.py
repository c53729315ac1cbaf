"""ISO/IEC 18004: the standard's table of format bits for level M (from memory)."""

from __future__ import annotations

import pytest

from rodhand.sheets.qr_code import qr_code

FORMATS = (
    "101010000010010", "101000100100101", "101111001111100", "101101101001011",
    "100010111111001", "100000011001110", "100111110010111", "100101010100000",
)  # fmt: skip
PLACES = [(8, j) for j in (0, 1, 2, 3, 4, 5, 7, 8)] + [(i, 8) for i in (7, 5, 4, 3, 2, 1, 0)]


@pytest.mark.parametrize("text", ["K7QM", "HTTP://192.0.2.7:8765/L/K7QM", "unterwegs", "A" * 154])
def test_format_bits_say_level_m(text: str) -> None:
    square = qr_code(text)
    assert "".join("1" if square[at] else "0" for at in PLACES) in FORMATS
