"""What a book says, without how it came in: to compare books kept in different ways."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from rodhand.record.book import Book
from rodhand.record.book_things import Thing
from rodhand.record.origin import Moment, Origin, Problem

_HOW_IT_CAME_IN = frozenset({"entry_count", "entries", "as_of"})


def book_as_facts(book: Book) -> dict[str, Any]:
    """The book's facts as plain dictionaries and lists, equal for equal books.

    Parameters
    ----------
    book : Book
        Any book.

    Returns
    -------
    dict
        Field name to facts. Ids, times of typing, devices and counters are left out; things
        stand under their first name; facts of one field are sorted, so that those of one moment
        may have been typed in any order. Numbers and typed texts are kept to the last digit.
    """
    names = {key: _first_name(thing) for key, thing in book.things.items()}
    # A mark that came free and was given again names two things, told apart by when.
    twice = {name for name, count in Counter(names.values()).items() if count > 1}
    names = {
        key: f"{name} {book.things[key].origin.at}" if name in twice else name
        for key, name in names.items()
    }
    return {
        field.name: _plain(getattr(book, field.name), names, sort=True)
        for field in fields(book)
        if field.name not in _HOW_IT_CAME_IN
    }


def _first_name(thing: Thing) -> str:
    return thing.marks[0].text if thing.marks else thing.name


def _plain(value: Any, names: Mapping[str, str], sort: bool = False) -> Any:
    if isinstance(value, Origin):
        return {"happened": _plain(value.happened, names), "by": value.by}
    if isinstance(value, Moment):
        return [value.start, value.end, value.precision, value.zone]
    if is_dataclass(value):
        skipped = {"entry"} if isinstance(value, Problem) else set()
        return {
            field.name: _plain(getattr(value, field.name), names)
            for field in fields(value)
            if field.name not in skipped
        }
    if isinstance(value, Mapping):
        plain = {names.get(key, key): _plain(each, names) for key, each in value.items()}
        return dict(sorted(plain.items()))
    if isinstance(value, (tuple, list)):
        listed = [_plain(each, names) for each in value]
        return sorted(listed, key=repr) if sort else listed
    return names.get(value, value) if isinstance(value, str) else value
