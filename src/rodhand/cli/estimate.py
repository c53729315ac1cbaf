"""`rodhand estimate`: what lengths of hole take of the rods, at this owner's own rates."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, AsOf, BookFolder
from rodhand.cli.book_pages import Json, Units
from rodhand.words import say

if TYPE_CHECKING:
    from rodhand.book.owner.estimate_page import EstimateView, TypedPart
    from rodhand.units import System


def estimate(
    parts: Annotated[list[str], typer.Argument(metavar="GROUND,CURVE,LENGTH...",
                                               help=say("estimate.help_part"))],
    rod_type: Annotated[str, typer.Option("--rod-type", help=say("estimate.help_rod_type"))] = "",
    book: BookFolder = DEFAULT_BOOK,
    as_of: AsOf = "",
    units: Units = "metric",
    json_: Json = False,
) -> None:  # fmt: skip
    """What a bore to bid for takes of the rods, from your own wear per metre."""
    import json

    from rodhand.book.entry.carrying import as_of_day
    from rodhand.book.opening import open_assessment
    from rodhand.book.owner.estimate_page import estimate_view
    from rodhand.book.twin import twin

    typed = [_typed(each) for each in parts]
    view = estimate_view(open_assessment(book, as_of_day(as_of)), rod_type, typed)
    if json_:
        print(json.dumps(twin(view), indent=1, ensure_ascii=False))
    else:
        print("\n".join(_lines(view, units)))


def _typed(text: str) -> TypedPart:
    """``sand,100,120m`` or ``sand,100,400ft`` taken apart; what is wrong in it is told later."""
    from rodhand.book.owner.estimate_page import TypedPart

    ground, curve, length = (*(each.strip() for each in text.split(",", 2)), "", "")[:3]
    digits = length.rstrip("mft ")
    return TypedPart(ground, curve, digits, length[len(digits) :].strip())


def _lines(view: EstimateView, units: System) -> list[str]:
    from rodhand.book.telling import tell
    from rodhand.cli.money_lines import curve_told, lacking_lines
    from rodhand.sheets.claim_tables import worded
    from rodhand.units import show

    lines = [say("estimate.title"), say("estimate.lead", day=view.day)]
    if view.invented:
        lines.append(say("week_print.invented"))
    for part in view.parts:
        f = part.figures
        values = {name: each.shown(units) for name, each in f.items()}
        values["ground"] = worded("choice", part.ground)
        values["curve"] = curve_told(part.curve, view.curves[part.curve], units)
        if part.enough:
            values["least"], values["most"] = (
                show(end, "fine_rods_used", units) for end in (f["lives"].low, f["lives"].high)
            )
        lines.append(say("estimate_print.part" if part.enough else "estimate_print.few", **values))
        if "cost" in f:
            ends = [show(end, "money", units) for end in (f["cost"].low, f["cost"].high)]
            lines.append(say("estimate_print.cost", cost=values["cost"], low=ends[0], high=ends[1],
                             currency=view.currency))  # fmt: skip
    lines += [tell(each, units) for each in view.told]
    for name in ("lives", "cost"):
        each = view.figures.get(name)
        if each is not None and each.high is not None:
            ends = [show(end, each.quantity, units) for end in (each.low, each.high)]
            lines.append(say("estimate_print.range", name=say(f"estimate.of_{name}"),
                             low=ends[0], high=ends[1]))  # fmt: skip
    return [*lines, say("estimate.help"), *lacking_lines(view.lacking),
            *(tell(each, units) for each in view.others)]  # fmt: skip
