"""A book worked through: every bore's ledger and every rod's history, from the journal alone."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from rodhand.advice.looks import Dressed, FoundWord, Look, words_in
from rodhand.advice.rules import Rule, Thresholds, rules_from_rows
from rodhand.advice.settings import OwnSettings, own_settings, setting_fault
from rodhand.book.work.bore_work import BoreWork, ConditionOf, Front, work_bore
from rodhand.book.work.bows import BowSeen, bow_on, bows_of
from rodhand.book.work.box_order import BoxOrder, order_of, orders_of
from rodhand.book.work.class_factors import calibration_in_force, class_factors
from rodhand.book.work.lives import BoreOfRod, RodHistory, rods_of_bore
from rodhand.book.work.old_holes import bore_of_old, old_hole_name
from rodhand.book.work.outside import OutsideWork
from rodhand.book.work.pass_work import Habits
from rodhand.book.work.shoulder_work import with_open_shoulders
from rodhand.book.work.stays import Stays, is_away, rods_of_rig, stay_before, stays_of
from rodhand.book.work.tables import built_in_rod_types, data_rows, fatigue_curves
from rodhand.book.work.who import NOBODY, WhoInBore, who_in_bore
from rodhand.drillstring.meetings import PinToward
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore, BorePass, OldHole
from rodhand.record.book_looks import Check, ClassCalibration, Setting
from rodhand.record.book_things import Rig, Thing
from rodhand.record.entry import Entry
from rodhand.record.moment import order_text
from rodhand.record.origin import Origin
from rodhand.steel.rod_type import RodType
from rodhand.wear.life_used import ClassFactor
from rodhand.wear.sections import BITE_FACTOR, Condition, CurveSet, MakeUp

NO_CONDITION = Condition()


def default_curves() -> CurveSet:
    """The fatigue curves in force: settings to calibrate, with their standing in docs/theory."""
    curves = fatigue_curves()
    return CurveSet(
        tube=curves["dnv_rp_c203_base_metal.high_strength"],
        weld=curves["dnv_rp_c203_air.C"],
        thread=curves["en_1993_1_9.category_50"],
    )


def default_rules() -> dict[str, Rule]:
    """The rule table that comes with the program."""
    return rules_from_rows(data_rows("rules.csv"))


def default_words() -> tuple[FoundWord, ...]:
    """What the words of a look mean."""
    return tuple(
        FoundWord(row["words"], row["finding"], row["standing"], row["cleared_by"])
        for row in data_rows("found_words.csv")
    )


def day_of(moment_start: str) -> str:
    """ISO day of a moment; an unknown one sorts before all."""
    return moment_start[:10]


def origins_of(bore: Bore) -> tuple[Origin, ...]:
    """Where everything recorded of a bore's work came from."""
    passes = [each.origin for each in bore.passes if each.origin is not None]
    rows = [row.origin for each in bore.passes for row in each.readings]
    olds = [old for each in bore.passes for old in each.old_holes]
    left = [old.origin for old in olds if old.origin is not None]
    left += [row.origin for old in olds for row in old.abandoned]
    return (bore.origin, *passes, *rows, *left)


def last_day_of(bore: Bore) -> str:
    """The last ISO day a bore may have been worked on; empty when that is not known."""
    days = [origin.happened.end for origin in origins_of(bore)]
    return day_of(max(days)) if all(days) else ""


@dataclass(frozen=True)
class Bite:
    """A jaw bite on a tube: ISO day it was seen ('' unknown) and was dressed ('' not yet)."""

    seen: str
    dressed: str

    def is_there(self, day: str) -> bool:
        """Whether the tube turned with it on a day; on a day nobody knows, it did."""
        return not day or (self.seen <= day and (not self.dressed or self.dressed > day))


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


def type_of_thing(book: Book, thing: Thing) -> RodType | None:
    """Rod type of a thing, its own or its set's; None where nobody said."""
    name = thing.rod_type or (book.sets[thing.set].rod_type if thing.set in book.sets else "")
    return rod_type_named(book, name)


def rod_type_named(book: Book, name: str) -> RodType | None:
    """A rod type of the book, or a built-in one."""
    if name in book.rod_types:
        return book.rod_types[name]
    return built_in_rod_types().get(name.casefold())


def _own_past(book: Book) -> dict[str, Habits]:
    """Turns per metre of each rig's own past, where turns were counted or timed."""
    sums: dict[tuple[str, bool], tuple[float, float]] = {}
    for bore in book.bores.values():
        lengths = _lengths_by_station(book, bore)
        for each in bore.passes:
            turns, length = _counted(each, lengths)
            if length > 0.0:
                key = bore.rig, each.what in ("pilot", "push-ream")
                before = sums.get(key, (0.0, 0.0))
                sums[key] = before[0] + turns, before[1] + length
    rigs = {rig for rig, _ in sums}
    rates = {key: turns / length for key, (turns, length) in sums.items()}
    return {
        rig: Habits(pilot_per_metre=rates.get((rig, True)), pull_per_metre=rates.get((rig, False)))
        for rig in rigs
    }


def _lengths_by_station(book: Book, bore: Bore) -> dict[float, float]:
    """Length drilled to each station of a pilot: the row's, else that of the rod type. [m]"""
    pilot, rod_type = bore.pass_of("pilot"), rod_type_of_bore(book, bore)
    usual = rod_type.length if rod_type else None
    found = {}
    for row in pilot.readings if pilot else ():
        length = row.length if row.length is not None else usual
        if row.station == int(row.station) and length is not None:
            found[row.station] = length
    return found


def _counted(each: BorePass, lengths: Mapping[float, float]) -> tuple[float, float]:
    """Turns and metres of a pass whose turns were counted or timed, by row or as a whole."""
    if not each.readings:
        whole = _turns_said(each.turns, each.rpm, each.rotating_time)
        if whole is None or each.from_station is not None or each.to_station is not None:
            return 0.0, 0.0
        return whole, sum(lengths.values())
    turns = length = 0.0
    for row in each.readings:
        said = _turns_said(row.turns, row.rpm, row.rotating_time)
        if said is not None and row.station in lengths:
            turns += said
            length += lengths[row.station]
    return turns, length


def _turns_said(turns: float | None, rpm: float | None, time: float | None) -> float | None:
    """Turns counted, or speed [1/min] times time [s]; None when neither is on record."""
    if turns is None and rpm is not None and time is not None:
        return rpm / 60.0 * time
    return turns


def habits_of(book: Book) -> dict[str, Habits]:
    """What is usual on each rig: its speeds, and its turns per metre where it has a past."""
    past = _own_past(book)
    return {
        name: Habits(
            pilot_speed=rig.pilot_rpm / 60.0 if rig.pilot_rpm else None,
            pull_speed=rig.pull_rpm / 60.0 if rig.pull_rpm else None,
            pilot_per_metre=past[name].pilot_per_metre if name in past else None,
            pull_per_metre=past[name].pull_per_metre if name in past else None,
        )
        for name, rig in book.rigs.items()
    }


def front_of(book: Book, bore: Bore) -> Front:
    """Front assembly of a bore: its own figures first, then the head's."""
    day = day_of(bore.origin.happened.start)
    head = book.thing_named(bore.head, day) if bore.head else None
    return Front(
        name=head.name_on(day) if head else bore.head,
        length=bore.front_length
        if bore.front_length is not None
        else head.length
        if head
        else None,
        bit_to_sensor=(
            bore.bit_to_sensor
            if bore.bit_to_sensor is not None
            else head.bit_to_sensor
            if head
            else None
        ),
        limit_radius=head.limit_radius if head else None,
    )


def limit_for(book: Book, name: str, bore: Bore) -> float | None:
    """Smallest bend radius a rod type's limit allows in a bore; None when given once or never. [m]

    The limit in force when the bore was drilled, or a stricter one given since: a new limit can
    find fault with an old bore, and never forgives one.
    """
    given = book.limits.get(name, ())
    if len(given) < 2:
        return None
    before = [each for each in given if each.origin.at <= bore.origin.at]
    in_force = before[-1] if before else given[0]
    since = given[given.index(in_force) + 1 :]
    return max(in_force.radius, *(each.radius for each in since), 0.0)


def rod_type_of_bore(book: Book, bore: Bore) -> RodType | None:
    """Rod type of the rods loaded, the rig's, or that of all its sets, with the bore's limit."""
    rod_type = _rod_type_loaded(book, bore)
    limit = limit_for(book, rod_type.name, bore) if rod_type else None
    return replace(rod_type, limit_radius=limit) if rod_type and limit else rod_type


def _rod_type_loaded(book: Book, bore: Bore) -> RodType | None:
    for key in bore.load.things if bore.load else ():
        thing = book.things.get(key)
        if thing and (thing.rod_type or thing.set in book.sets):
            name = thing.rod_type or book.sets[thing.set].rod_type
            return rod_type_named(book, name)
    rig = book.rigs.get(bore.rig)
    if rig and rig.rod_type:
        return rod_type_named(book, rig.rod_type)
    on_rig = {each.rod_type for each in book.sets.values() if rig and each.rig == bore.rig}
    return rod_type_named(book, on_rig.pop()) if len(on_rig) == 1 else None


def without_rod_type(book: Book) -> tuple[str, ...]:
    """Bores with a pilot that cannot be worked out: nobody said which rods were in the hole."""
    return tuple(
        bore.name
        for bore in in_order_of_work(book)
        if (pilot := bore.pass_of("pilot")) is not None
        and pilot.readings
        and rod_type_of_bore(book, bore) is None
    )


def _pin_toward(rig: Rig | None) -> PinToward:
    return "rig" if rig is not None and rig.pin_toward == "rig" else "head"


BITE_GONE = ("bite blended", "re-cut", "replaced")


def _bitten(book: Book, words: tuple[FoundWord, ...]) -> dict[str, tuple[Bite, ...]]:
    """Jaw bites on the tube of each thing, oldest first; see `Bite`."""
    seen: dict[str, set[str]] = {}
    for check in book.checks:
        if any(word.finding == "jaw bite" for word in words_in(check.found, words)):
            for key in check.things:
                seen.setdefault(key, set()).add(day_of(check.origin.happened.start))
    gone: dict[str, list[str]] = {}
    for each in book.dressings:
        if each.what in BITE_GONE:
            for key in each.things:
                gone.setdefault(key, []).append(day_of(each.origin.happened.start))
    found: dict[str, tuple[Bite, ...]] = {}
    for key, days in seen.items():
        bites: list[Bite] = []
        for day in sorted(days):
            dressed = min((each for each in gone.get(key, ()) if each >= day > ""), default="")
            if not bites or (bites[-1].dressed and bites[-1].dressed < day):
                bites.append(Bite(day, dressed))
        found[key] = tuple(bites)
    return found


def _condition_of(
    who: WhoInBore,
    bore: Bore,
    bitten: Mapping[str, tuple[Bite, ...]],
    bowed: Mapping[str, tuple[BowSeen, ...]],
    pin_toward: PinToward,
) -> ConditionOf:
    """Condition of each member of a bore's string."""
    day = day_of(bore.origin.happened.start)
    recorded = any(row.makeup is not None for each in bore.passes for row in each.readings)
    told = {
        station
        for run in bore.makeups
        if (run.share is not None or run.torque is not None) and run.pass_name in ("", "pilot")
        for station in range(int(run.from_station), int(run.to_station) + 1)
    }
    toward_head = pin_toward == "head"

    def made_up(station: int | None) -> MakeUp:
        return MakeUp.KNOWN if recorded or station in told else MakeUp.UNKNOWN

    def has_bite(key: str) -> bool:
        return any(bite.is_there(day) for bite in bitten.get(key, ()))

    def condition(key: str) -> Condition:
        rods: tuple[str, ...] = (key,)
        place = int(key.removeprefix("place ")) if key.startswith("place ") else None
        if place is not None:
            stood = [group.rods for group in who.groups if place in group.places]
            rods = stood[0] if stood else ()  # only a hole left behind was so long
        # the joint away from the rig was made when the rod went on, the other with the next rod
        ends = made_up(place), made_up(place + 1 if place is not None else None)
        pin, box = ends if toward_head else ends[::-1]
        bow = max((bow_on(bowed.get(rod, ()), day) for rod in rods), default=0.0)
        return Condition(any(has_bite(rod) for rod in rods), pin, box, bow)

    return condition


def who_in_old(book: Book, stays: Stays, bore: Bore, old: OldHole) -> WhoInBore:
    """Who stood where in a hole left behind: as in the bore but where marks read there differ."""
    its = bore_of_old(bore, old)
    as_it_was = replace(book, bores={**book.bores, bore.name: its})
    order = without_the_away(as_it_was, stays, its, order_of(as_it_was, its))
    places = int(max((row.station for row in old.rows), default=0))
    return who_in_bore(order, places, rods_of_rig(book, stays, its))


def _lengths(book: Book, who: WhoInBore, places: int, day: str) -> list[float | None]:
    """Length of each place's rod in force on the bore's day, where one rod stood there. [m]"""
    found: list[float | None] = [None] * places
    for group in who.groups:
        if len(group.rods) == 1 and group.rods[0] in book.things:
            found[group.places[0] - 1] = book.things[group.rods[0]].length_on(day)
    return found


def in_order_of_work(book: Book) -> list[Bore]:
    """Bores as they were drilled; the record has them so."""
    return list(book.bores.values())


@dataclass(frozen=True, eq=False)
class _Around:
    """What the work of one bore needs of the book around it."""

    book: Book
    curves: CurveSet
    habits: Mapping[str, Habits]
    bitten: Mapping[str, tuple[Bite, ...]]
    bowed: Mapping[str, tuple[BowSeen, ...]]
    stays: Stays
    orders: Mapping[str, BoxOrder]


@dataclass(frozen=True, eq=False)
class BoreDone:
    """One bore worked through: who stood where, and what it did to each rod the book knows.

    ``work`` is None where there is no full row.
    """

    who: WhoInBore
    condition_of: ConditionOf
    work: BoreWork | None
    rods: Mapping[str, BoreOfRod]


def _bore_done(around: _Around, bore: Bore) -> BoreDone | None:
    """Work one bore through; None where its rods or its pilot are not known."""
    book, curves = around.book, around.curves
    rod_type = rod_type_of_bore(book, bore)
    pilot = bore.pass_of("pilot")
    if rod_type is None or pilot is None or not pilot.readings:
        return None
    places = int(max(row.station for row in pilot.readings))
    happened = day_of(bore.origin.happened.start)
    order = without_the_away(book, around.stays, bore, around.orders[bore.name])
    who = who_in_bore(order, places, rods_of_rig(book, around.stays, bore))
    pin_toward = _pin_toward(book.rigs.get(bore.rig))
    condition_of = _condition_of(who, bore, around.bitten, around.bowed, pin_toward)

    def condition_of_old(old: OldHole) -> ConditionOf:
        its = bore_of_old(bore, old)
        there = who_in_old(book, around.stays, bore, old)
        return _condition_of(there, its, around.bitten, around.bowed, pin_toward)

    work = work_bore(
        bore, rod_type, curves, front_of(book, bore), around.habits.get(bore.rig, Habits()),
        condition_of, pin_toward, lengths=_lengths(book, who, places, happened),
        condition_of_old=condition_of_old,
    )  # fmt: skip
    if work is None:
        return BoreDone(who, condition_of, None, {})
    comparisons = tuple(book.comparisons)
    left = {old_hole_name(old): old for old in pilot.old_holes}
    olds = [left[each.bore.passes[0].name] for each in work.old_holes]
    opened = tuple(
        with_open_shoulders(each, comparisons, curves, condition_of_old(old))
        for each, old in zip(work.old_holes, olds, strict=True)
    )
    work = with_open_shoulders(work, comparisons, curves, condition_of)
    work = replace(work, old_holes=opened)
    with_bite = {
        key
        for key, bites in around.bitten.items()
        if any(bite.is_there(happened) for bite in bites)
    }
    raised = BITE_FACTOR**curves.tube.slope
    did = rods_of_bore(
        work, who, happened, with_bite, raised, last_day_of(bore),
        [who_in_old(book, around.stays, bore, old) for old in olds],
    )  # fmt: skip
    known = {key: each for key, each in did.items() if not key.startswith(NOBODY)}
    return BoreDone(who, condition_of, work, known)


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
    around = _Around(
        book, assessment.curves, assessment.habits, assessment.bitten, bows_of(book),
        assessment.stays, orders_of(book),
    )  # fmt: skip
    return _bore_done(around, bore)


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
    bitten, stays, orders = _bitten(book, words), stays_of(book), orders_of(book)
    around = _Around(book, curves, habits, bitten, bows_of(book), stays, orders)
    works: dict[str, BoreWork] = {}
    who: dict[str, WhoInBore] = {}
    conditions: dict[str, ConditionOf] = {}
    bores_of: dict[str, list[BoreOfRod]] = {}
    for number, bore in enumerate(in_order_of_work(book)):
        if only is not None and bore.name not in only:
            continue
        if told is not None:
            told(number, len(book.bores))
        done = _bore_done(around, bore)
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


def without_the_away(book: Book, stays: Stays, bore: Bore, order: BoxOrder) -> BoxOrder:
    """The order of a bore without rods said to be away, unless they were seen in it since."""
    since = bore.load.origin.at if bore.load else ""

    def stands(key: str | None) -> bool:
        if key is None or key in order.read.values():
            return True
        stay = stay_before(stays, key, bore)
        return stay is None or stay.at <= since or not is_away(book, stay)

    if all(stands(key) for key in order.keys):
        return order
    # Who may have changed places with a rod that is away may stand in its place: nobody knows.
    lost = {key for doubt in order.doubts if not all(map(stands, doubt)) for key in doubt}
    lost -= {*order.read.values()}
    keys = tuple(key if stands(key) and key not in lost else None for key in order.keys)
    return replace(order, keys=keys, doubts=tuple(d for d in order.doubts if all(map(stands, d))))


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


def settings_in_force(book: Book, today: str) -> OwnSettings:
    """The owner's settings that hold on a day; see `settings_begun`."""
    begun = settings_begun(book, today)
    return own_settings({name: each.value for name, each in begun.items()}, default_rules())


def settings_begun(book: Book, today: str) -> dict[str, Setting]:
    """The last setting of each name that can be used and has begun by a day.

    An invented book is read as of its own last week; whatever was set since holds at once.
    """
    rules, all_of_it = default_rules(), is_invented(book)
    return {
        setting.name: setting
        for setting in book.settings
        if (all_of_it or day_of(setting.origin.happened.start) <= today[:10])
        and not setting_fault(setting.name, setting.value, rules)
    }


def is_invented(book: Book) -> bool:
    """Whether a book says of itself that it is invented: a rig's note does."""
    return any(rig.note.casefold() == "invented" for rig in book.rigs.values())


def newest_day(book: Book) -> str:
    """Day of the newest thing that happened in the book."""
    days = [bore.origin.happened.start for bore in book.bores.values()]
    days += [check.origin.happened.start for check in book.checks]
    days += [each.origin.happened.start for each in book.breaks]
    days += [each.origin.happened.start for each in book.comparisons]
    return day_of(max(days, default=""))
