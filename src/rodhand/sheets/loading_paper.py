"""The loading lists of a rig's next bore and of its booked bores as papers for the hand."""

from __future__ import annotations

from collections.abc import Sequence

from rodhand.advice.verdict import Sentence
from rodhand.book.order.booked_order import BookedView, BoreList
from rodhand.book.order.order_rows import RodOrderView, StepRow
from rodhand.book.telling import names_in_words
from rodhand.sheets.claim_tables import text_cell
from rodhand.sheets.paper import (
    BookFacts,
    Column,
    Item,
    Items,
    NewPage,
    Paper,
    Part,
    Style,
    Table,
    plain,
    sentence_line,
)
from rodhand.units import System
from rodhand.words import IN_FORCE, has, say


def loading_paper(
    view: RodOrderView, facts: BookFacts, system: System, language: str = IN_FORCE
) -> Paper:
    """The loading list as a paper: what stays out, each movement, rows in order of use, the order.

    Parameters
    ----------
    view : RodOrderView
        The order of rods; one without a list gives a paper that says why.
    facts : BookFacts
        Which book it comes from.
    system : {"metric", "us"}
        Size of the sheet.
    language : str, optional
        Language of the words.
    """
    parts = _known(view, system, language) if view.state == "known" else _not_known(view, language)
    return Paper(
        name="loading-list",
        title=say("order.title", language, rig=view.rig),
        subject=view.rig,
        invented=say("paper.invented", language) if view.invented else "",
        facts=(),
        parts=parts,
        book=facts,
        system=system,
        landscape=False,
        language=language,
    )


def booked_paper(
    view: BookedView, facts: BookFacts, system: System, language: str = IN_FORCE
) -> Paper:
    """The loading lists of booked bores, each on a page of its own with what to mind beside it.

    Parameters
    ----------
    view, facts, system, language
        As of `loading_paper`.
    """
    title = say("order.booked_title", language, rig=view.rig)
    if view.state == "known":
        parts = _booked(view, system, language)
    else:
        key = "order.booked_none" if view.state == "none" else f"order.no_{view.state}"
        parts = (Items("", (Item((plain(say(key, language), "bold"),)),)),)
    invented = say("paper.invented", language) if view.invented else ""
    return Paper("booked-loading-lists", title, view.rig, invented, (), parts, facts, system,
                 False, language)  # fmt: skip


def _booked(view: BookedView, system: System, language: str) -> tuple[Part, ...]:
    def told(*sentences: Sentence | None, style: Style = "plain") -> list[Item]:
        return [Item((sentence_line(each, system, style, language),)) for each in sentences if each]

    parts: list[Part] = [Items("", tuple(told(view.why, view.proved, *view.notes)))]
    for number, bore in enumerate(view.lists, 1):
        parts.append(NewPage(f"{number}. {bore.bore}"))
        mind = [Item(each.lines, True) for each in told(*bore.notes, style="bold")]
        parts.append(Items("", (*told(bore.lead, view.caution), *mind)))
        parts.append(_hand(bore.steps, bore.use, language))
        parts.append(_order_of(bore, language))
    return tuple(parts)


def _order_of(bore: BoreList, language: str) -> Table:
    columns = tuple(Column(say(f"order.{name}", language), "left", wide=name == "rod")
                    for name in ("place", "rod"))  # fmt: skip
    rows = tuple((text_cell(f"{place}"), text_cell(rod)) for place, rod in enumerate(bore.order, 1))
    return Table(say("order.order", language), columns, rows)


def _hand(steps: Sequence[StepRow], use: Sequence[int], language: str) -> Items:
    """Each movement, and the rows in order of use."""
    told = [Item((plain(_step(each, language)),)) for each in steps]
    nothing = Item((plain(say("order.no_steps", language)),))
    rows = ", ".join(map(str, use))
    last = Item((plain(say("order.use", language, rows=rows), "bold"),), True)
    return Items(say("order.steps", language), (*(told or [nothing]), last))


def _not_known(view: RodOrderView, language: str) -> tuple[Part, ...]:
    told = (say(f"order.no_{view.state}", language), *view.refused)
    return (Items("", tuple(Item((plain(text, "bold"),)) for text in told)),)


def _known(view: RodOrderView, system: System, language: str) -> tuple[Part, ...]:
    said = [view.do, view.lead, view.caution]
    head = [Item((sentence_line(each, system, "plain", language),)) for each in said if each]
    out = [
        Item((plain(f"{_why(each.why, language)}: {names_in_words(each.rods)}"),))
        for each in view.out
    ]
    notes = [Item((sentence_line(each, system, "second", language),)) for each in view.notes]
    parts: list[Part] = [Items("", tuple(head))]
    if out:
        parts.append(Items(say("order.out", language), tuple(out)))
    parts.append(_hand(view.steps, view.use, language))
    columns = tuple(Column(say(f"order.{name}", language), "left", wide=name == "lies")
                    for name in ("place", "rod", "lies"))  # fmt: skip
    table = tuple(
        (
            text_cell(f"{rod.place}"),
            text_cell(rod.name),
            text_cell(say("order.lies_at", language, row=rod.row, number=rod.number)
                      + ("" if rod.in_bore else f", {say('order.spare', language)}")),
        )
        for rod in view.order
    )  # fmt: skip
    parts += [Table(say("order.order", language), columns, table), Items("", tuple(notes))]
    return tuple(parts)


def _why(why: str, language: str) -> str:
    key = f"order.out_why.{why.replace(' ', '_').replace('-', '_')}"
    return say(key, language) if has(key) else why


def _step(step: StepRow, language: str) -> str:
    loose = "_loose" if step.places else ""
    told = say(f"order.step_{step.what}{loose}", language, row=step.row)
    places = [say("order.at_place", language, place=place) for place in step.places]
    rods = (
        [f"{rod} {place}" for rod, place in zip(step.rods, places, strict=True)]
        if places
        else (step.rods)
    )
    return f"{told}: {', '.join(rods)}"
