"""The page of changed rules: what they moved, what is kept, and the settings that hold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from pathlib import Path

from rodhand.advice.rules import Rule, Thresholds
from rodhand.advice.settings import COPY_DAYS, setting_fault, setting_names
from rodhand.advice.verdict import Sentence
from rodhand.book.tasks.rule_snapshot import Batch, Change, Move, read_snapshot
from rodhand.book.tasks.standings import held_standings
from rodhand.book.telling import in_name_order
from rodhand.book.views import MovedBatch, MovedRow
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.book.work.in_force import default_rules, settings_begun, settings_in_force
from rodhand.record.book import Book
from rodhand.record.book_looks import Setting
from rodhand.units import Figure, Standing
from rodhand.words import say


@dataclass(frozen=True)
class HeldRow:
    """Things kept at one standing over one changed rule since one day."""

    things: tuple[str, ...]
    standing: str
    since: str
    why: str


@dataclass(frozen=True)
class SettingRow:
    """One setting: the number that holds; since when and why where it is the owner's own."""

    name: str
    value: str
    own: bool
    since: str
    why: str


@dataclass(frozen=True)
class LimitRow:
    """A rod type's bend limit since a day: figures radius."""

    rod_type: str
    since: str
    figures: dict[str, Figure]


@dataclass(frozen=True)
class MovedView:
    """The page of changed rules.

    Parameters
    ----------
    invented : bool
        Whether the book says of itself that it is invented.
    batches : tuple of MovedBatch
        What was moved, newest first.
    held : tuple of HeldRow
        What is kept now.
    settings : tuple of SettingRow
        Every setting that holds, those of the owner first.
    limits : tuple of LimitRow
        Every bend limit entered, by rod type and date.
    warnings : tuple of Sentence
        Settings of the book that cannot be used.
    figures : dict
        held: how many things are kept.
    """

    invented: bool
    batches: tuple[MovedBatch, ...]
    held: tuple[HeldRow, ...]
    settings: tuple[SettingRow, ...]
    limits: tuple[LimitRow, ...]
    warnings: tuple[Sentence, ...]
    figures: dict[str, Figure]


def moved_view(folder: Path, assessment: Assessment) -> MovedView:
    """What the page of changed rules shows.

    Parameters
    ----------
    folder : Path
        The book's folder, with the snapshot beside the journal.
    assessment : Assessment
        The book worked through.

    Returns
    -------
    MovedView
        Newest first.
    """
    held = held_rows(assessment)
    count = float(sum(len(row.things) for row in held))
    return MovedView(
        invented=assessment.invented,
        batches=tuple(reversed(moved_batches(folder))),
        held=held,
        settings=setting_rows(assessment),
        limits=_limit_rows(assessment.book),
        warnings=unusable_settings(assessment.book),
        figures={"held": Figure("moved.held", count, "count", Standing.COMPUTED)},
    )


def moved_batches(folder: Path) -> tuple[MovedBatch, ...]:
    """What changed rules have moved in a book so far, oldest first."""
    snapshot = read_snapshot(folder)
    batches = snapshot.batches if snapshot else ()
    return tuple(_batch(number, each) for number, each in enumerate(batches, 1))


def _batch(number: int, batch: Batch) -> MovedBatch:
    why = tuple(_why(f"moved.{number}.{k}", change) for k, change in enumerate(batch.changes, 1))
    return MovedBatch(batch.when, why, _rows(batch.moves), batch.seen)


def _rows(moves: Sequence[Move]) -> tuple[MovedRow, ...]:
    """Things that moved alike in one row, what is kept first."""
    groups: dict[tuple[str, str, bool], list[str]] = {}
    for move in moves:
        groups.setdefault((move.before, move.after, move.held), []).append(move.name)
    rows = [MovedRow(in_name_order(names), *alike) for alike, names in groups.items()]
    return tuple(sorted(rows, key=lambda row: (not row.held, -len(row.things))))


def _why(key: str, change: Change) -> Sentence:
    values: dict[str, str | Figure] = {"name": change.name}
    for part in ("before", "after"):
        typed: str = getattr(change, part)
        if change.what == "limit":
            radius = float(typed) if typed else None
            values[part] = Figure(f"{key}.{part}", radius, "radius", Standing.ASSUMED)
        else:
            values[part] = typed or say("moved.by_default")
    return Sentence(f"moved.why_{change.what}", values)


def held_rows(assessment: Assessment) -> tuple[HeldRow, ...]:
    """What is kept over changed rules now, grouped by standing, day and rule."""
    groups: dict[tuple[str, str, str], list[str]] = {}
    for key, thing in assessment.book.things.items():
        for each in held_standings(assessment, key):
            groups.setdefault((each.standing, each.when, each.why), []).append(thing.name)
    return tuple(HeldRow(in_name_order(names), *alike) for alike, names in groups.items())


def setting_rows(assessment: Assessment) -> tuple[SettingRow, ...]:
    """Every setting with the number that holds, the owner's own first."""
    rules = default_rules()
    own = settings_in_force(assessment.book, assessment.today)
    begun = settings_begun(assessment.book, assessment.today)
    numbers = {field.name: getattr(own.thresholds, field.name) for field in fields(Thresholds)}
    numbers[COPY_DAYS] = own.copy_days
    for key, rule in own.rules.items():
        numbers |= {f"rule.{key}.{part}": value for part, value in _parts(rule).items()}
    rows = [
        _setting_row(name, numbers[name], begun.get(name))
        for name in setting_names(rules)
        if numbers.get(name) is not None
    ]
    rows += [_coming_row(each) for each in assessment.book.settings if _is_coming(each, assessment)]
    return tuple(sorted(rows, key=lambda row: not row.own))


def _is_coming(setting: Setting, assessment: Assessment) -> bool:
    """Whether a setting can be used and is dated ahead."""
    begins = day_of(setting.origin.happened.start)
    usable = not setting_fault(setting.name, setting.value, default_rules())
    return usable and begins > assessment.today and not assessment.invented


def _coming_row(setting: Setting) -> SettingRow:
    since = say("moved.from_day", day=day_of(setting.origin.happened.start))
    return SettingRow(setting.name, setting.value, True, since, setting.why)


def _parts(rule: Rule) -> dict[str, float | None]:
    return {"every": rule.every, "limit": rule.limit, "minutes": rule.minutes}


def _setting_row(name: str, value: float, said: Setting | None) -> SettingRow:
    since = day_of(said.origin.happened.start) if said else ""
    return SettingRow(name, f"{value:g}", said is not None, since, said.why if said else "")


def _limit_rows(book: Book) -> tuple[LimitRow, ...]:
    return tuple(
        LimitRow(
            name,
            day_of(each.origin.happened.start),
            {"radius": Figure(f"limit.{name}.{number}", each.radius, "radius", Standing.ASSUMED)},
        )
        for name, given in book.limits.items()
        for number, each in enumerate(given, 1)
    )


def unusable_settings(book: Book) -> tuple[Sentence, ...]:
    """Settings of a book that this program cannot use, each told."""
    rules = default_rules()
    return tuple(
        Sentence(
            "moved.unusable",
            {"name": each.name, "value": each.value, "told": say(f"fault.{code}.needed")},
        )
        for each in book.settings
        if (code := setting_fault(each.name, each.value, rules))
    )
