"""A book worked through: every bore's ledger and every rod's history, from the journal alone."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from rodhand.advice.looks import Dressed, FoundWord, Look
from rodhand.advice.rules import Rule, Thresholds
from rodhand.book.work.bore_done import Around, BoreDone, bore_done
from rodhand.book.work.bore_work import BoreWork, ConditionOf
from rodhand.book.work.bows import bows_of
from rodhand.book.work.box_order import orders_of
from rodhand.book.work.class_factors import calibration_in_force, class_factors
from rodhand.book.work.conditions import Bite, bitten_of
from rodhand.book.work.days import day_of, newest_day
from rodhand.book.work.habits import habits_of
from rodhand.book.work.in_force import default_curves, default_words, is_invented, settings_in_force
from rodhand.book.work.outside import OutsideWork
from rodhand.book.work.pass_work import Habits
from rodhand.book.work.rod_history import BoreOfRod, RodHistory
from rodhand.book.work.rod_types import in_order_of_work, rod_type_named, type_of_thing
from rodhand.book.work.stays import Stays, stays_of
from rodhand.book.work.who import WhoInBore
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.record.book_looks import Check, ClassCalibration
from rodhand.record.book_things import Thing
from rodhand.record.entry import Entry
from rodhand.record.moment import order_text
from rodhand.steel.rod_type import RodType
from rodhand.wear.life_used import ClassFactor
from rodhand.wear.sections import CurveSet


@dataclass(frozen=True, eq=False)
class Assessment:
    """A book with the mechanics done; everything shown is asked of this.

    Parameters
    ----------
    book : Book
        The facts.
    works : mapping of str to BoreWork
        By bore, in order of the work; bores without a pilot row are not in it.
    who : mapping of str to WhoInBore
        Who stood where, by bore.
    histories : mapping of str to RodHistory
        By key of each rod and sub that carries life used.
    habits : mapping of str to Habits
        By rig.
    curves, rules, words, thresholds
        Tables and owner's settings in force.
    """

    book: Book
    works: Mapping[str, BoreWork]
    who: Mapping[str, WhoInBore]
    histories: Mapping[str, RodHistory]
    habits: Mapping[str, Habits]
    curves: CurveSet
    rules: Mapping[str, Rule]
    words: tuple[FoundWord, ...]
    thresholds: Thresholds
    today: str
    conditions: Mapping[str, ConditionOf] = field(default_factory=dict)
    entries: Sequence[Entry] = ()
    bitten: Mapping[str, tuple[Bite, ...]] = field(default_factory=dict)
    stays: Stays = field(default_factory=dict)

    @property
    def invented(self) -> bool:
        """Whether the book says of itself that it is invented."""
        return is_invented(self.book)

    @cached_property
    def looks(self) -> dict[str, tuple[Look, ...]]:
        """Looks at each thing, in order of the work."""
        found: dict[str, list[Look]] = {}
        for check in self.book.checks:
            look = Look(
                check.origin.entry,
                day_of(check.origin.happened.start),
                check.item,
                check.found,
                check.end,
                check.reading,
                check.second_reading,
                check.third_reading,
                check.gauge_error,
                check.method,
                check.span,
                check.origin.by,
                check.origin.at,
                order_text(check.origin.happened, check.origin.happened.end),
                check.origin.device,
                check.origin.counter,
            )
            for key in check.things:
                found.setdefault(key, []).append(look)
        return {key: tuple(looks) for key, looks in found.items()}

    @cached_property
    def _checks(self) -> dict[str, Check]:
        return {check.origin.entry: check for check in self.book.checks}

    def check_of(self, entry: str) -> Check | None:
        """The look an entry made; None where it is no look."""
        return self._checks.get(entry)

    @cached_property
    def dressings(self) -> dict[str, tuple[Dressed, ...]]:
        """Work done on each thing, in order of the work."""
        found: dict[str, list[Dressed]] = {}
        for each in self.book.dressings:
            done = Dressed(
                day_of(each.origin.happened.start),
                each.what,
                each.end,
                each.origin.at,
                order_text(each.origin.happened, each.origin.happened.end),
                each.origin.device,
                each.origin.counter,
            )
            for key in each.things:
                found.setdefault(key, []).append(done)
        return {key: tuple(done) for key, done in found.items()}

    def rod_type_of(self, thing: Thing) -> RodType | None:
        """Rod type of a thing, its own or its set's."""
        return type_of_thing(self.book, thing)


def bore_as_if(assessment: Assessment, bore: Bore) -> BoreDone | None:
    """One bore worked through as if it stood so in the book; all others stay as they are.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    bore : Bore
        A bore of it with other passes or rows.
    """
    book = assessment.book
    around = Around(
        book, assessment.curves, assessment.habits, assessment.bitten, bows_of(book),
        assessment.stays, orders_of(book),
    )  # fmt: skip
    return bore_done(around, bore)


def assess(
    book: Book,
    today: str = "",
    entries: Sequence[Entry] = (),
    told: Callable[[int, int], None] | None = None,
    only: Collection[str] | None = None,
) -> Assessment:
    """Work a whole book through, or some bores of it.

    Parameters
    ----------
    book : Book
        As read back from the journal.
    today : str
        ISO day it is asked for; the day of the newest entry when empty.
    entries : sequence of Entry
        The journal's entries, struck ones too, for the histories people read.
    told : callable, optional
        Told how many bores of how many are worked out.
    only : collection of str or None
        Bores worked out, by name; all when None. Histories then hold those alone: what one bore
        takes of a rod is in them, its life used is not.

    Returns
    -------
    Assessment
        Every bore's ledger and every rod's history.
    """
    curves, words = default_curves(), default_words()
    habits, today = habits_of(book), today or newest_day(book)
    own = settings_in_force(book, today)
    bitten, stays, orders = bitten_of(book, words), stays_of(book), orders_of(book)
    around = Around(book, curves, habits, bitten, bows_of(book), stays, orders)
    works: dict[str, BoreWork] = {}
    who: dict[str, WhoInBore] = {}
    conditions: dict[str, ConditionOf] = {}
    bores_of: dict[str, list[BoreOfRod]] = {}
    for number, bore in enumerate(in_order_of_work(book)):
        if only is not None and bore.name not in only:
            continue
        if told is not None:
            told(number, len(book.bores))
        done = bore_done(around, bore)
        if done is None:
            continue
        who[bore.name], conditions[bore.name] = done.who, done.condition_of
        if done.work is None:
            continue
        works[bore.name] = done.work
        for key, did in done.rods.items():
            bores_of.setdefault(key, []).append(did)
    outside = OutsideWork(book, curves, stays, works, today)
    kept = calibration_in_force(book, today, is_invented(book))
    histories = _histories(book, curves, outside, bores_of, kept)
    return Assessment(
        book, works, who, histories, habits, curves, own.rules, words,
        own.thresholds, today, conditions, entries, bitten, stays,
    )  # fmt: skip


def classes_of(assessment: Assessment, rod_type: RodType) -> tuple[ClassFactor, ...]:
    """What is held of the class of each section of a rod type, as of the book's day."""
    kept = calibration_in_force(assessment.book, assessment.today, assessment.invented)
    return class_factors(kept, rod_type, assessment.curves)


def _histories(
    book: Book,
    curves: CurveSet,
    outside: OutsideWork,
    bores_of: Mapping[str, list[BoreOfRod]],
    kept: ClassCalibration | None,
) -> dict[str, RodHistory]:
    histories = {}
    for key, thing in book.things.items():
        if thing.what not in ("rod", "sub"):
            continue
        name = thing.rod_type or (book.sets[thing.set].rod_type if thing.set in book.sets else "")
        rod_type = rod_type_named(book, name)
        if rod_type is None:
            continue
        bores = tuple(bores_of.get(key, ()))
        histories[key] = RodHistory(
            rod_type, outside.of_rod(key, rod_type, bores), bores, curves, thing.cuts,
            class_factors(kept, rod_type, curves),
        )  # fmt: skip
    return histories
