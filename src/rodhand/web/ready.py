"""A server made ready before its first request: the book read, the program at its quickest."""

from __future__ import annotations

import gc
import sys
from contextlib import suppress
from pathlib import Path

from rodhand.book.opening import open_to_write
from rodhand.faults import CannotReadError

FROM_ONE_TO_ANOTHER = 0.001
"""How long one thread works on while another waits; Python's own 5 ms add up in a press. [s]"""
LOOKED_THROUGH_EVERY = 20_000
"""New objects until unused ones are looked for. Python's own 700 look through a large book's
lists several times in one press."""


def make_ready(folder: Path) -> None:
    """Read a book that is to be served, open it for writing, and set the program for answering.

    Parameters
    ----------
    folder : Path
        The book's folder; where there is no book none is made.

    Notes
    -----
    What stands in memory now is not looked through for unused objects again.
    """
    # No book yet, or one on a disk that takes no writing, is told where it is asked for.
    with suppress(CannotReadError):
        open_to_write(folder)
    sys.setswitchinterval(FROM_ONE_TO_ANOTHER)
    gc.collect()
    gc.freeze()
    gc.set_threshold(LOOKED_THROUGH_EVERY)
