"""What refuses a look, however it is entered: a reading that cannot be, a rod in the hole."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache

from rodhand.advice.card_readings import Doubt, impossible
from rodhand.book.tasks.standings import new_sizes
from rodhand.book.work.bows import taken_of_check
from rodhand.book.work.in_hole import InHole, in_hole
from rodhand.book.work.rod_types import type_of_thing
from rodhand.faults import Fault
from rodhand.record.book import Book
from rodhand.record.book_looks import Check
from rodhand.record.entry import Draft
from rodhand.record.moment import order_text
from rodhand.units import System, show
from rodhand.words import has, say


def look_faults(book: Book, drafts: Mapping[str, Draft]) -> list[Fault]:
    """What is wrong with looks that are to be entered.

    Parameters
    ----------
    book : Book
        The book as it would be with them.
    drafts : mapping of str to Draft
        What is to be entered, by the ids of the entries.

    Returns
    -------
    list of Fault
        With the lines of the drafts. A look that surely was made before its rod went into the
        hole is no look at a rod in the hole.
    """
    if all(draft.kind != "check" for draft in drafts.values()):
        return []
    inside = cache(lambda key: in_hole(book, key))
    found = []
    for check in book.checks:
        draft = drafts.get(check.origin.entry)
        if draft is not None:
            found += [
                Fault(fault.code, fault.found, draft.line, fault.column, fault.values)
                for fault in _of_check(book, check, draft, inside)
            ]
    return found


def _of_check(
    book: Book, check: Check, draft: Draft, inside: Callable[[str], InHole | None]
) -> list[Fault]:
    there = [key for key in check.things if _is_in_hole(book, check, inside(key))]
    if there:
        names = ", ".join(book.things[key].name for key in there)
        return [Fault("card_in_hole", names, column="things")]
    taken = taken_of_check(check)
    for key in check.things:
        doubt = impossible(check.item, taken, new_sizes(type_of_thing(book, book.things[key])))
        if doubt is not None:
            return [reading_fault(doubt, draft.payload, where_on_card(check.item, check.end))]
    return []


def _is_in_hole(book: Book, check: Check, hole: InHole | None) -> bool:
    """Whether a look was made, for all that is known, after its rod went in."""
    if hole is None:
        return False
    happened = check.origin.happened
    ended = order_text(happened, happened.end)
    began = book.bores[hole.bore].origin.at if hole.bore else ""
    return not (ended and began and ended < began)


def where_on_card(item: str, end: str) -> dict[str, str]:
    """An item and end in words; as they stand in the record where there are none."""
    keys = {"item": f"card.item.{item.replace('-', '_')}", "end": f"card.end.{end or 'whole'}"}
    as_typed = {"item": item, "end": end}
    return {name: say(key) if has(key) else as_typed[name] for name, key in keys.items()}


def reading_fault(doubt: Doubt, payload: Mapping[str, str], where: Mapping[str, str]) -> Fault:
    """Why a reading cannot be, with the number it was held against."""
    values = {**where, "against": shown_as_typed(doubt.against, payload)}
    return Fault(f"card_{doubt.code}", shown_as_typed(doubt.number, payload), values=values)


def shown_as_typed(number: float | None, payload: Mapping[str, str]) -> str:
    """A length in the unit it was typed in."""
    system: System = "us" if any(column.endswith("_in") for column in payload) else "metric"
    return "" if number is None else show(number, "size", system)
