"""What a set's new owner is given: each rod's work as this book has it, in one file with its hash.

The file is read by `rodhand.book.owner.handover_taken`; what it says is assumed there.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rodhand import __version__
from rodhand.book.bore.bore_page import life_figure
from rodhand.book.opening import open_assessment
from rodhand.book.tasks.standings import standing_of_thing
from rodhand.book.work.assess import Assessment
from rodhand.book.work.rod_history import RodHistory
from rodhand.book.work.stays import stay_on
from rodhand.faults import BadInputError, CannotReadError, Fault
from rodhand.record.book_things import RodSet, Thing
from rodhand.record.choices import FORMER_SECTIONS
from rodhand.record.kept_open import journal_of
from rodhand.record.marks import fold
from rodhand.record.order import struck_entries
from rodhand.units import Figure, Standing
from rodhand.wear.life_used import add_up

WHAT = "rodhand handover"
"""What the file says it is, so that no other is taken for one."""
FORM = 1
STAYS_BEHIND = ("lost in hole", "scrapped")
"""Whereabouts of rods nobody can hand over."""
NUMBERS = ("design", "low", "best", "high", "width")
"""Of each section: sums on the design curve and at low, best and high, then sd of ln damage."""


@dataclass(frozen=True)
class RodHanded:
    """One rod as it is handed over.

    name: mark or set and number. figures: life_used, design, rotating_time, metres, bores,
    known_share.
    """

    name: str
    standing: str
    figures: dict[str, Figure]


@dataclass(frozen=True, eq=False)
class HandoverView:
    """A set to hand over; ``left_out`` names rods that are lost or scrapped, ``document`` the file.

    figures: rods.
    """

    invented: bool
    set: str
    rod_type: str
    as_of: str
    rods: tuple[RodHanded, ...]
    left_out: tuple[str, ...]
    figures: dict[str, Figure]
    document: Mapping[str, Any]

    @property
    def text(self) -> str:
        """The file's text, for people to read too."""
        return json.dumps(self.document, ensure_ascii=False, indent=1) + "\n"


def digest_of(document: Mapping[str, Any]) -> str:
    """SHA-256 of a file's content without its own hash: keys sorted, no blanks, UTF-8.

    Raises
    ------
    ValueError
        If a number in it is none that JSON holds.
    """
    rest = {key: value for key, value in document.items() if key != "sha256"}
    text = json.dumps(
        rest, ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False
    )
    return hashlib.sha256(text.encode()).hexdigest()


def handover_of(folder: Path, name: str, as_of: str = "") -> HandoverView:
    """A set as its new owner gets it.

    Parameters
    ----------
    folder : Path
        The book's folder.
    name : str
        The set.
    as_of : str
        ISO day the book is read as of; all of it when empty.

    Raises
    ------
    BadInputError
        If the book has no such set, or none of its rods can be handed over.
    CannotReadError
        If the book cannot be read.
    """
    assessment = open_assessment(folder, as_of)
    rod_set = next((s for s in assessment.book.sets.values() if fold(s.name) == fold(name)), None)
    if rod_set is None:
        there = ", ".join(assessment.book.sets) or "-"
        raise BadInputError([Fault("handover_set", name, values={"sets": there})], "handover")
    book_id = journal_of(folder).book_id
    return _view(assessment, rod_set, f"{folder.resolve().name} {book_id[:6]}", book_id)


def _view(assessment: Assessment, rod_set: RodSet, owner: str, book_id: str) -> HandoverView:
    book, today = assessment.book, assessment.today
    going, left_out = [], []
    for key in rod_set.things:
        stay = stay_on(assessment.stays, key, today)
        lost = stay is not None and stay.where in STAYS_BEHIND
        if lost or key not in assessment.histories:
            left_out.append(book.things[key].name)
        else:
            going.append(key)
    if not going:
        raise BadInputError([Fault("handover_no_rods", rod_set.name)], "handover")
    names = {book.things[key].rod_type or rod_set.rod_type for key in going}
    document: dict[str, Any] = {
        "what": WHAT,
        "form": FORM,
        "version": __version__,
        "owner": owner,
        "book": {"id": book_id, "entries": book.entry_count, "digest": book.head},
        "read_on": today,
        "set": rod_set.name,
        "rod_type": rod_set.rod_type,
        "bought": rod_set.bought,
        "rod_types": {name: _rod_type_as_typed(assessment, name) for name in sorted(names)},
        "numbers": list(NUMBERS),
        "rods": [_rod(assessment, rod_set, key) for key in going],
    }
    return HandoverView(
        invented=assessment.invented,
        set=rod_set.name,
        rod_type=rod_set.rod_type,
        as_of=today,
        rods=tuple(_row(assessment, key) for key in going),
        left_out=tuple(left_out),
        figures={"rods": Figure("handover.rods", float(len(going)), "count", Standing.MEASURED)},
        document={**document, "sha256": digest_of(document)},
    )


def _rod_type_as_typed(assessment: Assessment, name: str) -> dict[str, str]:
    """The columns of the rod type's last entry that counts."""
    struck = struck_entries(assessment.entries, [])
    typed = [
        dict(entry.payload)
        for entry in assessment.entries
        if entry.kind == "rod-type"
        and entry.id not in struck
        and fold(str(entry.payload.get("name", ""))) == fold(name)
    ]
    return typed[-1] if typed else {}


def _mark(thing: Thing) -> str:
    return thing.marks[-1].text if thing.marks and not thing.marks[-1].until else ""


def _since(history: RodHistory) -> str:
    """First ISO day of its work; empty where some of it was before anybody noted days."""
    days = [bore.happened for bore in history.bores]
    days += [each.start for each in history.outside]
    return min(days, default="")


def _until(history: RodHistory, today: str) -> str:
    """Last ISO day it may have worked."""
    days = [bore.last_day or today for bore in history.bores]
    days += [each.end or each.until or today for each in history.outside]
    return min(max(days, default=today), today)


def _rod(assessment: Assessment, rod_set: RodSet, key: str) -> dict[str, Any]:
    """One rod as the file has it, base SI with units in the keys."""
    thing, history = assessment.book.things[key], assessment.histories[key]
    sums = add_up(history.contributions)
    columns = (sums.design, sums.low, sums.best, sums.high, sums.width)
    sections = {
        name: [float(f"{column[k]:.9g}") for column in columns]
        for k, name in enumerate(FORMER_SECTIONS)
    }
    standing = "assumed" if history.life.worst.assumed > 0.5 else "computed"
    ends = {end: thing.generation_of(end, assessment.today) - 1 for end in ("pin", "box")}
    return {
        "mark": _mark(thing),
        "number": thing.number,
        "rod_type": thing.rod_type or rod_set.rod_type,
        "serial": thing.serial,
        "value": thing.value,
        "length_m": thing.length,
        "pin_cuts": ends["pin"],
        "box_cuts": ends["box"],
        "since": _since(history),
        "until": _until(history, assessment.today),
        "rotating_h": round((history.rotating_time + history.past_time) / 3600.0, 3),
        "metres": round(history.metres, 2),
        "bores": len(history.bores),
        "known_share": history.known_share,
        "hours": "unknown" if history.unknown_before else "",
        "standing": standing_of_thing(assessment, key)[0],
        "damage": {"standing": standing, **sections},
    }


def _row(assessment: Assessment, key: str) -> RodHanded:
    thing, history = assessment.book.things[key], assessment.histories[key]
    own, life = f"handover.{thing.name}", history.life.worst
    standing = Standing.ASSUMED if life.assumed > 0.5 else Standing.COMPUTED
    share, hours = history.known_share, history.rotating_time + history.past_time
    assumed = Standing.ASSUMED if history.past_time else Standing.COMPUTED
    figures = {
        "life_used": life_figure(f"{own}.life_used", life, standing),
        "rotating_time": Figure(
            f"{own}.rotating_time", None if share is None else hours, "hours", assumed
        ),
        "bores": Figure(f"{own}.bores", float(len(history.bores)), "count", Standing.MEASURED),
        "metres": Figure(f"{own}.metres", history.metres, "distance", Standing.COMPUTED),
        "known_share": Figure(f"{own}.known_share", share, "share", Standing.COMPUTED),
    }
    return RodHanded(thing.name, standing_of_thing(assessment, key)[0], figures)


def file_name(rod_set: str) -> str:
    """Name for a set's file; signs that some systems refuse become underscores."""
    return f"{re.sub(r'[^0-9A-Za-z.-]+', '_', rod_set).strip('._') or 'set'}-handover.json"


def write_handover(view: HandoverView, file: Path) -> None:
    """Write the file, whole or not at all; none is written over.

    Raises
    ------
    BadInputError
        If a file of that name is there.
    CannotReadError
        If it cannot be written.
    """
    try:
        with file.open("x", encoding="utf-8", newline="") as stream:
            stream.write(view.text)
    except FileExistsError:
        raise BadInputError([Fault("handover_there", str(file))], "handover") from None
    except OSError as error:
        raise CannotReadError(str(file), error.strerror or str(error)) from error
