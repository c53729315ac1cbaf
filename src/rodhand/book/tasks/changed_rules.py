"""After an update or a new limit: what moved, from what to what and why; nothing is released.

A changed rule is told by working the book out before and after it. What the rule alone would make
better is kept as it was, until a person gives a standing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

from rodhand.advice.fitness import ORDER
from rodhand.book.tasks.kept_standings import keep_standings, name_to_enter
from rodhand.book.tasks.rule_snapshot import (
    Batch,
    Change,
    Move,
    Snapshot,
    program_now,
    read_snapshot,
    write_snapshot,
)
from rodhand.book.tasks.standings import all_standings
from rodhand.book.work.assess import Assessment, assess
from rodhand.book.work.class_factors import calibration_in_force
from rodhand.book.work.in_force import is_invented, settings_begun, settings_in_force
from rodhand.book.work.tables import built_in_rod_types
from rodhand.faults import CannotReadError
from rodhand.record.book_looks import ClassCalibration, Setting
from rodhand.record.choices import CALIBRATED_CLASSES, CLASS_CALIBRATION
from rodhand.record.entry import Entry, overall_digest
from rodhand.record.marks import fold
from rodhand.record.moment import now
from rodhand.record.reading_back import read_book

GONE = ("sold", "scrapped", "lost in hole")
BATCHES_KEPT = 50
DATED = ("setting", CLASS_CALIBRATION)


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
        batches = _moved(_Opening(last, entries, made))
        made = keep_standings(folder, made, batches)
    old = last.batches if last else ()
    snapshot = Snapshot(
        program_now(), len(made.entries), _digest(made.entries), made.today,
        standings_now(made), (*old, *batches)[-BATCHES_KEPT:],
    )  # fmt: skip
    if snapshot != last:
        with suppress(CannotReadError):
            write_snapshot(folder, snapshot)
    return made


def standings_now(assessment: Assessment) -> dict[str, str]:
    """Standing of everything by key."""
    return {key: standing for key, (standing, _) in all_standings(assessment).items()}


def _digest(entries: Sequence[Entry]) -> str:
    return overall_digest([entry.hash for entry in entries])


def _fits(last: Snapshot, entries: Sequence[Entry]) -> bool:
    """Whether a snapshot is of the first entries of this journal."""
    return last.count <= len(entries) and last.digest == _digest(entries[: last.count])


@dataclass(frozen=True)
class _Opening:
    """A book just worked through, and where it stood the last time."""

    last: Snapshot
    entries: Sequence[Entry]
    made: Assessment

    def target(self, rule: Entry) -> Entry:
        """The entry a strike is about; any other entry itself."""
        if rule.kind != "strike":
            return rule
        struck = rule.payload.get("entry", "")
        return next((entry for entry in self.entries if entry.id == struck), rule)


def _moved(opening: _Opening) -> list[Batch]:
    """What an update and then new rules moved, each against the book just before it."""
    last, made, found = opening.last, opening.made, []
    if last.program != program_now():
        known = opening.entries[: last.count]
        then = assess(read_book(known), last.today, known)
        change = Change("program", "", last.program, program_now())
        found.append(_batch(opening, (change,), last.standings, standings_now(then)))
    rules = [*_begun(opening), *_rule_entries(opening)]
    if rules:
        without = _without(opening, rules)
        changes = _changes(opening, rules, without)
        found.append(_batch(opening, changes, standings_now(without), standings_now(made)))
    return found


def _begun(opening: _Opening) -> list[Entry]:
    """Settings entered before that hold only since the last time: they were dated ahead."""
    last, made = opening.last, opening.made
    if is_invented(made.book):
        return []
    since = {
        setting.origin.entry
        for setting in _dated(made)
        if last.today < setting.origin.happened.start[:10] <= made.today
    }
    return [entry for entry in opening.entries[: last.count] if entry.id in since]


def _dated_ahead(made: Assessment) -> set[str]:
    """Entries of settings that do not hold yet."""
    if is_invented(made.book):
        return set()
    return {
        setting.origin.entry
        for setting in _dated(made)
        if setting.origin.happened.start[:10] > made.today
    }


def _dated(made: Assessment) -> tuple[Setting | ClassCalibration, ...]:
    """Rules that hold from a day on."""
    return (*made.book.settings, *made.book.class_calibrations)


def _rule_entries(opening: _Opening) -> list[Entry]:
    """New entries that change a rule: settings, calibrations, rod types anew, strikes of these."""
    start, later = opening.last.count, _dated_ahead(opening.made)
    known = {fold(name) for name in built_in_rod_types()}
    known |= {_name_of(entry) for entry in opening.entries[:start] if entry.kind == "rod-type"}
    found = []
    for entry in opening.entries[start:]:
        target = opening.target(entry)
        anew = target.kind == "rod-type" and (target is not entry or _name_of(entry) in known)
        if (target.kind in DATED and target.id not in later) or anew:
            found.append(entry)
        if entry.kind == "rod-type":
            known.add(_name_of(entry))
    return found


def _name_of(entry: Entry) -> str:
    typed = {column.casefold(): text for column, text in entry.payload.items()}
    return fold(typed.get("setting") or typed.get("name") or "")


def _without(opening: _Opening, rules: Sequence[Entry]) -> Assessment:
    """The book as it would be without some rules."""
    left_out, made = {entry.id for entry in rules}, opening.made
    kept = [entry for entry in opening.entries if entry.id not in left_out]
    book = read_book(kept)
    if all(opening.target(rule).kind == "setting" for rule in rules):
        # No setting changes what the bores did.
        own = settings_in_force(book, made.today)
        return replace(made, book=book, thresholds=own.thresholds, rules=own.rules)
    return assess(book, made.today, kept)


def _changes(opening: _Opening, rules: Sequence[Entry], without: Assessment) -> tuple[Change, ...]:
    made, found = opening.made, {}
    old, new = _values(without), _values(made)
    for rule in rules:
        target = opening.target(rule)
        name = _name_of(target)
        if target.kind == "setting":
            change = Change("setting", name, old.get(name, ""), new.get(name, ""))
        elif target.kind == CLASS_CALIBRATION:
            change = Change("calibration", "", _classes(without), _classes(made))
        else:
            named = next((n for n in made.book.limits if fold(n) == name), name)
            limits = [_limit(each, named) for each in (without, made)]
            anew = Change("rod_type", named)
            change = Change("limit", named, *limits) if limits[0] != limits[1] else anew
        found[change.what, change.name] = change
    return tuple(found.values())


def _values(assessment: Assessment) -> dict[str, str]:
    begun = settings_begun(assessment.book, assessment.today)
    return {fold(name): setting.value for name, setting in begun.items()}


def _classes(assessment: Assessment) -> str:
    """Factors on damage of the calibration in force; empty for the printed classes."""
    kept = calibration_in_force(assessment.book, assessment.today, assessment.invented)
    told = {name: kept.of_class(name) for name in CALIBRATED_CLASSES} if kept else {}
    return ", ".join(f"{name} {each[0]:.3g}" for name, each in told.items() if each)


def _limit(assessment: Assessment, name: str) -> str:
    """The newest bend limit of a rod type as a smallest radius; text of a number. [m]"""
    given = assessment.book.limits.get(name, ())
    return f"{given[-1].radius:.6g}" if given else ""


def _batch(
    opening: _Opening,
    changes: tuple[Change, ...],
    before: Mapping[str, str],
    after: Mapping[str, str],
) -> Batch:
    made = opening.made
    stands, to_leave = standings_now(made), _answered(opening) | _gone(made)
    moves = []
    for key, thing in made.book.things.items():
        if key not in before or key not in after or before[key] == after[key]:
            continue
        was = ORDER.index(before[key])
        better = ORDER.index(after[key]) < was and ORDER.index(stands[key]) < was
        held = better and key not in to_leave and name_to_enter(made.book, key) != ""
        moves.append(Move(key, thing.name, before[key], after[key], held))
    return Batch(now(), changes, tuple(moves))


def _answered(opening: _Opening) -> set[str]:
    """Things a person gave a standing to since the last time."""
    ids = {entry.id for entry in opening.entries[opening.last.count :]}
    given = opening.made.book.standings
    return {key for each in given if each.origin.entry in ids for key in each.things}


def _gone(made: Assessment) -> set[str]:
    """Things that have left the book's rigs for good, as far as was said."""
    where: dict[str, str] = {}
    for each in made.book.whereabouts:
        where |= dict.fromkeys(each.things, each.where)
    return {key for key, place in where.items() if place in GONE}
