"""Build the book of the invented season, with a bore under way at its end."""

from __future__ import annotations

from pathlib import Path

from rodhand.demo.season import write_season
from rodhand.demo.under_way import under_way
from rodhand.faults import BadInputError, Fault
from rodhand.record.database import FILE_NAME
from rodhand.record.journal import Journal


def build_demo_book(folder: Path, seed: int) -> int:
    """Write the invented season into a folder; a season that is already there stays.

    Parameters
    ----------
    folder : Path
        Folder of the demo book; made when missing.
    seed : int
        Which season.

    Returns
    -------
    int
        Entries written; 0 when they were there.

    Raises
    ------
    BadInputError
        If the folder holds a book that is not this season.
    CannotReadError
        If it cannot be written.
    """
    is_new = not (folder / FILE_NAME).exists()
    with Journal.open(folder) as journal:
        if not is_new and journal.entries():
            rigs = [e for e in journal.entries() if e.kind == "rig"]
            if not any(str(e.payload.get("note", "")).casefold() == "invented" for e in rigs):
                raise BadInputError([Fault("demo_other_book", str(folder))], str(folder))
            return 0
        return write_season(journal, seed, further=under_way())
