"""What a grid can be about: the bores, passes and rigs of a book."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from rodhand.book.grid.grid import PILOT
from rodhand.record.database import FILE_NAME
from rodhand.record.kept_open import journal_of
from rodhand.words import say


@dataclass(frozen=True)
class Subjects:
    """Bores, the last first, rigs, and passes that are there or usual."""

    bores: tuple[str, ...] = ()
    rigs: tuple[str, ...] = ()
    passes: tuple[str, ...] = ()


def subjects_of(folder: Path) -> Subjects:
    """Bores, rigs and passes of a book; none where the folder holds none yet.

    Raises
    ------
    CannotReadError
        If the book cannot be read.
    """
    passes = [PILOT, say("grid.pass_ream"), say("grid.pass_pullback")]
    if not (folder / FILE_NAME).exists():
        return Subjects(passes=tuple(passes))
    book = journal_of(folder).book()
    passes += [each.name for bore in book.bores.values() for each in bore.passes]
    bores = tuple(reversed(tuple(book.bores)))
    return Subjects(bores, tuple(book.rigs), tuple(dict.fromkeys(passes)))
