"""The loading list of a rig's next bore as a paper for the hand."""

from __future__ import annotations

from rodhand.book.order.rod_order import RodOrderView, StepRow
from rodhand.book.telling import names_in_words
from rodhand.sheets.claim_tables import text_cell
from rodhand.sheets.paper import (
    BookFacts,
    Column,
    Item,
    Items,
    Paper,
    Part,
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
    steps = [Item((plain(_step(each, language)),)) for each in view.steps]
    rows = ", ".join(map(str, view.use))
    use = Item((plain(say("order.use", language, rows=rows), "bold"),), True)
    nothing = Item((plain(say("order.no_steps", language)),))
    notes = [Item((sentence_line(each, system, "second", language),)) for each in view.notes]
    parts: list[Part] = [Items("", tuple(head))]
    if out:
        parts.append(Items(say("order.out", language), tuple(out)))
    parts.append(Items(say("order.steps", language), (*(steps or [nothing]), use)))
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
