"""What stood with a broken or lost thing: sisters, string, things down the hole, steel to keep."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_page import life_figure
from rodhand.book.claim.subject import Incident
from rodhand.book.claim.views import DownHoleRow, SisterRow
from rodhand.book.owner.schedule import RODS, first_set_of, last_where, type_of, value_of
from rodhand.book.tasks.standings import standing_of_thing
from rodhand.book.telling import in_name_order, names_in_words
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.book.work.happenings import saver_sub_on
from rodhand.record.book import Book
from rodhand.record.book_things import Thing
from rodhand.record.marks import fold
from rodhand.units import Figure, Standing
from rodhand.words import say

C, A, M = Standing.COMPUTED, Standing.ASSUMED, Standing.MEASURED
ITSELF, ENTERED, OF_THE_RIG = "itself", "entered", "of_the_rig"
AHEAD, BEHIND = "ahead", "behind"
IN_FRONT = ("head", "transmitter housing", "transmitter", "reamer", "swivel")
"""Kinds of things that stand in front of the rods, where the tool is."""
MOSTLY = 0.5


def bought_of(book: Book, thing: Thing) -> str:
    """First ISO day a thing's first set may have been bought; empty when not said."""
    first = first_set_of(thing)
    return book.sets[first].bought if first in book.sets else ""


# --- sisters -------------------------------------------------------------------------------------


def sisters_of(assessment: Assessment, keys: Sequence[str]) -> tuple[SisterRow, ...]:
    """Rods of the same set, of the same batch, or that went through the same bores, by name.

    Same batch is the same rod type and the same date bought; where either is not entered it is
    unknown, and no rod counts as of the batch. Things that broke or were lost are left out.
    """
    book = assessment.book
    rods = [book.things[key] for key in keys if book.things[key].what in RODS]
    bores = {bore for rod in rods for bore in _bores_of(assessment, rod.key)}
    sets = {rod.set for rod in rods if rod.set}
    batches = {_batch(assessment, rod) for rod in rods} - {None}
    rows = {}
    for key, other in book.things.items():
        if key in keys or other.what not in RODS:
            continue
        common = len(bores & _bores_of(assessment, key))
        how = tuple(
            code
            for code, is_so in (
                ("set", other.set in sets),
                ("batch", _batch(assessment, other) in batches),
                ("bores", bool(common)),
            )
            if is_so
        )
        if how:
            rows[other.name, key] = _sister(assessment, other, how, common)
    order = {name: place for place, name in enumerate(in_name_order({n for n, _ in rows}))}
    return tuple(rows[both] for both in sorted(rows, key=lambda both: (order[both[0]], both[1])))


def _bores_of(assessment: Assessment, key: str) -> set[str]:
    history = assessment.histories.get(key)
    return {did.bore for did in history.bores} if history else set()


def _batch(assessment: Assessment, thing: Thing) -> tuple[str, str] | None:
    bought, rod_type = bought_of(assessment.book, thing), type_of(assessment, thing)
    return (fold(rod_type), bought[:10]) if bought and rod_type else None


def _sister(assessment: Assessment, other: Thing, how: tuple[str, ...], common: int) -> SisterRow:
    name = f"claim.sister.{other.key}"
    figures = {"bores_in_common": Figure(f"{name}.bores", float(common), "count", C)}
    history = assessment.histories.get(other.key)
    if history is not None:
        life = history.life.worst
        standing = A if life.assumed > MOSTLY else C
        figures["life_used"] = life_figure(f"{name}.life_used", life, standing)
    looks = assessment.looks.get(other.key, ())
    return SisterRow(
        other.key,
        other.name,
        other.set,
        how,
        last_where(assessment.book, other.key),
        standing_of_thing(assessment, other.key)[0],
        max((look.when for look in looks), default=""),
        figures,
    )


# --- the string ----------------------------------------------------------------------------------


def place_in(assessment: Assessment, bore: str, key: str) -> tuple[int | None, bool]:
    """Place of a thing in a bore's string, and whether it rests on the load's order alone.

    A thing entered as broken in a bore was in its string, even where its whereabouts of the same
    day already have it gone.
    """
    who = assessment.who.get(bore)
    group = next((g for g in who.groups if key in g.rods), None) if who else None
    if group is not None and len(group.places) == 1 and len(group.rods) == 1:
        return group.places[0], False
    load = assessment.book.bores[bore].load if bore in assessment.book.bores else None
    if group is None and load is not None and load.how != "set only" and key in load.things:
        return load.things.index(key) + 1, True
    return None, False


def string_told(assessment: Assessment, incident: Incident) -> tuple[Sentence, ...]:
    """Which rods stood on which side of the thing that broke or was lost, as far as is known."""
    who = assessment.who.get(incident.bore)
    if who is None or not incident.thing:
        return ()
    place, by_load = place_in(assessment, incident.bore, incident.thing)
    if place is None:
        return (Sentence("claim.string.place_unknown", {"bore": incident.bore}),)
    last = int(incident.station) if incident.station is not None else None
    sides: dict[str, list[str]] = {AHEAD: [], BEHIND: []}
    for group in who.groups:
        for number, at in enumerate(group.places):
            alone = len(group.rods) == 1 and group.rods[0] in assessment.book.things
            named = assessment.book.things[group.rods[0]].name if alone else ""
            if at != place and (last is None or at <= last):
                text = named or say("claim.place_only", place=group.places[number])
                sides[AHEAD if at < place else BEHIND].append(text)
    key = "claim.string.by_load" if by_load else "claim.string.place"
    told = [
        Sentence(
            key,
            {
                "thing": assessment.book.things[incident.thing].name,
                "bore": incident.bore,
                "place": Figure("claim.string.place", float(place), "count", A if by_load else C),
            },
        )
    ]
    if last is None:
        told.append(Sentence("claim.string.station_unknown"))
    for side, names in sides.items():
        told.append(
            Sentence(
                f"claim.string.{side}",
                {
                    "count": Figure(f"claim.string.{side}", float(len(names)), "count", C),
                    "things": names_in_words(in_name_order(names)),
                },
            )
        )
    return tuple(told)


def neighbours_of(assessment: Assessment, incident: Incident) -> tuple[str, ...]:
    """Names of the rods made up to a thing's two ends in the bore it broke in."""
    who = assessment.who.get(incident.bore)
    place, _ = place_in(assessment, incident.bore, incident.thing) if who else (None, False)
    if who is None or place is None:
        return ()
    found = [
        assessment.book.things[group.rods[0]].name
        for group in who.groups
        if len(group.rods) == 1
        and group.rods[0] in assessment.book.things
        and any(abs(at - place) == 1 for at in group.places)
    ]
    return in_name_order(found)


# --- things down the hole ------------------------------------------------------------------------


def down_hole(
    assessment: Assessment, bores: Sequence[str], incidents: Sequence[Incident], day: str
) -> tuple[DownHoleRow, ...]:
    """Things by serial and value that were in the string, and those of the rig that may have been.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    bores : sequence of str
        Bores the break or loss happened in.
    incidents : sequence of Incident
        What happened; its things come first.
    day : str
        ISO day of it; empty when unknown.
    """
    book = assessment.book
    known = {each.thing: ITSELF for each in incidents if each.thing}
    for name in bores:
        bore = book.bores.get(name)
        if bore is None:
            continue
        tools = [bore.head, *(each.tool for each in bore.passes)]
        for tool in filter(None, tools):
            thing = book.thing_named(tool, day or day_of(bore.origin.happened.start))
            if thing is not None:
                known.setdefault(thing.key, ENTERED)
        sub = saver_sub_on(assessment, bore.rig, day) if day else None
        if sub is not None:
            known.setdefault(sub.key, OF_THE_RIG)
        for key, thing in book.things.items():
            if thing.rig == bore.rig and thing.what in IN_FRONT:
                known.setdefault(key, OF_THE_RIG)
    return tuple(_item(assessment, key, how) for key, how in known.items())


def _item(assessment: Assessment, key: str, known: str) -> DownHoleRow:
    thing = assessment.book.things[key]
    value = value_of(assessment, thing, f"claim.item.{key}.value")
    where = last_where(assessment.book, key)
    return DownHoleRow(key, thing.name, thing.what, thing.serial, known, where, {"value": value})


# --- steel to keep -------------------------------------------------------------------------------


def steel_to_keep(
    assessment: Assessment, incidents: Sequence[Incident], day: str
) -> tuple[Sentence, ...]:
    """What to keep unwashed and unsawn, with where the book has it now."""
    told = [Sentence("claim.keep.how")]
    seen: set[str] = set()
    for each in incidents:
        if not each.thing or each.thing in seen:
            continue
        seen.add(each.thing)
        name = assessment.book.things[each.thing].name
        kind = "broken" if each.what == "break" else "lost"
        where = last_where(assessment.book, each.thing) or say("number.unknown")
        told.append(Sentence(f"claim.keep.{kind}", {"thing": name, "where": where}))
        told += _its_mates(assessment, each, name)
        told += _the_sub(assessment, each, day)
    if not seen:
        told.append(Sentence("claim.keep.unnamed"))
    return (*told, Sentence("claim.keep.rest"))


def _its_mates(assessment: Assessment, incident: Incident, name: str) -> Iterable[Sentence]:
    mates = neighbours_of(assessment, incident)
    if mates:
        yield Sentence("claim.keep.mates", {"mates": names_in_words(mates), "thing": name})
    else:
        yield Sentence("claim.keep.mates_unknown", {"thing": name})


def _the_sub(assessment: Assessment, incident: Incident, day: str) -> Iterable[Sentence]:
    bore = assessment.book.bores.get(incident.bore)
    sub = saver_sub_on(assessment, bore.rig, day) if bore is not None and day else None
    if sub is not None:
        yield Sentence("claim.keep.sub", {"sub": sub.name})
