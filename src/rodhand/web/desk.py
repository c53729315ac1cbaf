"""What the pages ask for: views of the book, and the few ways to write into it.

The pages know this shape only; `rodhand.web.book_desk` fills it from a book's folder, the page
of building blocks and the tests from made-up views.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from rodhand.book.views import BoreView, OfficeView, ThingView, WeekView, YardView


class FieldLike(Protocol):
    """One field of a kind of entry, as the record's table gives it."""

    @property
    def name(self) -> str: ...
    @property
    def type(self) -> str: ...
    @property
    def required(self) -> bool: ...
    @property
    def choices(self) -> tuple[str, ...]: ...
    def columns(self) -> dict[str, str]: ...


class KindLike(Protocol):
    """One kind of entry, as the record's table gives it."""

    @property
    def name(self) -> str: ...
    @property
    def fields(self) -> Sequence[FieldLike]: ...


@dataclass(frozen=True)
class EntryView:
    """One entry of the journal as it was typed.

    Parameters
    ----------
    id, kind, happened, entered, by : str
        As the journal holds them.
    typed : mapping of str to str
        Column name, with its unit, to the text as typed.
    struck_why : str
        Reason of the entry that struck it; empty while it stands.
    """

    id: str
    kind: str
    happened: str
    entered: str
    by: str
    typed: Mapping[str, str]
    struck_why: str = ""


class NotHereError(LookupError):
    """There is no such bore, thing, entry or kind in the book."""


class Desk(Protocol):
    """The book as the pages see it. Every method may raise `NotHereError`."""

    def week(self) -> WeekView: ...
    def office(self) -> OfficeView: ...
    def yard(self) -> YardView: ...
    def bore(self, name: str, at_pass: str | None, at: float | None) -> BoreView: ...
    def thing(self, name: str) -> ThingView: ...
    def entry(self, entry: str) -> EntryView: ...
    def kinds(self) -> Mapping[str, KindLike]: ...
    def enter(self, kind: str, payload: Mapping[str, str], happened: str, by: str) -> str: ...
    def strike(self, entry: str, why: str, by: str) -> None: ...
