"""What the page, the paper and the command of a Monday with several books show."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.advice.verdict import Sentence
from rodhand.book.views import Figures, WeekLine


@dataclass(frozen=True)
class MondayFile:
    """One file given.

    state: read, part (all of it is in another file), empty or unread. last_typed: ISO day the
    newest entry was typed; last_happened: newest day of work in it; made: when a copy was made.
    figures: entries, entry_age (since the newest entry was typed), copy_age (a copy's).
    """

    name: str
    path: str
    form: str
    state: str
    last_typed: str
    last_happened: str
    made: str
    notes: tuple[Sentence, ...]
    figures: Figures


@dataclass(frozen=True)
class PullRow:
    """Rods of a rig with one standing that keeps them out of the string; link: its page's name."""

    standing: str
    things: tuple[str, ...]


@dataclass(frozen=True)
class RigSheet:
    """One rig as one book knows it.

    rig: its name, empty for what stands on no rig; file: name of the file; own: whether it is the
    book these pages belong to, whose links lead somewhere. lines: at most seven things to do,
    loudest first; rest: those beyond; due: looks due. figures: tasks, minutes (of all of them),
    pull, due (rods to pull, looks' minutes).
    """

    rig: str
    file: str
    own: bool
    invented: bool
    as_of: str
    lines: tuple[WeekLine, ...]
    rest: tuple[WeekLine, ...]
    due: tuple[WeekLine, ...]
    pull: tuple[PullRow, ...]
    notes: tuple[Sentence, ...]
    figures: Figures


@dataclass(frozen=True)
class StockRow:
    """Rods of one type over all rigs.

    figures: rods (on record), usable, aside (set aside), replace (scrap, scrapped or lost, with
    nobody's word that they were bought again), price (of one new rod, as entered), cost.
    """

    rod_type: str
    rigs: tuple[str, ...]
    figures: Figures


@dataclass(frozen=True)
class MondayView:
    """Monday for several crews.

    twice: rods and sets that two books both have. figures: rigs, files, unread, minutes.
    """

    as_of: str
    invented: bool
    files: tuple[MondayFile, ...]
    sheets: tuple[RigSheet, ...]
    twice: tuple[Sentence, ...]
    stock: tuple[StockRow, ...]
    head: str
    entries: int
    figures: Figures
