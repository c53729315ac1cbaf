"""Journals kept open, so that a press reads nothing again that was read before."""

from __future__ import annotations

import threading
from pathlib import Path

from rodhand.record.database import FILE_NAME
from rodhand.record.journal import Journal

KEEP_AT_MOST = 3
_OPEN: dict[tuple[Path, bool], Journal] = {}
_LOCK = threading.Lock()


def journal_of(folder: Path, write: bool = False) -> Journal:
    """A book's journal, kept open with what it has read.

    Parameters
    ----------
    folder : Path
        The book's folder.
    write : bool
        Whether entries will be added; a missing book is then made.

    Returns
    -------
    Journal
        Shared: it is not to be closed. It is opened anew when its file was replaced, or written
        to past the store, and reads anew what another program added.

    Raises
    ------
    CannotReadError
        As `rodhand.record.journal.Journal.open`.
    """
    file = folder.absolute() / FILE_NAME
    with _LOCK:
        writing, reading = _OPEN.get((file, True)), _OPEN.get((file, False))
        for known in (writing, reading):
            if known is not None and not known.is_as_left:
                _forget(file)
                writing = reading = None
        known = writing or (None if write else reading)
        if known is None:
            known = Journal.open(folder, write)
            if reading is not None:
                known.take_over(reading)
            _forget(file)
            while len(_OPEN) >= KEEP_AT_MOST:
                _OPEN.pop(next(iter(_OPEN)))
            _OPEN[file, write] = known
        return known


def _forget(file: Path) -> None:
    """Let go of a file's journals; whoever still uses one keeps it until he is done."""
    _OPEN.pop((file, True), None)
    _OPEN.pop((file, False), None)
