"""The insurer's schedule: things by serial and value, and where each is now."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.book.telling import in_name_order
from rodhand.book.views import Figures
from rodhand.book.work.assess import Assessment
from rodhand.book.work.prices import owner_prices
from rodhand.record.book import Book
from rodhand.record.book_things import Thing
from rodhand.record.choices import GONE
from rodhand.units import Figure, Standing

A, C, M = Standing.ASSUMED, Standing.COMPUTED, Standing.MEASURED
RODS = ("rod", "sub")


@dataclass(frozen=True)
class ScheduleRow:
    """One thing with its serial or value. gone: sold, lost or scrapped; figures: value."""

    key: str
    name: str
    what: str
    serial: str
    set: str
    rig: str
    where: str
    since: str
    gone: bool
    figures: Figures


@dataclass(frozen=True)
class ScheduleSet:
    """Rods of one set without a serial or value of their own, and not gone.

    figures: count, price (of one new rod of the type, as entered), value (count times price).
    """

    name: str
    rod_type: str
    rig: str
    bought: str
    figures: Figures


@dataclass(frozen=True)
class ScheduleView:
    """The schedule.

    figures: things, value (of those not gone), gone (value of those gone), unvalued (things not
    gone without a value), rods (of the sets), rods_value.
    """

    as_of: str
    invented: bool
    rows: tuple[ScheduleRow, ...]
    sets: tuple[ScheduleSet, ...]
    figures: Figures


def last_where(book: Book, key: str) -> str:
    """Where a thing was last said to be, with its rig; empty when nobody said."""
    said = [each for each in book.whereabouts if key in each.things]
    return " ".join(filter(None, (said[-1].where, said[-1].rig))) if said else ""


def type_of(assessment: Assessment, thing: Thing) -> str:
    """Name of a thing's rod type as its book spells it; empty for none."""
    found = assessment.rod_type_of(thing)
    return found.name if found else thing.rod_type


def rig_of(book: Book, thing: Thing) -> str:
    """Rig a thing belongs to, or its set does; empty when not said."""
    return thing.rig or (book.sets[thing.set].rig if thing.set in book.sets else "")


def first_set_of(thing: Thing) -> str:
    """Name of the set a thing came in; empty for none."""
    return thing.sets[0].set if thing.sets else thing.set


def bought_typed(assessment: Assessment, name: str) -> str:
    """When a set was bought, as somebody typed it; empty when not said."""
    if name not in assessment.book.sets:
        return ""
    origin = assessment.book.sets[name].origin.entry
    entry = next((each for each in assessment.entries if each.id == origin), None)
    return entry.payload.get("bought", "") if entry else ""


def value_of(assessment: Assessment, thing: Thing, key: str) -> Figure:
    """Value of a thing as entered; for a rod without one the price of a new rod, assumed."""
    if thing.value is not None or thing.what not in RODS:
        return Figure(key, thing.value, "money", M)
    return Figure(key, owner_prices(assessment).rod(type_of(assessment, thing)), "money", A)


def schedule_view(assessment: Assessment) -> ScheduleView:
    """Every thing with a serial or a value, and the other rods by set.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    ScheduleView
        Heads, transmitters, reamers, swivels and saver subs stand in it even where neither serial
        nor value is entered, so that what is missing is seen. Values have no currency: they are
        as typed.
    """
    book = assessment.book
    rows = [
        _row(assessment, thing)
        for thing in book.things.values()
        if thing.serial or thing.value is not None or thing.what not in RODS
    ]
    order = {name: place for place, name in enumerate(in_name_order({r.name for r in rows}))}
    rows.sort(key=lambda row: (row.gone, row.what, order[row.name], row.key))
    sets = tuple(filter(None, (_set(assessment, name) for name in book.sets)))
    here = [row for row in rows if not row.gone]
    unvalued = sum(1 for row in here if row.figures["value"].value is None)
    figures = {
        "things": Figure("schedule.things", float(len(here)), "count", M),
        "value": Figure("schedule.value", _sum(here), "money", C),
        "unvalued": Figure("schedule.unvalued", float(unvalued), "count", M),
        "gone": Figure("schedule.gone", _sum([row for row in rows if row.gone]), "money", C),
        "rods": Figure(
            "schedule.rods", sum(each.figures["count"].value or 0.0 for each in sets), "count", M
        ),
        "rods_value": Figure("schedule.rods_value", _sum(sets), "money", A),
    }
    return ScheduleView(assessment.today, assessment.invented, tuple(rows), sets, figures)


def _sum(rows: list[ScheduleRow] | tuple[ScheduleSet, ...]) -> float | None:
    """Sum of the values that are known; None where none is."""
    known = [value for row in rows if (value := row.figures["value"].value) is not None]
    return sum(known) if known else None


def _row(assessment: Assessment, thing: Thing) -> ScheduleRow:
    book = assessment.book
    said = [each for each in book.whereabouts if thing.key in each.things]
    where = last_where(book, thing.key)
    gone = bool(said) and said[-1].where in GONE
    value = Figure(f"schedule.{thing.key}.value", thing.value, "money", M)
    since = said[-1].origin.happened.start[:10] if said else ""
    return ScheduleRow(
        thing.key, thing.name, thing.what, thing.serial, thing.set, rig_of(book, thing), where,
        since, gone, {"value": value},
    )  # fmt: skip


def _set(assessment: Assessment, name: str) -> ScheduleSet | None:
    book, each = assessment.book, assessment.book.sets[name]
    gone = {
        key
        for said in book.whereabouts
        for key in said.things
        if last_where(book, key).startswith(GONE)
    }
    rods = [
        key
        for key in each.things
        if key not in gone and not book.things[key].serial and book.things[key].value is None
    ]
    if not rods:
        return None
    price = owner_prices(assessment).rod(each.rod_type)
    own, count = f"schedule.set.{name}", float(len(rods))
    figures = {
        "count": Figure(f"{own}.count", count, "count", M),
        "price": Figure(f"{own}.price", price, "money", M),
        "value": Figure(f"{own}.value", None if price is None else count * price, "money", A),
    }
    return ScheduleSet(name, each.rod_type, each.rig, bought_typed(assessment, name), figures)
