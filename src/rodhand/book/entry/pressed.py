"""What was entered by one press is taken back by one press."""

from __future__ import annotations

from pathlib import Path

from rodhand.book.entry.keeping import strike
from rodhand.book.opening import entries_in
from rodhand.faults import BadInputError, Fault
from rodhand.words import say

BY_ONE_PRESS = (
    "event", "reading", "makeup", "pass", "standing", "shift-check", "whereabouts", "pick",
    "station-shift", "redrill",
)  # fmt: skip


def take_back(folder: Path, entry: str, by: str = "") -> None:
    """Strike an entry pressed by mistake; it stays in the record, marked.

    Parameters
    ----------
    folder : Path
        The book's folder.
    entry : str
        Its id.
    by : str
        Who says it.

    Raises
    ------
    BadInputError
        If there is no such entry, or it was not made by one press.
    CannotReadError
        If the book cannot be read or written.
    """
    known = next((each for each in entries_in(folder) if each.id == entry), None)
    if known is None or known.kind not in BY_ONE_PRESS:
        raise BadInputError([Fault("press_unknown", entry, column="entry")], "press")
    strike(folder, entry, say("rig_day.pressed_by_mistake"), by)
