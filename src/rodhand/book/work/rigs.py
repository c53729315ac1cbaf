"""The rigs of a book by name."""

from __future__ import annotations

from pathlib import Path

from rodhand.book.opening import book_in


def rig_names(folder: Path) -> tuple[str, ...]:
    """Names of a book's rigs, in the order they were entered.

    Raises
    ------
    CannotReadError
        If the book cannot be read.
    """
    return tuple(book_in(folder).rigs)
