"""The diary: entries as a crew types them, kept in the order in which they were typed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

ZONE = "-06:00"
"""Zone offset of every invented device; the season lies in one zone and has no summer time."""


@dataclass(frozen=True)
class DemoEntry:
    """One entry as a crew would make it.

    Parameters
    ----------
    kind : str
        Name of a kind of entry.
    payload : mapping of str to str
        Column name -> text as typed.
    happened : str
        When it was, as typed: a day, a minute, a week or a span of days.
    device, by : str
        Device it was typed on and key of the role who typed it.
    entered : str
        Clock of that device when it was typed, right or wrong. ISO 8601 with offset.
    """

    kind: str
    payload: Mapping[str, str]
    happened: str
    device: str
    by: str
    entered: str


def day(moment: datetime) -> str:
    """A day as typed."""
    return moment.date().isoformat()


def minute(moment: datetime) -> str:
    """A minute as typed, with the zone."""
    return moment.isoformat(timespec="minutes") + ZONE


@dataclass
class Diary:
    """Entries being gathered; `entries` gives them in the order in which they were typed.

    ``fast`` holds how far a device's clock runs ahead of the time, for devices whose clock is
    wrong.
    """

    fast: Mapping[str, timedelta] = field(default_factory=dict)
    _kept: list[tuple[datetime, int, DemoEntry]] = field(default_factory=list)

    def add(
        self,
        kind: str,
        payload: Mapping[str, str],
        typed: datetime,
        device: str,
        by: str,
        happened: str = "",
    ) -> None:
        """Keep one entry; empty fields are what nobody typed and are left out.

        Parameters
        ----------
        typed : datetime
            True time at which it was typed.
        happened : str
            When it was, as typed; the day of typing when empty.
        """
        shown = typed + self.fast.get(device, timedelta())
        entry = DemoEntry(
            kind=kind,
            payload={name: text for name, text in payload.items() if text != ""},
            happened=happened or day(typed),
            device=device,
            by=by,
            entered=shown.isoformat(timespec="seconds") + ZONE,
        )
        self._kept.append((typed, len(self._kept), entry))

    def entries(self) -> list[DemoEntry]:
        """Every entry in the order of typing."""
        return [entry for _, _, entry in sorted(self._kept, key=lambda kept: kept[:2])]


def marks_text(marks: Sequence[str]) -> str:
    """Marks as a crew types them: runs of one set written as ``M1-01..M1-15``.

    Examples
    --------
    >>> marks_text(["M1-01", "M1-02", "M1-03", "M2-07"])
    'M1-01..M1-03, M2-07'
    """
    runs: list[list[str]] = []
    for mark in marks:
        if runs and _follows(runs[-1][-1], mark):
            runs[-1].append(mark)
        else:
            runs.append([mark])
    return ", ".join(run[0] if len(run) == 1 else f"{run[0]}..{run[-1]}" for run in runs)


def _follows(one: str, other: str) -> bool:
    """Whether the second mark is the next number of the first one's set."""
    prefix, _, number = one.rpartition("-")
    other_prefix, _, other_number = other.rpartition("-")
    return prefix == other_prefix and int(other_number) == int(number) + 1
