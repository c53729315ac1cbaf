"""What is usually entered after an entry, with what it has in common with it filled in."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote, urlencode

from rodhand.book.entry.entry_page import EntryView, kinds
from rodhand.words import say

CARRIED = ("bore", "pass", "heading_ref")
"""Columns of a reading that the next one shares."""
TYPED_FIRST = ("pitch", "inclination", "heading", "azimuth", "length", "md")
"""Fields in which the next reading may begin, the first one filled in before."""

DAY = len("2025-09-09")


@dataclass(frozen=True)
class Next:
    """A button after an entry: what it says, where it leads."""

    label: str
    href: str


def next_entries(view: EntryView) -> tuple[Next, ...]:
    """What usually follows an entry: after a bore its log, after a reading the next one."""
    if view.kind == "bore":
        bore = view.typed.get("bore", "")
        first = {"bore": bore, "pass": "pilot", "station": "1", "focus": "pitch"}
        return (
            Next(say("next_entry.grid"), f"/bore/{quote(bore, safe='')}/grid"),
            Next(say("next_entry.readings"), _form_of_reading(first, view.happened)),
        )
    if view.kind == "reading":
        bore = view.typed.get("bore", "")
        look = Next(say("next_entry.bore"), f"/bore/{quote(bore, safe='')}")
        return (*_reading_after(view), look)
    return ()


def _reading_after(view: EntryView) -> tuple[Next, ...]:
    """The next whole station of the same log, in the same units and with the same fields open."""
    try:
        station = f"{int(float(view.typed['station'])) + 1}"
    except (KeyError, ValueError):
        return ()
    shared = {name: view.typed[name] for name in CARRIED if name in view.typed}
    units: dict[str, str] = {}
    filled: list[str] = []
    for field in kinds()["reading"].fields:
        for column, suffix in field.columns().items():
            if column in view.typed:
                filled.append(field.name)
                units |= {f"u.{field.name}": suffix} if suffix else {}
    begin = next((name for name in TYPED_FIRST if name in filled), "pitch")
    asked = {**shared, "station": station, "focus": begin, **units}
    label = say("next_entry.reading", station=station)
    return (Next(label, _form_of_reading(asked, view.happened)),)


def _form_of_reading(asked: dict[str, str], happened: str) -> str:
    """Address of the form of a reading with what is known filled in.

    A day somebody typed holds for the whole log; a minute does not.
    """
    day = {"happened": happened} if len(happened) == DAY else {}
    return f"/enter/reading?{urlencode({**asked, **day})}"
