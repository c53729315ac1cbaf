"""Which rod type a thing is of and which stood in a bore, with the limit in force."""

from __future__ import annotations

from dataclasses import replace

from rodhand.book.work.tables import built_in_rod_types
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.record.book_things import Thing
from rodhand.steel.rod_type import RodType


def type_of_thing(book: Book, thing: Thing) -> RodType | None:
    """Rod type of a thing, its own or its set's; None where nobody said."""
    name = thing.rod_type or (book.sets[thing.set].rod_type if thing.set in book.sets else "")
    return rod_type_named(book, name)


def rod_type_named(book: Book, name: str) -> RodType | None:
    """A rod type of the book, or a built-in one."""
    if name in book.rod_types:
        return book.rod_types[name]
    return built_in_rod_types().get(name.casefold())


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


def in_order_of_work(book: Book) -> list[Bore]:
    """Bores as they were drilled; the record has them so."""
    return list(book.bores.values())


def without_rod_type(book: Book) -> tuple[str, ...]:
    """Bores with a pilot that cannot be worked out: nobody said which rods were in the hole."""
    return tuple(
        bore.name
        for bore in in_order_of_work(book)
        if (pilot := bore.pass_of("pilot")) is not None
        and pilot.readings
        and rod_type_of_bore(book, bore) is None
    )
