"""The life used at which retiring a rod costs least, from the owner's own broken and whole rods."""

from __future__ import annotations

import math
from dataclasses import dataclass

from rodhand.book.owner.calibration import NOT_FATIGUE, as_printed
from rodhand.book.views import Figures
from rodhand.book.work.assess import Assessment
from rodhand.book.work.prices import owner_prices
from rodhand.units import Figure, Standing
from rodhand.wear.chance import MOST_ASSUMED
from rodhand.wear.life_used import rod_life
from rodhand.wear.survival import LEAST_BREAKS, Lasted, fit_weibull, kaplan_meier, retire_age

C, M = Standing.COMPUTED, Standing.MEASURED


@dataclass(frozen=True)
class RetireView:
    """Retire age.

    Parameters
    ----------
    state : str
        ``too_few``, ``not_fitted``, ``no_price``, ``never`` (no age costs less) or ``age``.
    currency : str
        Of the costs.
    figures : Figures
        breaks, whole (rods not broken), left_out (mostly assumed), needed; and where told: age,
        per_metre and per_metre_never (cost), shape, scale.
    lasting : tuple of Figures
        Kaplan-Meier steps: age, share.
    """

    state: str
    currency: str
    figures: Figures
    lasting: tuple[Figures, ...]


def lasted_rods(assessment: Assessment) -> tuple[list[Lasted], int]:
    """Every rod with how much life it had used when it broke or so far; and how many are left out.

    A break by overload, over-torque or another cause ends a rod unbroken by wear. Left out are
    rods most of whose work is assumed, and those that did none.
    """
    broke = {each.thing: each for each in reversed(assessment.book.breaks)}
    found, left = [], 0
    for key, kept in assessment.histories.items():
        history, at = as_printed(kept), broke.get(key)
        known = history.known_share
        parts = history.contributions
        if at is not None and (bores := [b for b in history.bores if b.bore == at.bore]):
            before = history.before_bore(at.bore, bores[0].happened)
            parts = (*before, *bores[0].contributions)
        age = rod_life(parts, history.slopes).worst.best
        if known is None or 1.0 - known > MOST_ASSUMED or not math.isfinite(age) or age <= 0.0:
            left += 1
            continue
        found.append(Lasted(age, at is not None and at.cause not in NOT_FATIGUE))
    return found, left


def retire_view(assessment: Assessment) -> RetireView:
    """The retire age that costs least per metre, or why none is told.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    RetireView
        The age is life used, the same for all; the owner's lines stand whatever it says.
    """
    lasted, left = lasted_rods(assessment)
    breaks = sum(each.broken for each in lasted)
    figures = {
        "breaks": Figure("retire.breaks", float(breaks), "count", M),
        "whole": Figure("retire.whole", float(len(lasted) - breaks), "count", M),
        "left_out": Figure("retire.left_out", float(left), "count", M),
        "needed": Figure("retire.needed", float(LEAST_BREAKS), "count", M),
    }
    prices = owner_prices(assessment)
    steps = tuple(
        {
            "age": Figure(f"retire.step.{k}.age", age, "life", C),
            "share": Figure(f"retire.step.{k}.share", share, "share", C),
        }
        for k, (age, share) in enumerate(kaplan_meier(lasted))
    )
    if breaks < LEAST_BREAKS:
        return RetireView("too_few", prices.currency, figures, steps)
    life = fit_weibull(lasted)
    if life is None:
        return RetireView("not_fitted", prices.currency, figures, steps)
    figures |= {
        "shape": Figure("retire.shape", life.shape, "ratio", C),
        "scale": Figure("retire.scale", life.scale, "life", C),
    }
    rod, a_break = _one_price(assessment), prices.a_break()
    if rod is None or a_break is None:
        return RetireView("no_price", prices.currency, figures, steps)
    best = retire_age(life, rod, rod + a_break)
    metres = sum(history.metres for history in assessment.histories.values())
    used = sum(each.age for each in lasted)
    per_metre = used / metres if metres > 0.0 else None
    for name, rate in (("per_metre", best.rate), ("per_metre_never", best.rate_never)):
        cost = None if per_metre is None else rate * per_metre
        figures[name] = Figure(f"retire.{name}", cost, "money_per_metre", C)
    figures["age"] = Figure("retire.age", best.age, "life", C)
    return RetireView("never" if best.age is None else "age", prices.currency, figures, steps)


def _one_price(assessment: Assessment) -> float | None:
    """Price of a new rod where all rods cost the same; None where they do not or nobody said."""
    prices = owner_prices(assessment)
    found = {prices.rod(history.rod_type.name) for history in assessment.histories.values()}
    return found.pop() if len(found) == 1 else None
