"""From typed rows to what is written: only rows that changed, old ones struck in the same write."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from rodhand.book.entry.keeping import enter
from rodhand.book.grid.grid import GridColumn, GridHead, GridRow, GridSaved
from rodhand.book.grid.signs import (
    ABOVE,
    SMUDGED,
    Settled,
    read_signs,
    settle_signs,
    signs_text,
)
from rodhand.faults import BadInputError, Fault
from rodhand.record.entry import Draft, Entry
from rodhand.record.intake import flags_of
from rodhand.record.marks import fold
from rodhand.record.order import struck_entries
from rodhand.words import say

NOT_OF_A_ROW = ("bore", "pass", "signs")
OF_HEAD = ("happened", "by", "zone")
SHOWN = 60  # characters of a stored row told in a fault


class GridFaultsError(BadInputError):
    """A grid that cannot be kept as it is; ``rows`` are to be shown again with the faults.

    A row that met an entry made meanwhile stands for that entry now: saving again replaces it.
    """

    def __init__(self, faults: Sequence[Fault], rows: Sequence[GridRow]) -> None:
        super().__init__(faults, "grid")
        self.rows = tuple(rows)


class GridDoubtsError(GridFaultsError):
    """A grid that can be kept, with values that should be looked at first."""


@dataclass(frozen=True)
class Plan:
    """What is to be written for a grid."""

    drafts: list[Draft] = field(default_factory=list)
    struck: list[str] = field(default_factory=list)
    unchanged: int = 0


@dataclass(frozen=True)
class Subject:
    """What every row of a grid belongs to.

    Parameters
    ----------
    kind : str
        Kind of entry a row becomes.
    common : mapping of str to str
        Columns that are the same for every row and stand in none, as the bore.
    key : tuple of str
        Columns that tell one row from another, and by themselves say nothing.
    happened : str
        For new rows, where the head of the grid does not say.
    """

    kind: str
    common: Mapping[str, str]
    key: tuple[str, ...]
    happened: str


def standing(entries: Sequence[Entry], kind: str) -> list[Entry]:
    """Entries of a kind that nobody struck, in order of arrival."""
    struck = struck_entries(entries, [])
    return [entry for entry in entries if entry.kind == kind and entry.id not in struck]


def row_of(entry: Entry, offered: Mapping[str, str] | None = None) -> GridRow:
    """An entry as a row: what was typed, a sign where a cell was not legible."""
    signs = read_signs(entry.payload.get("signs", ""))
    cells = {name: text for name, text in entry.payload.items() if name not in NOT_OF_A_ROW}
    cells |= {name: SMUDGED for name, sign in signs.items() if sign == SMUDGED}
    above = frozenset(name for name, sign in signs.items() if sign == ABOVE)
    return GridRow(cells, offered or {}, entry.id, above)


def common_head(stored: Sequence[Entry], happened: str) -> GridHead:
    """What the stored rows say alike of when and by whom; blank where they differ."""
    if not stored:
        return GridHead(happened)
    days, people = {entry.happened for entry in stored}, {entry.by for entry in stored}
    return GridHead(days.pop() if len(days) == 1 else "", people.pop() if len(people) == 1 else "")


def save_rows(
    folder: Path, subject: Subject, columns: Sequence[GridColumn], rows: Sequence[GridRow],
    head: GridHead, stored: Sequence[Entry], keep: bool,
) -> GridSaved:  # fmt: skip
    """Write a grid: all of it or nothing.

    Parameters
    ----------
    folder : Path
        The book's folder.
    subject : Subject
        What the rows belong to.
    columns : sequence of GridColumn
        The grid's columns.
    rows : sequence of GridRow
        As typed.
    head : GridHead
        What is said once.
    stored : sequence of Entry
        Entries the grid stands for, as they are now.
    keep : bool
        Whether doubtful values were looked at.

    Returns
    -------
    GridSaved
        What was written, struck and left.

    Raises
    ------
    GridFaultsError
        With every fault, by row counted from 1 and column; then nothing is kept.
    GridDoubtsError
        If something should be looked at first; then nothing is kept.
    CannotReadError
        If the book cannot be written; then nothing is kept.
    """
    rows, held = _met(_claimed(rows, stored), subject, stored)
    settled, faults = settle_signs(rows, columns, subject.key)
    faults += held + _said_twice(rows, settled, subject, stored)
    if faults:
        raise GridFaultsError(sorted(faults, key=lambda fault: fault.line or 0), rows)
    plan = _planned(rows, settled, subject, columns, head, stored)
    doubts = [] if keep else flags_of(plan.drafts)
    if doubts:
        raise GridDoubtsError(doubts, rows)
    return write(folder, plan, rows)


def write(folder: Path, plan: Plan, rows: Sequence[GridRow], by: str = "") -> GridSaved:
    """Write what was planned in one go; see `save_rows`."""
    if not plan.drafts and not plan.struck:
        return GridSaved(unchanged=plan.unchanged)
    why = say("grid.why")
    strikes = [Draft("strike", {"entry": entry, "why": why}, by=by) for entry in plan.struck]
    try:
        entered = enter(folder, [*strikes, *plan.drafts], "grid")
    except BadInputError as error:
        raise GridFaultsError(_once(error.faults), rows) from error
    written = tuple(entry.id for entry in entered.entries if entry.kind != "strike")
    return GridSaved(written, tuple(plan.struck), plan.unchanged)


def _once(faults: Sequence[Fault]) -> list[Fault]:
    """What every row says alike of when and by whom is told once and not at every row."""
    head = {fault.column: replace(fault, line=None) for fault in faults if fault.column in OF_HEAD}
    return [*head.values(), *(fault for fault in faults if fault.column not in OF_HEAD)]


def _claimed(rows: Sequence[GridRow], stored: Sequence[Entry]) -> list[GridRow]:
    """Rows with what their entry says of them; one whose entry was struck stands for none."""
    known = {entry.id: entry for entry in stored}
    return [_with_signs(row, known.get(row.entry)) for row in rows]


def _with_signs(row: GridRow, entry: Entry | None) -> GridRow:
    """A ditto sign goes on to count while its value stays as it was."""
    if entry is None:
        return replace(row, entry="", as_above=frozenset())
    held = row_of(entry)
    above = {name for name in held.as_above if row.cells.get(name, "").strip() == held.cells[name]}
    return replace(row, as_above=frozenset(above))


def _key(values: Mapping[str, str], key: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(_plain(values.get(name, "")) for name in key)


def _plain(text: str) -> str:
    """A number without its spelling, so that 4 and 4.0 are one station; else the folded text."""
    try:
        return f"{float(text):g}"
    except ValueError:
        return fold(text)


def _met(
    rows: Sequence[GridRow], subject: Subject, stored: Sequence[Entry]
) -> tuple[list[GridRow], list[Fault]]:
    """New rows that meet an entry of their place stand for it and take its other cells along.

    Where the two say different things it is told, so that nothing is replaced unseen.
    """
    taken = {row.entry for row in rows if row.entry}
    free = {_key(e.payload, subject.key): e for e in stored if e.id not in taken}
    done, faults = [], []
    for number, row in enumerate(rows, 1):
        says = any(text.strip() and name not in subject.key for name, text in row.cells.items())
        found = free.pop(_key(row.cells, subject.key), None) if says and not row.entry else None
        if found is not None:
            held = row_of(found, row.offered)
            typed = {name: text for name, text in row.cells.items() if text.strip()}
            if any(held.cells.get(name, text) != text for name, text in typed.items()):
                shown = _shown(found, subject.key)
                faults.append(Fault("grid_held", shown, number, subject.key[0]))
            row = replace(held, cells={**held.cells, **typed})
        done.append(row)
    return done, faults


def _said_twice(
    rows: Sequence[GridRow], settled: Sequence[Settled], subject: Subject, stored: Sequence[Entry]
) -> list[Fault]:
    """Rows of one place; entries that stood side by side before may go on to."""
    keys = [_key(each.values, subject.key) if each.says else () for each in settled]
    counted = Counter(key for key in keys if key and key[0])
    own = {entry.id: _key(entry.payload, subject.key) for entry in stored}
    place = subject.key[0]
    return [
        Fault("grid_twice", settled[number - 1].values.get(place, ""), number, place)
        for number, (row, key) in enumerate(zip(rows, keys, strict=True), 1)
        if counted[key] > 1 and own.get(row.entry) != key
    ]


def _shown(entry: Entry, key: tuple[str, ...]) -> str:
    parts = (
        f"{name} {text}"
        for name, text in entry.payload.items()
        if name not in (*NOT_OF_A_ROW, *key)
    )
    return ", ".join(parts)[:SHOWN]


def _planned(
    rows: Sequence[GridRow], settled: Sequence[Settled], subject: Subject,
    columns: Sequence[GridColumn], head: GridHead, stored: Sequence[Entry],
) -> Plan:  # fmt: skip
    plan = Plan()
    unchanged = 0
    entries = {entry.id: entry for entry in stored}
    names = {column.name for column in columns}
    for number, (row, each) in enumerate(zip(rows, settled, strict=True), 1):
        old = entries.get(row.entry)
        if old is None and not each.says:
            continue
        payload = _payload(each, subject, head, old, names)
        when = head.happened or (old.happened if old else subject.happened)
        if old is not None and dict(old.payload) == payload and when == old.happened:
            unchanged += 1
            continue
        if old is not None:
            plan.struck.append(old.id)
        if each.says:
            zone = old.zone if old else ""
            by = head.by or (old.by if old else "")
            plan.drafts.append(Draft(subject.kind, payload, when, zone, by, number))
    return replace(plan, unchanged=unchanged)


def _payload(
    each: Settled, subject: Subject, head: GridHead, old: Entry | None, names: set[str]
) -> dict[str, str]:
    """A row's columns; what the entry says beside the grid's columns is taken along."""
    beside = old.payload.items() if old else subject.common.items()
    kept = {name: text for name, text in beside if name not in names and name != "signs"}
    payload = {**kept, **each.values}
    if head.heading_ref and "heading_ref" not in payload and "heading_deg" in payload:
        payload["heading_ref"] = head.heading_ref
    if each.signs:
        payload["signs"] = signs_text(each.signs)
    return payload
