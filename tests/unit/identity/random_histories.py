"""Random short histories of one rig: bores, loads, slips, marks, re-cuts, lending, sets, strikes.

Every event has a day of its own, so that nothing hangs on the order of typing. What a history
says is always possible: nobody loads a rod that is away, and no mark is on two things at once.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from book_builder import ROD_TYPE
from rodhand.book.work.assess import Assessment, assess
from rodhand.record.entry import Chain, Draft, Entry
from rodhand.record.reading_back import read_book

RIG = "Rig-40"
FIRST_DAY = date(2025, 1, 1)
TODAY = "2026-06-30"
PITCHES = ("-20", "-14", "-6", "-1", "0.5", "3", "-9", "2")


@dataclass(frozen=True)
class Event:
    """One entry to be typed, with an id that does not hang on when it is typed."""

    id: str
    kind: str
    payload: Mapping[str, str]
    day: str


@dataclass(frozen=True)
class RandomHistory:
    """Events in the order they happened."""

    events: tuple[Event, ...]

    def of_kind(self, kind: str) -> list[Event]:
        """Events of one kind, in order."""
        return [event for event in self.events if event.kind == kind]

    def changed(self, id: str, **payload: str) -> RandomHistory:
        """The same history with columns of one event changed; an empty text takes one out."""
        return RandomHistory(
            tuple(
                replace(
                    event,
                    payload={k: v for k, v in {**event.payload, **payload}.items() if v},
                )
                if event.id == id
                else event
                for event in self.events
            )
        )

    def without(self, ids: Iterable[str]) -> RandomHistory:
        """The same history without some events, and without strikes of them."""
        gone = set(ids)
        return RandomHistory(
            tuple(
                event
                for event in self.events
                if event.id not in gone and event.payload.get("entry") not in gone
            )
        )

    def with_event(self, event: Event) -> RandomHistory:
        """The same history with one more event."""
        return RandomHistory((*self.events, event))


def typed(events: Sequence[Event], device: str = "tablet-1") -> list[Entry]:
    """Entries typed in the order given on one device."""
    chain = Chain(device)
    return [
        chain.add(
            Draft(event.kind, event.payload, event.day, "+00:00", "p1"),
            entered="2026-01-01T12:00:00+00:00",
            id=event.id,
        )
        for event in events
    ]


def worked(history: RandomHistory) -> Assessment:
    """The book of a history, worked through."""
    return assess(read_book(typed(history.events)), TODAY)


def lives(assessment: Assessment) -> dict[str, tuple[tuple[float, ...], ...]]:
    """Every rod's life used, section by section, with metres and known share."""
    return {
        key: (
            *((s.low, s.best, s.high, s.design) for s in history.life.sections),
            (history.metres, history.known_share),
        )
        for key, history in assessment.histories.items()
    }


class _Teller:
    """Makes up one history, keeping account of what is where."""

    def __init__(self, dice: random.Random) -> None:
        self.dice = dice
        self.events: list[Event] = []
        self.day = FIRST_DAY
        self.count = dice.randint(7, 12)
        self.names = [f"M1-{n:02d}" for n in range(1, self.count + 1)]
        self.away: dict[str, str] = {}
        self.free_marks: list[str] = []
        self.box: list[str] = []
        self.bores: list[tuple[str, int]] = []
        self.new_marks = 0
        self.sets = ["S1"]

    def tell(self, kind: str, day: str = "", **payload: str) -> Event:
        if not day:
            self.day += timedelta(self.dice.randint(1, 4))
            day = self.day.isoformat()
        event = Event(f"e{len(self.events)}", kind, {k: v for k, v in payload.items() if v}, day)
        self.events.append(event)
        return event

    def begin(self) -> None:
        self.tell("rod-type", **ROD_TYPE)
        self.tell("rig", rig=RIG, rod_type="R-M", pin_toward=self.dice.choice(["head", "rig"]))
        self.tell("set", set="S1", rod_type="R-M", count=str(self.count), marks_start="M1-01",
                  rig=RIG)  # fmt: skip
        if self.dice.random() < 0.3:
            order = self.dice.choice(["same", "turned", "unknown"])
            self.tell("past", set="S1", rotating_h="300", order=order)

    def here(self) -> list[str]:
        return [name for name in self.names if name not in self.away]

    def load(self) -> None:
        rods = self.here()
        self.dice.shuffle(rods)
        self.box = rods[: self.dice.randint(max(3, len(rods) - 3), len(rods))]
        how = self.dice.choice(["by row", "by row", "marked", "set only"])
        self.tell("load", rig=RIG, things=", ".join(self.box), how=how)

    def bore(self) -> None:
        name = f"B{len(self.bores) + 1}"
        rods = self.dice.randint(3, 6)
        self.tell("bore", bore=name, rig=RIG)
        day = self.day.isoformat()
        reads = self._reads(rods)
        for station in range(1, rods + 1):
            self.tell(
                "reading", day, bore=name, station=str(station), length_ft="10",
                pitch_pct=self.dice.choice(PITCHES), rod=reads.get(station, ""),
                rotating_min=self.dice.choice(["4", "10", ""]), rpm=self.dice.choice(["100", ""]),
            )  # fmt: skip
        if self.dice.random() < 0.6:
            off = self.dice.choice(["", "1"])
            self.tell("pass", day, **{"bore": name, "pass": "pullback", "what": "pullback",
                      "turns": "2500", "lead_rods_off": off})  # fmt: skip
        self.bores.append((name, rods))

    def _reads(self, rods: int) -> dict[int, str]:
        """Marks somebody read: none, some, all, or some found where another was expected."""
        order = [name for name in self.box if name not in self.away]
        if self.dice.random() < 0.25 and len(order) > 2:
            one, two = self.dice.sample(range(min(len(order), rods)), 2)
            order[one], order[two] = order[two], order[one]
        share = self.dice.choice([0.0, 0.0, 0.4, 1.0])
        return {
            place: name for place, name in enumerate(order[:rods], 1) if self.dice.random() < share
        }

    def slip(self) -> None:
        rods = self.here()
        if not self.bores or len(rods) < 3:
            return
        seen = self.dice.sample(rods, self.dice.randint(2, 3))
        self.tell("slip", rig=RIG, bore=self.dice.choice(self.bores)[0], things=", ".join(seen))

    def mark(self) -> None:
        name = self.dice.choice(self.here() or self.names)
        if self.free_marks and self.dice.random() < 0.5:
            new = self.free_marks.pop()
        else:
            self.new_marks += 1
            new = f"N-{self.new_marks:02d}"
            self.free_marks.append(name)
        self.tell("mark", thing=name, mark=new)
        self.names[self.names.index(name)] = new
        self.box = [new if each == name else each for each in self.box]
        if name in self.away:
            self.away[new] = self.away.pop(name)

    def recut(self) -> None:
        name = self.dice.choice(self.names)
        end = self.dice.choice(["pin", "box", "whole", ""])
        self.tell("dressing", things=name, what="re-cut", end=end,
                  new_length_ft=self.dice.choice(["9.9", "9.8", ""]))  # fmt: skip

    def bite(self) -> None:
        name = self.dice.choice(self.names)
        if self.dice.random() < 0.5:
            self.tell("check", things=name, item="full-look", found="jaw bite")
        else:
            self.tell("dressing", things=name, what="bite blended")

    def goes(self) -> None:
        rods = self.here()
        if len(rods) < 6:
            return
        name = self.dice.choice(rods)
        where = self.dice.choice(
            ["lent", "lent", "sold", "lost in hole", "scrapped", "at the shop", "not known",
             "rented in", "sub-contractor's", "on another rig"]
        )  # fmt: skip
        self.tell("whereabouts", things=name, where=where)
        if where not in ("rented in", "sub-contractor's"):
            self.away[name] = where

    def comes_back(self) -> None:
        back = [name for name, where in self.away.items() if where != "scrapped"]
        if back:
            name = self.dice.choice(back)
            where = "found" if self.away[name] == "lost in hole" else "row"
            self.tell("whereabouts", things=name, where=where)
            del self.away[name]

    def new_rod(self) -> None:
        """A new rod that carries the mark of one that is gone."""
        gone = [n for n, where in self.away.items() if where in ("scrapped",)]
        if gone:
            name = self.dice.choice(gone)
            self.tell("thing", thing=name, what="rod", set=self.dice.choice(self.sets),
                      rod_type="R-M", rig=RIG)  # fmt: skip
            del self.away[name]

    def move_sets(self) -> None:
        if len(self.sets) == 1:
            self.tell("set", set="S2", rod_type="R-M", count="0", rig=RIG)
            self.sets.append("S2")
        moved = self.dice.sample(self.names, self.dice.randint(1, 3))
        self.tell("membership", things=", ".join(moved), set=self.dice.choice(self.sets))

    def strike(self) -> None:
        """Strike something; a row of a log is entered again, mostly without the mark.

        Nothing is struck twice: two rows entered for one would stand in the order of typing.
        """
        struck = {e.payload["entry"] for e in self.events if e.kind == "strike"}
        kinds = ("load", "slip", "check", "pass", "reading")
        free = [e for e in self.events if e.kind in kinds and e.id not in struck]
        if free:
            wrong = self.dice.choice(free)
            self.tell("strike", entry=wrong.id, why="typed wrong")
            if wrong.kind == "reading":
                right = {**wrong.payload, "pitch_pct": self.dice.choice(PITCHES)}
                if self.dice.random() < 0.7:
                    right.pop("rod", None)
                self.tell("reading", wrong.day, **right)


STEPS = (
    ("bore", 5), ("load", 3), ("slip", 2), ("mark", 1), ("recut", 1), ("bite", 1), ("goes", 2),
    ("comes_back", 2), ("new_rod", 1), ("move_sets", 1), ("strike", 1),
)  # fmt: skip


def random_history(dice: random.Random, steps: int = 14) -> RandomHistory:
    """Make up one history of so many steps after the yard is set up."""
    teller = _Teller(dice)
    teller.begin()
    names, weights = zip(*STEPS, strict=True)
    for name in dice.choices(names, weights, k=steps):
        getattr(teller, name)()
    if not teller.bores:
        teller.bore()
    return RandomHistory(tuple(teller.events))
