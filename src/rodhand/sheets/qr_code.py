"""QR codes of labels, small ones: sizes 1 to 6, error correction M, as a square of dark modules."""

from __future__ import annotations

import numpy as np
import segno
from numpy.typing import NDArray

Square = NDArray[np.bool_]
ALPHANUMERIC = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
LARGEST = 6
"""A larger code on a label has modules too small for a dirty rod (this project's choice)."""
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
        True is dark; without the quiet zone of four modules.

    Raises
    ------
    TooLongError
        If it does not fit size 6: 154 of those signs, or 106 bytes.
    """
    mode = "alphanumeric" if all(sign in ALPHANUMERIC for sign in text) else "byte"
    try:
        made = segno.make(
            text, error="m", boost_error=False, micro=False, mode=mode,
            encoding="utf-8" if mode == "byte" else None,
        )  # fmt: skip
    except segno.DataOverflowError as error:
        raise TooLongError(text) from error
    if int(made.version) > LARGEST:
        raise TooLongError(text)
    return np.array([list(row) for row in made.matrix], dtype=bool)


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
