"""Where a fact of the book came from, when it was, and what in it cannot be used."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Moment:
    """When something was: a span of days or minutes, as sure as it was typed.

    Parameters
    ----------
    start, end : str
        ISO date-times (local to ``zone``) between which it was; equal when known to the minute.
        Empty when unknown.
    precision : {"minute", "day", "week", "between", "unknown"}
        How surely it is known.
    zone : str
        Time zone name or offset as typed; empty when not said.
    """

    start: str
    end: str
    precision: str
    zone: str = ""


@dataclass(frozen=True)
class Origin:
    """Where a fact came from: its entry, when it happened, and by whose key.

    ``happened`` is local to where it was, less the measured error of the device's clock; the
    entry keeps it as typed. ``at`` is the text facts are put in order by: the start of
    ``happened`` in UTC; empty when unknown. Compare ``at``, print ``happened``.
    """

    entry: str
    happened: Moment
    by: str
    device: str
    counter: int
    at: str = ""


@dataclass(frozen=True)
class Problem:
    """Something an entry says that the book cannot use, or not surely.

    Parameters
    ----------
    code : str
        Key of the fault in the words catalogue (``fault.<code>``).
    entry : str
        Id of the entry.
    kind : str
        Kind of the entry.
    column : str
        Column it stands in; empty for the whole entry.
    found : str
        What stood there, as typed.
    values : tuple of (str, str)
        What the catalogue's sentences name.
    """

    code: str
    entry: str
    kind: str
    column: str = ""
    found: str = ""
    values: tuple[tuple[str, str], ...] = ()

    @property
    def refused(self) -> bool:
        """Whether such an entry is refused when it is typed, and kept only from elsewhere."""
        return self.code not in KEPT_WITH_PROBLEM


KEPT_WITH_PROBLEM = frozenset({"rod_unknown", "head_unknown"})
"""Codes of problems with which an entry still makes sense, so that it is taken."""
