"""The bores while they are being read back."""

from __future__ import annotations

from dataclasses import dataclass, field

from rodhand.record.book_bores import Bore, Load
from rodhand.record.order import SortKey
from rodhand.record.origin import Problem
from rodhand.record.passes import RowsOf


@dataclass
class Ground:
    """Bores by name, when each was drilled, rows of each, loads, and what could not be used."""

    bores: dict[str, Bore] = field(default_factory=dict)
    order: dict[str, SortKey] = field(default_factory=dict)
    rows: dict[str, RowsOf] = field(default_factory=dict)
    loads: tuple[Load, ...] = ()
    problems: list[Problem] = field(default_factory=list)

    def drilled(self) -> list[str]:
        """Names of the bores in the order they were drilled."""
        return sorted(self.bores, key=lambda name: self.order[name])
