"""The order of a rig's rods as lines: what to do and why, each movement, the ways compared."""

from __future__ import annotations

from collections.abc import Sequence

from rodhand.book.order.booked_order import BookedView
from rodhand.book.order.order_rows import RodOrderView, StepRow
from rodhand.book.telling import names_in_words, tell
from rodhand.cli.money_lines import lacking_lines
from rodhand.units import System, show
from rodhand.words import say

COLUMNS = ("breaks_over", "lifted", "cost", "chance_low", "chance_high")


def order_in_short(view: RodOrderView, units: System) -> list[str]:
    """What to do with a rig's rods and why, and which stay out."""
    lines = [say("order.title", rig=view.rig)]
    if view.state != "known":
        return [*lines, f"   {say(f'order.no_{view.state}')}", *view.refused]
    if view.bore:
        lines.append(f"   {say('order.for', bore=view.bore)}")
    lines += [f"   {tell(each, units)}" for each in (view.do, view.why, view.lead) if each]
    for out in view.out:
        why = say(f"order.out_why.{out.why.replace(' ', '_').replace('-', '_')}")
        lines.append(f"   {say('order.out')}, {why}: {names_in_words(out.rods)}")
    return lines


def order_lines(view: RodOrderView, units: System) -> list[str]:
    """Lines of the order of a rig's rods."""
    lines = order_in_short(view, units)
    if view.state != "known":
        return lines
    lines += ["", say("order.steps")]
    lines += _step_lines(view.steps)
    lines += [f"   {say('order.use', rows=', '.join(map(str, view.use)))}", "", say("order.ways")]
    for way in view.ways:
        told = "; ".join(
            f"{say(f'order.column.{name}')} {show(figure.value, figure.quantity, units)}"
            for name in COLUMNS
            if (figure := way.figures.get(name)) is not None
        )
        chosen = f" ({say('order.chosen')})" if way.chosen else ""
        lines.append(f"   {say(f'order.how.{way.how}')}{chosen}: {told}")
    lines += ["", *(f"   {tell(each, units)}" for each in view.notes)]
    lines += [f"   {each}" for each in lacking_lines(view.lacking)]
    return [*lines, f"   {say('order.chance_note')}"]


def _step_lines(steps: Sequence[StepRow]) -> list[str]:
    lines = []
    for number, step in enumerate(steps, 1):
        loose = "_loose" if step.places else ""
        told = say(f"order.step_{step.what}{loose}", row=step.row)
        at = [f" {say('order.at_place', place=place)}" for place in step.places]
        rods = [rod + (at[k] if at else "") for k, rod in enumerate(step.rods)]
        lines.append(f"   {number}. {told}: {', '.join(rods)}")
    return lines or [f"   {say('order.no_steps')}"]


def booked_lines(view: BookedView, units: System) -> list[str]:
    """Lines of the loading lists of a rig's booked bores."""
    lines = [say("order.booked_title", rig=view.rig)]
    if view.state != "known":
        key = "order.booked_none" if view.state == "none" else f"order.no_{view.state}"
        return [*lines, f"   {say(key)}"]
    lines += [f"   {tell(each, units)}" for each in (view.why, view.proved) if each]
    for number, bore in enumerate(view.lists, 1):
        lines += ["", f"{number}. {bore.bore}", f"   {tell(bore.lead, units)}"]
        lines += [f"   {tell(each, units)}" for each in bore.notes]
        lines += _step_lines(bore.steps)
        lines.append(f"   {say('order.use', rows=', '.join(map(str, bore.use)))}")
    lines += ["", *(f"   {tell(each, units)}" for each in view.notes)]
    return [*lines, *(f"   {each}" for each in lacking_lines(view.lacking))]
