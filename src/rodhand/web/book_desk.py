"""The desk of a real book: every view worked out from its journal as it is now."""

from __future__ import annotations

import tempfile
import threading
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar, cast

from rodhand.book.bore.bore_page import NoSuchBoreError, bore_view
from rodhand.book.bore.office import office_view
from rodhand.book.entry.entry_page import (
    EntryView,
    Kind,
    NoSuchEntryError,
    enter_one,
    entry_view,
    kinds,
)
from rodhand.book.entry.keeping import strike
from rodhand.book.first_page import first_page
from rodhand.book.opening import open_assessment
from rodhand.book.tasks.week import this_week
from rodhand.book.views import BoreView, OfficeView, ThingView, WeekView, YardView
from rodhand.book.work.assess import Assessment
from rodhand.book.yard.thing_page import NoSuchThingError, thing_view
from rodhand.book.yard.yard import yard_view
from rodhand.sheets.importing import import_workbook
from rodhand.sheets.workbook_out import export_or_blank
from rodhand.units import System
from rodhand.web.desk import NotHereError
from rodhand.words import language_in_force

View = TypeVar("View")
DAYS_KEPT = 4


class BookDesk:
    """A book's folder, asked again with every page; worked through once per journal head.

    Parameters
    ----------
    folder : Path
        The book's folder.
    as_of : str
        ISO day the book is shown as of; empty for all of it.
    """

    def __init__(self, folder: Path, as_of: str = "") -> None:
        self.folder = folder
        self.as_of = as_of
        # Two pages asked for at once must not work the same book through twice.
        self._lock = threading.Lock()
        self._places: dict[tuple[str, str], tuple[Assessment, Any]] = {}
        self._days: dict[str, BookDesk] = {}

    def at(self, as_of: str) -> BookDesk:
        """The same book as of an ISO day; the last few days asked for are kept."""
        if as_of not in self._days:
            if len(self._days) >= DAYS_KEPT:
                self._days.pop(next(iter(self._days)))
            self._days[as_of] = BookDesk(self.folder, as_of)
            self._days[as_of]._lock = self._lock
        return self._days[as_of]

    def _place(self, name: str, view_of: Callable[[Assessment], View]) -> View:
        """A place's view, made once a language while the book stays as it is."""
        language = language_in_force()
        with self._lock:
            assessment = open_assessment(self.folder, self.as_of)
            made_from, view = self._places.get((name, language), (None, None))
            if made_from is not assessment:
                view = view_of(assessment)
                self._places[name, language] = assessment, view
            return cast("View", view)

    def week(self) -> WeekView:
        """This week."""
        view = self._place("week", this_week)
        return first_page(view, self.folder, open_assessment(self.folder, self.as_of))

    def office(self) -> OfficeView:
        """Bores and sets."""
        return self._place("office", office_view)

    def yard(self) -> YardView:
        """Rods as they lie."""
        return self._place("yard", yard_view)

    def bore(self, name: str, at_pass: str | None, at: float | None) -> BoreView:
        """One bore at one moment. Raises NotHereError if there is no such bore or pass."""
        try:
            with self._lock:
                return bore_view(open_assessment(self.folder, self.as_of), name, at_pass, at)
        except NoSuchBoreError as error:
            raise NotHereError(str(error)) from error

    def thing(self, name: str) -> ThingView:
        """One thing. Raises NotHereError if there is no such thing."""
        try:
            with self._lock:
                return thing_view(open_assessment(self.folder, self.as_of), name)
        except NoSuchThingError as error:
            raise NotHereError(name) from error

    def entry(self, entry: str) -> EntryView:
        """One entry as typed. Raises NotHereError if there is no such entry."""
        try:
            return entry_view(self.folder, entry)
        except NoSuchEntryError as error:
            raise NotHereError(entry) from error

    def kinds(self) -> Mapping[str, Kind]:
        """Kinds of entry by name."""
        return kinds()

    def enter(self, kind: str, payload: Mapping[str, str], happened: str, by: str) -> str:
        """Take an entry in and give its id; it is on disk then."""
        return enter_one(self.folder, kind, payload, happened, by)

    def strike(self, entry: str, why: str, by: str) -> None:
        """Strike an entry; it stays, marked."""
        strike(self.folder, entry, why, by)

    def workbook(self, system: System) -> bytes:
        """The book as a workbook to work on."""
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "book.xlsx"
            export_or_blank(self.folder, path, system, self.as_of)
            return path.read_bytes()

    def take_workbook(self, data: bytes, name: str) -> int:
        """Take a filled-in workbook into the book, all of it or nothing; how many entries."""
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / (Path(name).name or "workbook.xlsx")
            path.write_bytes(data)
            return len(import_workbook(self.folder, path).entered.entries)
