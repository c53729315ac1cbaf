"""One thing's page as lines for a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rodhand.units import Figure, System, show
from rodhand.words import say

if TYPE_CHECKING:
    from rodhand.book.bore.narrow import NarrowView
    from rodhand.book.views import Figures, ThingView


def _shown(figures: Figures, name: str, system: System) -> str:
    figure = figures.get(name)
    return figure.shown(system) if figure is not None else say("number.dash")


def _band(figure: Figure | None, system: System) -> tuple[str, str, str]:
    if figure is None:
        return (say("number.dash"),) * 3
    return (
        figure.shown(system),
        show(figure.low, figure.quantity, system),
        show(figure.high, figure.quantity, system),
    )


def rod_lines(view: ThingView, system: System, narrow: NarrowView | None = None) -> list[str]:
    """Standing, life used by section, bore and bend, what would narrow it, all on record."""
    lines = [
        say(
            "rod_print.title",
            name=view.name,
            what=view.what,
            set=view.set,
            rod_type=view.rod_type,
        ),
        say("rod_print.where", where=view.where, standing=view.standing),
    ]
    if view.invented:
        lines.append(say("week_print.invented"))
    lines += _verdicts(view, system)
    lines += _sections(view, system)
    lines += _bends(view, system)
    lines += _bores(view, system)
    lines += _narrow(narrow, system) if narrow else []
    return [*lines, *_record(view, system), say("caution.governs")]


def _verdicts(view: ThingView, system: System) -> list[str]:
    from rodhand.book.telling import tell

    return [
        say(
            "rod_print.verdict",
            voice=say(f"week_print.{each.voice}"),
            what=tell(each.what, system),
            why=tell(each.why, system),
            source=each.source,
            do=tell(each.do, system),
        )
        for each in view.verdicts
    ]


def _sections(view: ThingView, system: System) -> list[str]:
    lines = [say("rod_print.sections")] if view.sections else []
    for row in view.sections:
        best, low, high = _band(row.figures.get("life_used"), system)
        lines.append(
            say(
                "rod_print.section",
                section=row.section,
                best=best,
                low=low,
                high=high,
                design=_shown(row.figures, "design", system),
            )
        )
    return lines


def _bends(view: ThingView, system: System) -> list[str]:
    lines = [say("rod_print.bends")] if view.bends else []
    for row in view.bends:
        lines.append(
            say(
                "rod_print.bend",
                bore=row.bore,
                station=f"{row.station:g}",
                radius=_shown(row.figures, "radius", system),
                turns=_shown(row.figures, "turns", system),
                share=_shown(row.figures, "share", system),
                over="" if row.over in ("no", "unknown") else row.over,
            )
        )
    return lines


def _bores(view: ThingView, system: System) -> list[str]:
    lines = [say("rod_print.bores")] if view.bores else []
    for row in view.bores:
        lines.append(
            say(
                "rod_print.bore",
                bore=row.bore,
                day=row.happened,
                turns=_shown(row.figures, "turns", system),
                share=_shown(row.figures, "share", system),
                radius=_shown(row.figures, "tightest_radius", system),
                who=row.who,
            )
        )
    return lines


def _narrow(narrow: NarrowView, system: System) -> list[str]:
    from rodhand.book.telling import tell

    told = [tell(row.sentence, system) for row in narrow.rows if row.state != "had"]
    stays = tell(narrow.stays, system)
    return [
        say("narrow.title"),
        *(f"  {each}" for each in (tell(narrow.lead, system), *told, stays)),
    ]


def _record(view: ThingView, system: System) -> list[str]:
    from rodhand.book.telling import tell

    lines = [tell(each, system) for each in view.facts]
    lines.append(say("rod_print.history"))
    for each in view.history:
        lines.append(
            say(
                "rod_print.line",
                day=each.happened,
                kind=each.kind,
                text=tell(each.text, system),
                struck=say("rod_print.struck") if each.struck else "",
            )
        )
    lines += [say("rod_print.unknown", text=tell(each, system)) for each in view.unknown]
    return lines
