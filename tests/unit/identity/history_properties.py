"""What must hold of any history: checks that give back what does not, for tests and benchmark."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass

from random_histories import RIG, Event, RandomHistory, lives, typed, worked

from rodhand.book.work.assess import Assessment, assess
from rodhand.book.work.box_order import orders_of
from rodhand.book.work.days import last_day_of
from rodhand.book.work.moments import places_alone
from rodhand.book.work.rods_of_bore import rods_of_bore
from rodhand.record.compare import book_as_facts
from rodhand.record.reading_back import read_book

ROUNDING = 1e-9

Less = Callable[[RandomHistory, random.Random], RandomHistory | None]


def turns_lost(assessment: Assessment) -> list[str]:
    """Bores whose rods together did not turn as much as its places."""
    found = []
    for name, work in assessment.works.items():
        by_rod = rods_of_bore(work, assessment.who[name], "", last_day=last_day_of(work.bore))
        rods = sum(did.turns for did in by_rod.values())
        places = sum(did.turns for did in places_alone(work, "").values())
        if abs(rods - places) > ROUNDING * max(places, 1.0):
            found.append(f"{name}: rods {rods}, places {places}")
        if not places > 0.0:
            found.append(f"{name}: no turns at all")
    return found


def arrival_differs(history: RandomHistory, dice: random.Random) -> list[str]:
    """Whether the book hangs on the order in which its entries arrived."""
    entries = typed(history.events)
    shuffled = [*entries, *dice.sample(entries, min(3, len(entries)))]
    dice.shuffle(shuffled)
    return [] if read_book(shuffled) == read_book(entries) else ["another book"]


def typing_differs(history: RandomHistory, dice: random.Random, known: Assessment) -> list[str]:
    """Whether facts or lives hang on when entries were typed, as from paper weeks later."""
    late = list(history.events)
    dice.shuffle(late)
    book = read_book(typed(late))
    if book_as_facts(book) != book_as_facts(known.book):
        return ["other facts"]
    return [] if lives(assess(book, known.today)) == lives(known) else ["other lives"]


def add_a_slip(history: RandomHistory, dice: random.Random) -> RandomHistory | None:
    """Say that some rods may have changed places up to a bore."""
    bores = history.of_kind("bore")
    loads = [e for e in history.of_kind("load") if ".." not in e.payload["things"]]
    if not bores or not loads:
        return None
    bore = dice.choice(bores)
    before = [load for load in loads if load.day < bore.day]
    rods = (before[-1] if before else loads[0]).payload["things"].split(", ")
    if len(rods) < 3:
        return None
    things = ", ".join(dice.sample(rods, dice.randint(2, 3)))
    payload = {"rig": RIG, "bore": bore.payload["bore"], "things": things}
    return history.with_event(Event("less", "slip", payload, bore.day))


def order_forgotten(history: RandomHistory, dice: random.Random) -> RandomHistory | None:
    """Say which rods were loaded and not in which order."""
    known = [e for e in history.of_kind("load") if e.payload["how"] != "set only"]
    return history.changed(dice.choice(known).id, how="set only") if known else None


def load_forgotten(history: RandomHistory, _dice: random.Random) -> RandomHistory | None:
    """Say nothing of the one load there was.

    Forgetting one of several, or one after a bore whose marks were read, is not saying less: the
    book then rests on the older order. Nor is forgetting that the order was not kept.
    """
    loads = history.of_kind("load")
    if len(loads) != 1 or loads[0].payload["how"] == "set only":
        return None
    read = [e for e in history.of_kind("reading") if e.payload.get("rod")]
    if any(each.day < loads[0].day for each in read):
        return None
    return history.without(load.id for load in loads)


def mark_not_read(history: RandomHistory, dice: random.Random) -> RandomHistory | None:
    """Leave out a mark that was read where its rod was expected.

    A mark read elsewhere tells of a slip: without it the book would rest on the order of the rows
    again, which counts as known until a slip is seen.
    """
    read = [e for e in history.of_kind("reading") if e.payload.get("rod")]
    if not read:
        return None
    less = history.changed(dice.choice(read).id, rod="")
    before = orders_of(read_book(typed(history.events)))
    after = orders_of(read_book(typed(less.events)))
    same = all(before[name].keys == after[name].keys for name in before)
    return less if same and before.keys() == after.keys() else None


WAYS: tuple[Less, ...] = (add_a_slip, order_forgotten, load_forgotten, mark_not_read)


def narrowed(known: Assessment, less: Assessment) -> list[str]:
    """Rods whose band got narrower although less was said."""
    found = []
    for key, history in known.histories.items():
        for sure, unsure in zip(
            history.life.sections, less.histories[key].life.sections, strict=True
        ):
            if unsure.low > sure.low * (1 + ROUNDING):
                found.append(f"{key} {sure.section}: low {sure.low} -> {unsure.low}")
            if unsure.high < sure.high * (1 - ROUNDING):
                found.append(f"{key} {sure.section}: high {sure.high} -> {unsure.high}")
    return found


@dataclass(frozen=True)
class Findings:
    """What does not hold of a history, and the way less was said of it; empty for none."""

    faults: tuple[str, ...]
    said_less: str


def findings_of(history: RandomHistory, dice: random.Random) -> Findings:
    """Everything that does not hold of one history, each with the name of its property."""
    known = worked(history)
    found = [f"turns: {each}" for each in turns_lost(known)]
    found += [f"arrival: {each}" for each in arrival_differs(history, dice)]
    found += [f"typing: {each}" for each in typing_differs(history, dice, known)]
    way = dice.choice(WAYS)
    less = way(history, dice)
    if less is not None:
        after = worked(less)
        found += [f"{way.__name__}: {each}" for each in narrowed(known, after)]
        found += [f"{way.__name__}, turns: {each}" for each in turns_lost(after)]
    return Findings(tuple(found), way.__name__ if less is not None else "")
