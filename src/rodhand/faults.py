"""Faults in what a person gave us: collected, placed, and told all at once.

A fault carries a code and values, not sentences; the words live in the catalogue
(`words/en/faults.toml`: for each code what was needed and what to do next), so every page,
paper and command tells the same fault in the same way.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

SHOWN_AT_MOST = 50
"""How many faults are told one by one; the rest are counted."""


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong with an input.

    Parameters
    ----------
    code : str
        Key of the fault in the catalogue.
    found : str
        What stood there, as typed.
    line : int, optional
        Line (row) in the file, counted from 1 with the heading as line 1.
    column : str, optional
        Heading of the column, or the key or option.
    values : mapping, optional
        Further values the catalogue's sentences name.
    """

    code: str
    found: str = ""
    line: int | None = None
    column: str | None = None
    values: dict[str, str] = field(default_factory=dict)


class BadInputError(Exception):
    """Input that cannot be used; carries every fault found, never only the first.

    Parameters
    ----------
    faults : iterable of Fault
        At least one fault.
    source : str, optional
        Name of the file, form or command the faults were found in.
    """

    def __init__(self, faults: Iterable[Fault], source: str = "") -> None:
        self.faults = tuple(faults)
        self.source = source
        if not self.faults:
            raise ValueError("BadInputError needs at least one fault")
        super().__init__(f"{len(self.faults)} faults in {source or 'input'}: {self.faults[0]}")


class CannotReadError(Exception):
    """A file, folder or book that cannot be read or written (exit code 3).

    Parameters
    ----------
    path : str
        What could not be read or written.
    reason : str
        The reason as the system gave it.
    """

    def __init__(self, path: str, reason: str) -> None:
        self.path = path
        self.reason = reason
        super().__init__(f"{path}: {reason}")


class DamagedError(CannotReadError):
    """A book's file, or a copy of one, that does not hold what was written into it.

    Parameters
    ----------
    path : str
        The file.
    reason : str
        What shows it.
    """
