"""A checked log as a bore view, for its picture and its sentences."""

from __future__ import annotations

import math

from rodhand.book.bore.bore_figures import picture_of
from rodhand.book.bore.bore_page import life_figure, measured_how
from rodhand.book.bore.check import CheckedLog
from rodhand.book.tasks.over_rows import over_row
from rodhand.book.views import BoreView, OverSteerRow, RodRow
from rodhand.units import Figure, Standing


def over_rows_of(checked: CheckedLog) -> tuple[OverSteerRow, ...]:
    """Every notable bend of a checked log with the rods it concerns; none for a survey."""
    if checked.moment is None or checked.held is None:
        return ()
    names = {rod.place: rod.name for rod in checked.rods}
    return tuple(
        over_row(checked.moment, bend, names.__getitem__, "check") for bend in checked.held.notable
    )


def check_view(checked: CheckedLog) -> BoreView | None:
    """A checked log as a bore view, for its picture; None for a survey."""
    work, moment = checked.work, checked.moment
    if work is None or moment is None or checked.held is None:
        return None
    computed = Standing.COMPUTED
    rods = []
    ends = moment.at - moment.leg.order.head_ends()
    for rod, member, end in zip(checked.rods, moment.leg.order.members, ends, strict=True):
        key = f"check.rod.{rod.place}"
        figures = {
            "life_used": life_figure(f"{key}.life_used", rod.life.worst),
            "turns": Figure(f"{key}.turns", rod.turns, "turns", computed),
        }
        rods.append(
            RodRow(
                rod.name, rod.name, rod.place, "marked", end > 0.0,
                max(float(end) - member.length, 0.0), float(end), "not looked at", False, figures,
            )
        )  # fmt: skip
    rows = over_rows_of(checked)
    limit = math.atan(work.rod_type.limit_angle(work.rod_type.length))
    picture = picture_of(work, moment.at, work.hole.length)
    price = math.atan(picture.long_life)
    return BoreView(
        name=checked.source, rig="", rod_type=work.rod_type.name, place="", ground="", under="",
        happened="", invented=False, at_pass=moment.pass_name, at=moment.at,
        figures={
            "at": Figure("check.at", moment.at, "distance", Standing.MEASURED),
            "limit": Figure("check.limit", limit, "slope", Standing.ASSUMED),
            "long_life": Figure("check.long_life", price, "slope", Standing.ASSUMED),
        },
        stations=(), rods=tuple(rods), over_steers=rows, three_rod=(), passes=(), slider=(),
        picture=picture, warnings=checked.warnings, verdicts=(), measured_how=measured_how(work),
    )  # fmt: skip
