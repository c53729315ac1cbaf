"""QR codes read back by a decoder of the test's own, module by module."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.sheets.qr_code import ALPHANUMERIC, Square, TooLongError, qr_code

BLOCKS = {21: (1, 16, 10), 25: (1, 28, 16), 29: (1, 44, 26), 33: (2, 32, 18), 37: (2, 43, 24),
          41: (4, 27, 16)}  # fmt: skip
MASKS = {
    0: lambda i, j: (i + j) % 2 == 0,
    1: lambda i, j: i % 2 == 0,
    2: lambda i, j: j % 3 == 0,
    3: lambda i, j: (i + j) % 3 == 0,
    4: lambda i, j: (i // 2 + j // 3) % 2 == 0,
    5: lambda i, j: (i * j) % 2 + (i * j) % 3 == 0,
    6: lambda i, j: ((i * j) % 2 + (i * j) % 3) % 2 == 0,
    7: lambda i, j: ((i + j) % 2 + (i * j) % 3) % 2 == 0,
}


def is_fixed(n: int, i: int, j: int) -> bool:
    finder = (i < 9 and (j < 9 or j >= n - 8)) or (i >= n - 8 and j < 9)
    aligned = n > 21 and n - 9 <= i <= n - 5 and n - 9 <= j <= n - 5
    return finder or aligned or i == 6 or j == 6


def multiplied(a: int, b: int) -> int:
    """Russian peasants in the field of 256."""
    made = 0
    while b:
        made ^= a if b & 1 else 0
        a, b = (a << 1) ^ (0x11D if a & 0x80 else 0), b >> 1
    return made


def read(square: Square) -> str:
    """Decode a clean code; every block's syndromes must be nought."""
    n = len(square)
    mask_bits = [square[8, 2], square[8, 3], square[8, 4]]
    mask = int("".join("1" if b else "0" for b in mask_bits), 2) ^ 0b101
    bits, column, up = [], n - 1, True
    while column > 0:
        if column == 6:
            column -= 1
        for i in range(n - 1, -1, -1) if up else range(n):
            for j in (column, column - 1):
                if not is_fixed(n, i, j):
                    bits.append(int(square[i, j]) ^ int(MASKS[mask](i, j)))
        column, up = column - 2, not up
    blocks, words, count = BLOCKS[n]
    codewords = [int("".join(map(str, bits[k : k + 8])), 2) for k in range(0, len(bits) - 7, 8)]
    data: list[int] = []
    for block in range(blocks):
        mine = codewords[block : blocks * words : blocks]
        check = codewords[blocks * words + block : blocks * (words + count) : blocks]
        root = 1
        for _ in range(count):
            value = 0
            for word in [*mine, *check]:
                value = multiplied(value, root) ^ word
            assert value == 0
            root = multiplied(root, 2)
        data += mine
    stream = "".join(f"{word:08b}" for word in data)
    if stream[:4] == "0100":
        length = int(stream[4:12], 2)
        raw = bytes(int(stream[12 + 8 * k : 20 + 8 * k], 2) for k in range(length))
        return raw.decode()
    assert stream[:4] == "0010"
    length, at, text = int(stream[4:13], 2), 13, ""
    while len(text) < length - 1:
        pair, at = int(stream[at : at + 11], 2), at + 11
        text += ALPHANUMERIC[pair // 45] + ALPHANUMERIC[pair % 45]
    return text if len(text) == length else text + ALPHANUMERIC[int(stream[at : at + 6], 2)]


@pytest.mark.parametrize("length", [1, 16, 20, 21, 38, 39, 61, 62, 90, 91, 122, 123, 154])
def test_every_size_reads_back(length: int) -> None:
    text = ("HTTP://192.168.178.23:8765/L/K7QM" * 5)[:length]
    assert read(qr_code(text)) == text


@given(st.text(min_size=1, max_size=26))
def test_any_text_reads_back(text: str) -> None:
    assert read(qr_code(text)) == text


def test_the_finders_and_the_dark_module_stand() -> None:
    square = qr_code("K7QM")
    finder = np.array([[max(abs(i - 3), abs(j - 3)) != 2 for j in range(7)] for i in range(7)])
    assert (square[:7, :7] == finder).all()
    assert (square[:7, -7:] == finder).all()
    assert (square[-7:, :7] == finder).all()
    assert square[-8, 8]
    assert square[6, 8:-8].tolist() == [True, False, True, False, True]


def test_a_text_that_does_not_fit_is_refused() -> None:
    with pytest.raises(TooLongError):
        qr_code("A" * 155)
    with pytest.raises(TooLongError):
        qr_code("a" * 107)
