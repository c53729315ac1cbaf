"""The rod card: what there is to look at on one rod, in walking order, each item with its limit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from pathlib import Path

from rodhand.advice.card import CardItem, items_from_rows
from rodhand.advice.rules import Rule
from rodhand.advice.verdict import Sentence
from rodhand.book.opening import book_in
from rodhand.book.source_words import source_in_words
from rodhand.book.work.in_force import is_invented, settings_in_force
from rodhand.book.work.in_hole import InHole, in_hole
from rodhand.book.work.stays import stays_of
from rodhand.book.work.tables import data_rows
from rodhand.book.yard.thing_page import NoSuchThingError
from rodhand.record.book import Book
from rodhand.record.book_looks import Check
from rodhand.record.book_things import Thing
from rodhand.record.choices import GONE
from rodhand.units import INCH, Figure, Standing
from rodhand.words import has, say

BOXES = {"": 0, "pair": 2, "bow": 3}
"""Fields for readings by form of the number; one where not named."""
ENDS = ("pin", "box", "tube", "whole")
A, M = Standing.ASSUMED, Standing.MEASURED


@dataclass(frozen=True)
class CardLine:
    """One item as the card shows it.

    Parameters
    ----------
    item : CardItem
        The item.
    limit : Sentence
        The number it is held against, whose it is, or that there is none.
    take_on : str
        A published number nobody has taken on yet, as the setting's text; empty for none.
    boxes : int
        How many readings it takes.
    error, gauge : str
        As last given for this item, in the asked system; never a reading.
    last : Figure or None
        The reading before, in sight and not in a field.
    """

    item: CardItem
    limit: Sentence
    take_on: str
    boxes: int
    error: str
    gauge: str
    last: Figure | None


@dataclass(frozen=True)
class CardView:
    """The card of one rod.

    ``refused`` says why it cannot be looked at now; ``hole`` whom the way out concerns.
    """

    invented: bool
    name: str
    key: str
    what: str
    refused: Sentence | None
    hole: InHole | None
    hole_names: tuple[str, ...]
    lines: tuple[CardLine, ...]
    figures: dict[str, Figure] = field(default_factory=dict)

    def of_end(self, end: str) -> tuple[CardLine, ...]:
        """Lines of one end, in walking order."""
        return tuple(line for line in self.lines if line.item.end == end)


@cache
def card_items() -> tuple[CardItem, ...]:
    """Items of the card that comes with the program, in walking order."""
    return items_from_rows(data_rows("rod_card.csv"))


def thing_in(book: Book, name: str) -> Thing:
    """A thing by mark or key. Raises NoSuchThingError if nothing carries that name."""
    thing = book.things.get(name) or book.thing_named(name)
    if thing is None:
        raise NoSuchThingError(name)
    return thing


def refusal(book: Book, thing: Thing) -> tuple[Sentence | None, InHole | None]:
    """Why a thing cannot be looked at: it is not here, or in the hole."""
    stay = next(reversed(stays_of(book).get(thing.key, ())), None)
    if stay is not None and stay.where in GONE:
        return Sentence("card.refused_gone", {"where": say(f"card.where.{slug(stay.where)}")}), None
    hole = in_hole(book, thing.key)
    if hole is None:
        return None, None
    key = "card.refused_in_hole" if hole.bore else "card.refused_said_in_hole"
    return Sentence(key, {"bore": hole.bore}), hole


def slug(text: str) -> str:
    """A word of the record as part of a key of the catalogue."""
    return text.replace(" ", "_").replace("-", "_")


def size_or_finer(number: float | None) -> str:
    """The quantity a small size is printed as, so that its digits show: below 2 mm a finer one."""
    return "fine_size" if number is not None and abs(number) < 0.002 else "size"


def limit_figure(rule: Rule, key: str) -> Figure | None:
    """The number of a rule as a figure; None where the rule has none."""
    if rule.limit is None:
        return None
    unit, standing = rule.limit_unit, M if rule.standing_of_number == "READ" else A
    if rule.key == "straightness":
        return Figure(key, rule.limit / 1e3, "bow", standing)
    if unit.startswith("%"):
        return Figure(key, rule.limit / 100.0, "share", standing)
    factor = INCH if unit.startswith("in") else 1e-3
    return Figure(key, rule.limit * factor, size_or_finer(rule.limit * factor), standing)


def _limit(item: CardItem, rules: Mapping[str, Rule]) -> tuple[Sentence, str]:
    """Limit of an item in words with where it comes from, and what could be taken on."""
    rule = rules.get(item.rule) if item.number or item.item == "crack-hunt" else None
    figure = limit_figure(rule, f"card.{item.name}.limit") if rule else None
    if figure is None and item.number:
        return Sentence("card.limit_none_number"), ""
    if rule is None or figure is None:
        return _by_eye(rules.get(item.rule)), ""
    what = f"card.limit_what.{slug(item.item)}"
    values: dict[str, str | Figure] = {"limit": figure, "what": say(what) if has(what) else ""}
    if rule.standing_of_number == "OWNER":
        return Sentence("card.limit_owner", values), ""
    standing = say(f"source.{rule.standing_of_number}")
    values |= {"source": source_in_words(rule.source), "standing": standing}
    if item.scope in ("trade", "none") or item.item == "crack-hunt":
        return Sentence("card.limit_in_force", values), ""
    return Sentence(f"card.limit_{item.scope}", values), f"{rule.limit:g}"


def _by_eye(rule: Rule | None) -> Sentence:
    """Where an item without a number comes from."""
    if rule is None:
        return Sentence("card.limit_none_practice")
    standing = say(f"source.{rule.standing_of_number}")
    return Sentence(
        "card.limit_none_look", {"source": source_in_words(rule.source), "standing": standing}
    )


def _before(book: Book, key: str, item: CardItem) -> Check | None:
    """The last look at an item of a thing that has a reading."""
    found = [
        each
        for each in book.checks
        if key in each.things
        and each.item == item.item
        and each.end in (item.end, "")
        and each.reading is not None
    ]
    return found[-1] if found else None


def _gauge_before(book: Book, item: CardItem, system: str) -> tuple[str, str]:
    """Error and name of the gauge last used for an item, whoever used it; '' for none."""
    used = [each for each in book.checks if each.item == item.item and each.reading is not None]
    if not used:
        return "", ""
    error = used[-1].gauge_error
    factor = INCH if system == "us" else 1e-3
    return ("" if error is None else f"{error / factor:.3g}"), used[-1].gauge


def card_view(folder: Path, name: str, system: str = "metric") -> CardView:
    """The card of one rod.

    Parameters
    ----------
    folder : Path
        The book's folder.
    name : str
        Mark or key.
    system : str
        Unit system of the gauge's error.

    Returns
    -------
    CardView
        No reading is filled in; a gauge's own error is, as it was given last.

    Raises
    ------
    NoSuchThingError
        If nothing carries that name.
    """
    book = book_in(folder)
    thing = thing_in(book, name)
    rules = settings_in_force(book, date.today().isoformat()).rules
    refused, hole = refusal(book, thing)
    lines = []
    for item in card_items():
        limit, take_on = _limit(item, rules)
        error, gauge = _gauge_before(book, item, system) if item.number else ("", "")
        before = _before(book, thing.key, item) if item.number and item.number != "bow" else None
        last = None
        if before is not None:
            last = Figure(
                f"card.{item.name}.last", before.reading, size_or_finer(before.reading), M
            )
        boxes = BOXES.get(item.number, 1)
        lines.append(CardLine(item, limit, take_on, boxes, error, gauge, last))
    names = (
        tuple(book.things[key].name for key in hole.others if key in book.things) if hole else ()
    )
    figures = {line.last.key: line.last for line in lines if line.last is not None}
    return CardView(
        is_invented(book), thing.name, thing.key, thing.what, refused, hole, names, tuple(lines),
        figures,
    )  # fmt: skip
