"""Collect faults with their place while a file is read, and raise them together."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from rodhand.faults import BadInputError, Fault

PLACED_AT_MOST = 10_000
"""Faults of one column kept one by one; the rest are told by number, so that a file in which
everything is wrong cannot fill the memory."""


@dataclass
class FaultList:
    """Faults found so far in one file.

    Parameters
    ----------
    source : str
        Name of the file.
    """

    source: str
    faults: list[Fault] = field(default_factory=list)
    beyond: int = 0
    placed: Counter[str | None] = field(default_factory=Counter)

    def add(
        self, code: str, found: str = "", line: int | None = None, column: str | None = None,
        **values: str,
    ) -> None:  # fmt: skip
        """Note one fault; beyond `PLACED_AT_MOST` in its column it is only counted."""
        if self.placed[column] >= PLACED_AT_MOST:
            self.beyond += 1
        else:
            self.placed[column] += 1
            self.faults.append(Fault(code, found, line, column, values))

    def in_order(self) -> tuple[Fault, ...]:
        """The faults of the whole file first, then by line."""
        ordered = sorted(self.faults, key=lambda fault: fault.line or 0)
        if self.beyond:
            ordered.append(Fault("faults_beyond_count", found=f"{self.beyond:,}"))
        return tuple(ordered)

    def raise_any(self) -> None:
        """Raise what was found.

        Raises
        ------
        BadInputError
            With every fault, if there is one.
        """
        if self.faults:
            raise BadInputError(self.in_order(), self.source)
