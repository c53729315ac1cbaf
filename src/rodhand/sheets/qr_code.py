"""QR codes, small ones: sizes 1 to 6, error correction M, as a square of dark modules."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray

Square = NDArray[np.bool_]
ALPHANUMERIC = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
BLOCKS = {1: (1, 16, 10), 2: (1, 28, 16), 3: (1, 44, 26), 4: (2, 32, 18), 5: (2, 43, 24),
          6: (4, 27, 16)}  # fmt: skip
"""Size -> blocks, data codewords and correction codewords of each, at M (ISO/IEC 18004, from
memory; tested with the standard's worked example and a decoder of its own)."""
PADS = (0xEC, 0x11)
FIELD = 0x11D
FORMAT_GENERATOR, FORMAT_MASK = 0x537, 0x5412
LEVEL_M = 0b00
FINDER = np.array([1, 0, 1, 1, 1, 0, 1, 0, 0, 0, 0], bool)
QUIET = 4
"""Light modules around the code."""


class TooLongError(ValueError):
    """A text that no code of size 6 holds."""


def qr_code(text: str) -> Square:
    """The QR code of a text.

    Parameters
    ----------
    text : str
        Capital letters, digits and ``$%*+-./:`` and blanks take least room; anything else is
        written as UTF-8.

    Returns
    -------
    (n, n) array of bool
        True is dark; without the quiet zone of four modules. Of the eight masks the one with the
        least penalty.

    Raises
    ------
    TooLongError
        If it does not fit size 6: 154 of those signs, or 106 bytes.

    Notes
    -----
    ISO/IEC 18004 (from memory).
    """
    size, data = _data_codewords(text)
    bits = [(word >> at) & 1 for word in _interleaved(size, data) for at in range(7, -1, -1)]
    fixed, reserved = _fixed(size)
    plain = _placed(fixed, reserved, bits)
    masked = [_with_mask(plain, reserved, mask) for mask in range(8)]
    return min(masked, key=_penalty)


def _data_codewords(text: str) -> tuple[int, list[int]]:
    """The smallest size that holds a text, and its data codewords."""
    alphanumeric = all(sign in ALPHANUMERIC for sign in text)
    raw = text.encode()
    bits: list[int] = []

    def put(value: int, width: int) -> None:
        bits.extend((value >> at) & 1 for at in range(width - 1, -1, -1))

    if alphanumeric:
        put(0b0010, 4)
        put(len(text), 9)
        for at in range(0, len(text) - 1, 2):
            put(45 * ALPHANUMERIC.index(text[at]) + ALPHANUMERIC.index(text[at + 1]), 11)
        if len(text) % 2:
            put(ALPHANUMERIC.index(text[-1]), 6)
    else:
        put(0b0100, 4)
        put(len(raw), 8)
        for byte in raw:
            put(byte, 8)
    for size, (blocks, words, _) in BLOCKS.items():
        room = 8 * blocks * words
        if len(bits) <= room:
            bits += [0] * min(4, room - len(bits))
            bits += [0] * (-len(bits) % 8)
            made = [int("".join(map(str, bits[at : at + 8])), 2) for at in range(0, len(bits), 8)]
            made += [PADS[number % 2] for number in range(blocks * words - len(made))]
            return size, made
    raise TooLongError(text[:60])


@cache
def _powers() -> tuple[tuple[int, ...], dict[int, int]]:
    """Powers of 2 in the field of 256, and their logarithms."""
    powers, value = [], 1
    for _ in range(255):
        powers.append(value)
        value = (value << 1) ^ (FIELD if value & 0x80 else 0)
    return tuple(powers), {power: at for at, power in enumerate(powers)}


def _times(a: int, b: int) -> int:
    powers, logs = _powers()
    return 0 if a == 0 or b == 0 else powers[(logs[a] + logs[b]) % 255]


def correction(data: Sequence[int], count: int) -> list[int]:
    """Reed-Solomon correction codewords of a block.

    Parameters
    ----------
    data : sequence of int
        Its data codewords.
    count : int
        How many correction codewords.
    """
    powers, _ = _powers()
    generator = [1]
    for at in range(count):
        shifted = [*generator, 0]
        for place, factor in enumerate(generator):
            shifted[place + 1] ^= _times(factor, powers[at])
        generator = shifted
    rest = [*data, *([0] * count)]
    for at in range(len(data)):
        factor = rest[at]
        for place, each in enumerate(generator):
            rest[at + place] ^= _times(each, factor)
    return rest[len(data) :]


def _interleaved(size: int, data: Sequence[int]) -> Iterator[int]:
    """Codewords in the order they are placed: of all blocks in turn, data before correction."""
    blocks, words, count = BLOCKS[size]
    parts = [data[at * words : (at + 1) * words] for at in range(blocks)]
    for column in zip(*parts, strict=True):
        yield from column
    for column in zip(*(correction(part, count) for part in parts), strict=True):
        yield from column


def _fixed(size: int) -> tuple[Square, Square]:
    """Finders, timing, alignment, and where they and the format bits stand."""
    n = 17 + 4 * size
    dark, reserved = np.zeros((n, n), bool), np.zeros((n, n), bool)
    reserved[:9, :9] = reserved[:9, -8:] = reserved[-8:, :9] = True
    ring = np.pad(np.pad(np.ones((3, 3), bool), 1), 1, constant_values=True)
    for row, column in ((0, 0), (0, n - 7), (n - 7, 0)):
        dark[row : row + 7, column : column + 7] = ring
    reserved[6, :] = reserved[:, 6] = True
    dark[6, 8:-8] = dark[8:-8, 6] = np.arange(n - 16) % 2 == 0
    if size > 1:
        at = n - 9
        reserved[at : at + 5, at : at + 5] = True
        dark[at : at + 5, at : at + 5] = np.pad(
            np.pad(np.ones((1, 1), bool), 1), 1, constant_values=True
        )
    dark[n - 8, 8] = True
    return dark, reserved


def _placed(fixed: Square, reserved: Square, bits: Sequence[int]) -> Square:
    """The bits in their zigzag, right to left in pairs of columns; what is over stays light."""
    made, n = fixed.copy(), len(fixed)
    rest = iter(bits)
    up = True
    for right in [*range(n - 1, 6, -2), 5, 3, 1]:
        for row in range(n - 1, -1, -1) if up else range(n):
            for column in (right, right - 1):
                if not reserved[row, column]:
                    made[row, column] = bool(next(rest, 0))
        up = not up
    return made


def _with_mask(plain: Square, reserved: Square, mask: int) -> Square:
    """A code with one of the eight masks and its format bits."""
    n = len(plain)
    i, j = np.indices((n, n))
    flips = (
        (i + j) % 2, i % 2, j % 3, (i + j) % 3, (i // 2 + j // 3) % 2, i * j % 2 + i * j % 3,
        (i * j % 2 + i * j % 3) % 2, ((i + j) % 2 + i * j % 3) % 2,
    )[mask] == 0  # fmt: skip
    made: Square = plain ^ (flips & ~reserved)
    bits = [bool(format_bits(mask) >> at & 1) for at in range(15)]
    around = [(row, 8) for row in (0, 1, 2, 3, 4, 5, 7, 8)]
    around += [(8, column) for column in (7, 5, 4, 3, 2, 1, 0)]
    apart = [(8, n - 1 - at) for at in range(8)] + [(n - 7 + at, 8) for at in range(7)]
    for places in (around, apart):
        for place, bit in zip(places, bits, strict=True):
            made[place] = bit
    return made


def format_bits(mask: int) -> int:
    """The 15 format bits of level M and a mask."""
    data = LEVEL_M << 3 | mask
    rest = data << 10
    for at in range(14, 9, -1):
        if rest >> at & 1:
            rest ^= FORMAT_GENERATOR << (at - 10)
    return (data << 10 | rest) ^ FORMAT_MASK


def _penalty(square: Square) -> int:
    """How hard a code is to read: runs, blocks, false finders, uneven darkness."""
    total = 0
    for lines in (square, square.T):
        # A run of 5 or more counts its length less 2: so many windows of 5, and 2 for its start.
        windows = np.lib.stride_tricks.sliding_window_view(lines, 5, axis=1)
        even = (windows == windows[..., :1]).all(axis=2)
        starts = even.copy()
        starts[:, 1:] &= lines[:, 1 : even.shape[1]] != lines[:, : even.shape[1] - 1]
        total += int(even.sum()) + 2 * int(starts.sum())
        windows = np.lib.stride_tricks.sliding_window_view(lines, len(FINDER), axis=1)
        for finder in (FINDER, FINDER[::-1]):
            total += 40 * int((windows == finder).all(axis=2).sum())
    same = (square[:-1, :-1] == square[1:, :-1]) & (square[:-1, :-1] == square[:-1, 1:])
    total += 3 * int((same & (square[:-1, :-1] == square[1:, 1:])).sum())
    return total + 10 * int(abs(float(square.mean()) - 0.5) * 20.0)


def qr_svg(square: Square) -> str:
    """A code with its quiet zone as SVG, one unit a module, drawn to be scaled."""
    side = len(square) + 2 * QUIET
    modules = "".join(
        f"M{start + QUIET} {row + QUIET}h{end - start}v1h{start - end}z"
        for row, line in enumerate(square)
        for start, end in _runs(line)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}" '
        f'width="{side}" height="{side}" shape-rendering="crispEdges">'
        f'<rect width="{side}" height="{side}" fill="#fff"/>'
        f'<path d="{modules}" fill="#000"/></svg>'
    )


def _runs(line: Square) -> list[tuple[int, int]]:
    """Where the dark runs of a line start and end."""
    edges = np.flatnonzero(np.diff(np.pad(line.astype(np.int8), 1))).tolist()
    return list(zip(edges[::2], edges[1::2], strict=True))
