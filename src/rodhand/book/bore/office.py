"""The office: bores and sets, one table each."""

from __future__ import annotations

import math

from rodhand.book.bore.bore_page import life_figure
from rodhand.book.tasks.set_tasks import damage_by_place
from rodhand.book.views import OfficeBore, OfficeSet, OfficeView
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.book.work.rods_of_bore import rotating_time
from rodhand.record.book_things import RodSet
from rodhand.units import Figure, Standing

C, M = Standing.COMPUTED, Standing.MEASURED


def office_bores(assessment: Assessment) -> tuple[OfficeBore, ...]:
    """Bores, newest first."""
    rows = []
    for name, work in assessment.works.items():
        own = f"office.bore.{name}"
        against = work.held
        known = [bend for bend in against.rods if math.isfinite(bend.radius)]
        tightest = min((bend.radius for bend in known), default=None)
        spent = float(damage_by_place(assessment, name).sum())
        figures = {
            "length": Figure(f"{own}.length", work.hole.length, "distance", M),
            "rods": Figure(f"{own}.rods", float(work.rod_count), "count", M),
            "tightest_radius": Figure(f"{own}.tightest_radius", tightest, "radius", C),
            "life_spent": Figure(f"{own}.life_spent", spent, "life", C),
        }
        bore = work.bore
        rows.append(
            OfficeBore(
                name, day_of(bore.origin.happened.start), bore.rig, bore.place, bore.ground,
                against.worst, figures,
            )
        )  # fmt: skip
    return tuple(reversed(rows))


def breaks_per_time(breaks: int, time: float) -> tuple[float, float, float] | None:
    """Breaks per rod-hour with the exact 95 % interval of a Poisson count. [1/s]

    Parameters
    ----------
    breaks : int
        Breaks counted.
    time : float
        Rod-hours: rotating time summed over rods. [s]

    Returns
    -------
    (rate, low, high) or None
        None without any time.
    """
    if time <= 0.0:
        return None
    from scipy.stats import chi2

    low = chi2.ppf(0.025, 2 * breaks) / 2 if breaks else 0.0
    high = chi2.ppf(0.975, 2 * breaks + 2) / 2
    return breaks / time, float(low) / time, float(high) / time


def _set_row(assessment: Assessment, each: RodSet) -> OfficeSet:
    own = f"office.set.{each.name}"
    histories = [assessment.histories[k] for k in each.things if k in assessment.histories]
    rod_time = sum(history.rotating_time for history in histories)
    names = list(dict.fromkeys(did.bore for history in histories for did in history.bores))
    works = [assessment.works[name] for name in names]
    drilled = sum(work.hole.length for work in works)
    turned = sum(
        rotating_time(one, one.turns.best) for work in works for one, _ in work.in_every_hole
    )
    figures = {
        "count": Figure(f"{own}.count", float(len(each.things)), "count", M),
        "metres": Figure(f"{own}.metres", drilled, "distance", C),
        "rotating_time": Figure(f"{own}.rotating_time", turned, "hours", C),
        "bores": Figure(f"{own}.bores", float(len(names)), "count", M),
    }
    if histories:
        worst = max(histories, key=lambda history: history.life.worst.design).life.worst
        standing = Standing.ASSUMED if worst.assumed > 0.5 else C
        figures["worst"] = life_figure(f"{own}.worst", worst, standing)
    broken = sum(1 for each_break in assessment.book.breaks if each_break.thing in each.things)
    rate = breaks_per_time(broken, rod_time)
    if rate is not None:
        figures["breaks"] = Figure(f"{own}.breaks", float(broken), "count", M)
        figures["breaks_per_1000_hours"] = Figure(
            f"{own}.breaks_per_1000_hours", rate[0], "per_1000_hours", C, rate[1], rate[2]
        )
    return OfficeSet(each.name, each.rod_type, each.rig, figures)


def office_view(assessment: Assessment) -> OfficeView:
    """Bores and sets of a book."""
    bores = office_bores(assessment)
    return OfficeView(
        assessment.invented,
        bores,
        tuple(_set_row(assessment, each) for each in assessment.book.sets.values()),
        {
            "bores": Figure("office.bores", float(len(bores)), "count", M),
            "length": Figure(
                "office.length",
                sum(work.hole.length for work in assessment.works.values()),
                "distance",
                C,
            ),
        },
    )
