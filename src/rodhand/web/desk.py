"""What the pages ask for: views of the book, and the few ways to write into it.

The pages know this shape only; `rodhand.web.book_desk` fills it from a book's folder, the page
of building blocks and the tests from made-up views.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Protocol, cast

from rodhand.book.entry.entry_page import EntryView, Kind
from rodhand.book.views import BoreView, OfficeView, ThingView, WeekView, YardView
from rodhand.units import System


class NotHereError(LookupError):
    """There is no such bore, thing, entry or kind in the book."""


def folder_of(desk: object) -> Path | None:
    """The folder of a desk's book; None for a desk without one."""
    folder = getattr(desk, "folder", None)
    return folder if isinstance(folder, Path) else None


class FolderDesk(Protocol):
    """A desk that knows where its book is, and as of which day it is shown."""

    folder: Path
    as_of: str


def folder_desk(desk: object) -> FolderDesk | None:
    """A desk of a real book; None for one without a folder."""
    return None if folder_of(desk) is None else cast("FolderDesk", desk)


class Desk(Protocol):
    """The book as the pages see it."""

    def at(self, as_of: str) -> Desk:
        """The same book as of an ISO day, to be looked at."""
        ...

    def week(self) -> WeekView:
        """This week."""
        ...

    def office(self) -> OfficeView:
        """Bores and sets."""
        ...

    def yard(self) -> YardView:
        """Rods as they lie."""
        ...

    def bore(self, name: str, at_pass: str | None, at: float | None) -> BoreView:
        """One bore at one moment [m]. Raises NotHereError if there is no such bore or pass."""
        ...

    def thing(self, name: str) -> ThingView:
        """One thing, by mark or key. Raises NotHereError if there is no such thing."""
        ...

    def entry(self, entry: str) -> EntryView:
        """One entry as typed. Raises NotHereError if there is no such entry."""
        ...

    def kinds(self) -> Mapping[str, Kind]:
        """Kinds of entry by name."""
        ...

    def enter(self, kind: str, payload: Mapping[str, str], happened: str, by: str) -> str:
        """Take an entry in and give its id. Raises BadInputError with every fault."""
        ...

    def strike(self, entry: str, why: str, by: str) -> None:
        """Strike an entry. Raises BadInputError if there is no such entry."""
        ...

    def workbook(self, system: System) -> bytes:
        """The book as a workbook to work on."""
        ...

    def take_workbook(self, data: bytes, name: str) -> int:
        """Take a filled-in workbook into the book, all of it or nothing; how many entries."""
        ...
