"""Rules as data: what is looked at, how often, what a limit is and where it comes from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

DAYS_IN = {"days": 1.0, "weeks": 7.0, "months": 30.4, "shifts": 1.0}


@dataclass(frozen=True)
class Rule:
    """One rule of the rule table.

    Parameters
    ----------
    key, part : str
        What is looked at and on which part.
    every, every_unit : float, str
        How often: weeks, months, rotating_hours, makeups, or an occasion.
    limit, limit_unit : float or None, str
        The number, and in words what it counts.
    minutes : float
        How long one look takes. [min]
    standing : str
        Standing asked for when the look finds fault.
    source, standing_of_number : str
        Where it comes from, and how sure: READ, MEMORY, PRACTICE or OURS.
    """

    key: str
    part: str
    every: float
    every_unit: str
    limit: float | None
    limit_unit: str
    minutes: float
    standing: str
    source: str
    standing_of_number: str

    @property
    def due_after_days(self) -> float | None:
        """Days between two looks; None where the rule does not go by the calendar. [d]"""
        per = DAYS_IN.get(self.every_unit)
        return None if per is None else self.every * per


@dataclass(frozen=True)
class Thresholds:
    """Owner's thresholds on the design value of life used, and the shares verdicts rest on.

    All are proposals of this project; a dated setting entry changes them.
    """

    inspect: float = 0.3
    downgrade: float = 0.5
    retire: float = 1.0
    retire_under: float = 0.7
    known_share: float = 0.8


def rules_from_rows(rows: Iterable[Mapping[str, str]]) -> dict[str, Rule]:
    """Rules by key from the rows of the rule table.

    Raises
    ------
    ValueError
        If a number in the table is not a number.
    """
    return {
        row["key"]: Rule(
            key=row["key"],
            part=row["part"],
            every=float(row["every"]),
            every_unit=row["every_unit"],
            limit=float(row["limit"]) if row["limit"] else None,
            limit_unit=row["limit_unit"],
            minutes=float(row["minutes"]),
            standing=row["standing"],
            source=row["source"],
            standing_of_number=row["standing_of_number"],
        )
        for row in rows
    }
