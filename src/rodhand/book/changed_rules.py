"""After an update or a new limit: what moved, from what to what and why; nothing is released.

Beside the journal stands a small file of where everything stood when the book was last worked
through. A changed rule is told by working the book out before and after it. What the rule alone
would make better is kept by an entry of kind ``held``, until a person gives a standing.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path

from rodhand import __version__
from rodhand.advice.fitness import ORDER
from rodhand.book.assess import Assessment, assess, settings_in_force
from rodhand.book.keeping import write_whole
from rodhand.book.standings import all_standings
from rodhand.faults import BadInputError, CannotReadError
from rodhand.record.backup import BESIDE
from rodhand.record.entry import Chain, Draft, Entry, overall_digest
from rodhand.record.journal import Journal
from rodhand.record.marks import fold
from rodhand.record.moment import now
from rodhand.record.reading_back import read_book
from rodhand.wear.life_used import MODEL

BY = "rodhand"
GONE = ("sold", "scrapped", "lost in hole")
BATCHES_KEPT = 50
AT_ONCE = 200
"""Most things named in one entry."""


@dataclass(frozen=True)
class Change:
    """One changed rule: setting, limit, rod_type or program; its name and two values.

    The values of a limit are smallest radii in metres, those of a program version and model.
    """

    what: str
    name: str
    before: str = ""
    after: str = ""


@dataclass(frozen=True)
class Move:
    """One thing whose standing a changed rule moved; ``held`` when it keeps the worse one."""

    key: str
    name: str
    before: str
    after: str
    held: bool


@dataclass(frozen=True)
class Batch:
    """What was found at one time: which rules were changed, and what that moved."""

    when: str
    changes: tuple[Change, ...]
    moves: tuple[Move, ...]
    seen: bool = False


@dataclass(frozen=True)
class Snapshot:
    """Where everything stood when the book was last worked through.

    Parameters
    ----------
    version : str
        The program's.
    model : int
        Number of the model of life used.
    count : int
        How many entries there were, in order of arrival.
    digest : str
        Digest of these entries.
    today : str
        ISO day it was worked out for.
    standings : mapping of str to str
        By key of each thing.
    batches : tuple of Batch
        What changed rules have moved so far, oldest first.
    """

    version: str
    model: int
    count: int
    digest: str
    today: str
    standings: Mapping[str, str]
    batches: tuple[Batch, ...] = field(default=())


def read_snapshot(folder: Path) -> Snapshot | None:
    """The snapshot beside a book; None when there is none or it cannot be read."""
    try:
        noted = json.loads((folder / BESIDE).read_text(encoding="utf-8"))
        batches = tuple(
            Batch(
                each["when"],
                tuple(Change(**change) for change in each["changes"]),
                tuple(Move(**move) for move in each["moves"]),
                each["seen"] is True,
            )
            for each in noted.pop("batches")
        )
        return Snapshot(**noted, batches=batches)
    except (OSError, ValueError, TypeError, KeyError, AttributeError):
        return None


def _write_snapshot(folder: Path, snapshot: Snapshot) -> None:
    write_whole(folder / BESIDE, json.dumps(asdict(snapshot), separators=(",", ":")) + "\n")


def standings_now(assessment: Assessment) -> dict[str, str]:
    """Standing of everything by key."""
    return {key: standing for key, (standing, _) in all_standings(assessment).items()}


def settle(folder: Path, entries: Sequence[Entry], made: Assessment) -> Assessment:
    """Compare a book just worked through with the snapshot beside it.

    Parameters
    ----------
    folder : Path
        The book's folder; the snapshot in it is renewed, and what is kept is entered.
    entries : sequence of Entry
        All entries in order of arrival.
    made : Assessment
        The book worked through from all of them.

    Returns
    -------
    Assessment
        The same, with what a changed rule alone would have made better kept as it was.

    Notes
    -----
    Where the folder cannot be written to, what is kept is kept in this assessment alone, and found
    again at the next opening.
    """
    last = read_snapshot(folder)
    if last is not None and not _fits(last, entries):
        last = None
    batches: list[Batch] = []
    if last is not None:
        batches = _moved(last, entries, made)
        made = _keep(folder, made, batches)
    old = last.batches if last else ()
    snapshot = Snapshot(
        __version__, MODEL, len(made.entries), _digest(made.entries), made.today,
        standings_now(made), (*old, *batches)[-BATCHES_KEPT:],
    )  # fmt: skip
    if snapshot != last:
        with suppress(CannotReadError):
            _write_snapshot(folder, snapshot)
    return made


def _digest(entries: Sequence[Entry]) -> str:
    return overall_digest([entry.hash for entry in entries])


def _fits(last: Snapshot, entries: Sequence[Entry]) -> bool:
    """Whether a snapshot is of the first entries of this journal."""
    return last.count <= len(entries) and last.digest == _digest(entries[: last.count])


def _moved(last: Snapshot, entries: Sequence[Entry], made: Assessment) -> list[Batch]:
    """What an update and then new rules moved, each against the book just before it."""
    found = []
    if (last.version, last.model) != (__version__, MODEL):
        known = entries[: last.count]
        then = assess(read_book(known), last.today, known)
        change = Change("program", "", f"{last.version} ({last.model})", f"{__version__} ({MODEL})")
        found.append(_batch((change,), last.standings, standings_now(then), made, entries, last))
    rules = rule_entries(entries, last.count)
    if rules:
        without = _without(entries, rules, made)
        found.append(
            _batch(
                _changes(rules, entries, without, made), standings_now(without),
                standings_now(made), made, entries, last,
            )
        )  # fmt: skip
    return found


def rule_entries(entries: Sequence[Entry], start: int) -> list[Entry]:
    """Entries from a place on that change a rule: settings, rod types anew, strikes of either."""
    by_id = {entry.id: entry for entry in entries}
    known_types = {_name_of(entry) for entry in entries[:start] if entry.kind == "rod-type"}
    found = []
    for entry in entries[start:]:
        target = by_id.get(entry.payload.get("entry", "")) if entry.kind == "strike" else None
        anew = entry.kind == "rod-type" and _name_of(entry) in known_types
        if entry.kind == "setting" or anew or (target and target.kind in ("setting", "rod-type")):
            found.append(entry)
        if entry.kind == "rod-type":
            known_types.add(_name_of(entry))
    return found


def _name_of(entry: Entry) -> str:
    typed = {column.casefold(): text for column, text in entry.payload.items()}
    return fold(typed.get("setting") or typed.get("name") or "")


def _without(entries: Sequence[Entry], rules: Sequence[Entry], made: Assessment) -> Assessment:
    """The book as it would be without some rules."""
    left_out = {entry.id for entry in rules}
    kept = [entry for entry in entries if entry.id not in left_out]
    book = read_book(kept)
    by_id = {entry.id: entry for entry in entries}
    targets = [by_id.get(rule.payload.get("entry", ""), rule) for rule in rules]
    if all(each.kind == "setting" for each in targets):  # what the bores did stays as it is
        own = settings_in_force(book, made.today)
        return replace(made, book=book, thresholds=own.thresholds, rules=own.rules)
    return assess(book, made.today, kept)


def _changes(
    rules: Sequence[Entry], entries: Sequence[Entry], without: Assessment, made: Assessment
) -> tuple[Change, ...]:
    found: dict[tuple[str, str], Change] = {}
    by_id = {entry.id: entry for entry in entries}
    old, new = _values(without), _values(made)
    for rule in rules:
        target = by_id.get(rule.payload.get("entry", ""), rule)
        name = _name_of(target)
        if target.kind == "setting":
            change = Change("setting", name, old.get(name, ""), new.get(name, ""))
        else:
            named = next((n for n in made.book.limits if fold(n) == name), name)
            limits = [_limit(each, named) for each in (without, made)]
            anew = Change("rod_type", named)
            change = Change("limit", named, *limits) if limits[0] != limits[1] else anew
        found[change.what, change.name] = change
    return tuple(found.values())


def _values(assessment: Assessment) -> dict[str, str]:
    return {fold(setting.name): setting.value for setting in assessment.book.settings}


def _limit(assessment: Assessment, name: str) -> str:
    """The newest bend limit of a rod type as a smallest radius; text of a number. [m]"""
    given = assessment.book.limits.get(name, ())
    return f"{given[-1].radius:.6g}" if given else ""


def _batch(
    changes: tuple[Change, ...],
    before: Mapping[str, str],
    after: Mapping[str, str],
    made: Assessment,
    entries: Sequence[Entry],
    last: Snapshot,
) -> Batch:
    now_stands, answered = standings_now(made), _answered(made, entries[last.count :])
    where: dict[str, str] = {}
    for each in made.book.whereabouts:
        where |= dict.fromkeys(each.things, each.where)
    moves = []
    for key, thing in made.book.things.items():
        if key not in before or key not in after or before[key] == after[key]:
            continue
        stands = now_stands[key]
        held = (
            ORDER.index(after[key]) < ORDER.index(before[key])
            and ORDER.index(stands) < ORDER.index(before[key])
            and key not in answered
            and where.get(key) not in GONE
        )
        moves.append(Move(key, thing.name, before[key], after[key], held))
    return Batch(now(), changes, tuple(moves))


def _answered(made: Assessment, new: Iterable[Entry]) -> set[str]:
    """Things a person gave a standing to since the snapshot."""
    ids = {entry.id for entry in new}
    return {key for each in made.book.standings if each.origin.entry in ids for key in each.things}


def _keep(folder: Path, made: Assessment, batches: Sequence[Batch]) -> Assessment:
    """Enter what is kept, and give the book back with it."""
    drafts = [draft for batch in batches for draft in _drafts(batch, made)]
    if not drafts:
        return made
    try:
        with Journal.open(folder) as journal:
            journal.write_many(drafts, BESIDE)
            entries = tuple(journal.entries())
        return replace(made, book=read_book(entries), entries=entries)
    except (CannotReadError, BadInputError):
        chain = Chain(BY)
        unwritten = [chain.add(draft) for draft in drafts]
        book = read_book([*made.entries, *unwritten])
        known = replace(book, entry_count=made.book.entry_count, head=made.book.head)
        return replace(made, book=known)


def _drafts(batch: Batch, made: Assessment) -> list[Draft]:
    groups: dict[str, list[str]] = {}
    for move in batch.moves:
        named = made.book.thing_named(move.name)
        if move.held and named is not None and named.key == move.key:
            groups.setdefault(move.before, []).append(move.name)
    change = batch.changes[0]
    why = "; ".join(f"{each.what} {each.name}".strip() for each in batch.changes)
    unit = " m" if change.what == "limit" else ""
    values = {"before": change.before, "after": change.after}
    facts = {"why": why, **{name: f"{text}{unit}" for name, text in values.items() if text}}
    return [
        Draft(
            "held",
            {"things": ", ".join(names[start : start + AT_ONCE]), "standing": standing, **facts},
            made.today, "", BY,
        )
        for standing, names in groups.items()
        for start in range(0, len(names), AT_ONCE)
    ]  # fmt: skip


def mark_seen(folder: Path) -> None:
    """Take what changed rules moved so far off the first page; it stays in the list.

    Raises
    ------
    CannotReadError
        If the snapshot cannot be written.
    """
    last = read_snapshot(folder)
    if last is not None:
        seen = tuple(replace(batch, seen=True) for batch in last.batches)
        _write_snapshot(folder, replace(last, batches=seen))
