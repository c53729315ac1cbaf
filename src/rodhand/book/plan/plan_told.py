"""What a planned bore's page says: possible or refused and why, limits, cautions."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_figures import price_radius
from rodhand.book.plan.plan_parts import Worked
from rodhand.book.plan.plan_pull import PlannedPull, PullLimit, held_against, pull_changes
from rodhand.book.plan.plan_work import PlanWork
from rodhand.book.plan.planned import Asked
from rodhand.book.plan.planned_wear import KEPT_PLAN
from rodhand.hole.plan_limits import PlanAsk
from rodhand.hole.plan_refusal import Change, Refusal, why_refused
from rodhand.hole.planned_path import KEPT
from rodhand.record.book import Book
from rodhand.units import Figure, Standing, printed_enough

A, C, M = Standing.ASSUMED, Standing.COMPUTED, Standing.MEASURED
CHANGE_QUANTITIES = {
    "back": "distance", "beyond": "distance", "steeper": "slope", "gentler": "slope",
    "exit": "slope", "cover": "length", "radius": "radius", "expose": "length",
    "no_deeper": "length",
}  # fmt: skip
ALIKE = 0.1
"""Paths that differ by less than this in length and depth are said to be alike (ours). [m]"""
POSSIBLE = "plan.possible"
Told = tuple[Sentence, tuple[Sentence, ...]]


@lru_cache(maxsize=64)
def _refusal(ask: PlanAsk) -> Refusal | None:
    return why_refused(ask)


def plan_told(book: Book, asked: Asked, worked: Worked, key: str) -> Told:
    """Possible, or refused and why with the changes that mend it, or what is missing."""
    if asked.rod_type is None:
        return Sentence("plan.no_rods"), ()
    if asked.ask is None:
        return Sentence("plan.no_limit" if not asked.radii else "plan.no_room"), ()
    if any(name != KEPT_PLAN for name in worked):
        return _pull_refused(book, asked, worked, key) or (Sentence(POSSIBLE), ())
    refusal = _refusal(asked.ask)
    if refusal is None:
        return Sentence(POSSIBLE), ()
    missing = Figure(f"{key}.missing", refusal.missing, "length", C)
    values: dict[str, str | Figure] = {"missing": missing, "name": refusal.utility or "-"}
    changes = tuple(change_told(each, refusal, key) for each in refusal.changes)
    return Sentence(f"plan.refused.{refusal.reason}", values), changes or (
        Sentence("plan.change.none"),
    )


def _pull_refused(book: Book, asked: Asked, worked: Worked, key: str) -> Told | None:
    """Refused where the product can be pulled back along none of the paths."""
    paths = {name: work for name, work in worked.items() if name != KEPT_PLAN}
    pulls = {name: work.pullback for name, (_, work) in paths.items() if work.pullback is not None}
    if asked.rod_type is None or not pulls or not all(each.too_much for each in pulls.values()):
        return None
    easiest = min(pulls, key=lambda name: pulls[name].needed[1])
    pull = pulls[easiest]
    governs = pull.limits[0]
    changes = []
    for each in pull_changes(book, asked.plan, asked.rod_type, worked[easiest][0]):
        what = f"stronger_{governs.what}" if each.what == "stronger" else each.what
        quantity = "line_mass" if each.what == "ballast" else "force"
        value = printed_enough(each.value, quantity, True)
        figure = Figure(f"{key}.change.{each.what}", value, quantity, C)
        changes.append(Sentence(f"plan.change.{what}", {"value": figure}))
    said = Sentence(f"plan.refused.pull_{governs.what}", _pull_values(pull, governs, key))
    return said, tuple(changes)


def _pull_values(pull: PlannedPull, limit: PullLimit, key: str) -> dict[str, str | Figure]:
    low, best, high = held_against(pull.load, limit)
    own = f"{key}.pull.{limit.what}"
    return {
        "pull": Figure(own, best, "force", A, low, high),
        "limit": Figure(f"{own}.limit", limit.force, "force", C if limit.what == "rods" else M),
    }


def pull_told(asked: Asked, pull: PlannedPull | None, key: str) -> tuple[Sentence, ...]:
    """The product's pull against every limit entered, the strictest first; what is not known."""
    plan = asked.plan
    if not (plan.product_od or plan.product_mass or plan.product_pull):
        return ()
    found = []
    if pull is None:
        found.append(Sentence("plan.pull_unknown"))
    else:
        found += [
            Sentence(f"plan.pull_{each.what}", _pull_values(pull, each, key))
            for each in pull.limits
        ]
        if pull.may_be_too_much:
            found.append(Sentence("plan.pull_may"))
        entered = [each.what for each in pull.limits]
        found += [
            Sentence(f"plan.pull_no_{what}") for what in ("rig", "product") if what not in entered
        ]
    if plan.reams is None:
        found.append(Sentence("plan.reams_unknown"))
    return tuple(found)


def differs_told(worked: Worked, key: str) -> tuple[Sentence, ...]:
    """What the shortest and the deepest path have beside the easiest, and what they cost."""
    easiest = worked.get("easiest")
    found = []
    for name in ("shortest", "deepest"):
        if easiest is None or name not in worked:
            continue
        (path, work), (usual, least) = worked[name], easiest
        own = f"{key}.{name}"
        used = max(each.best for each in work.life)
        times = used / max(each.best for each in least.life)
        longer = path.length - usual.length
        deeper = float(usual.height.min() - path.height.min())
        values: dict[str, str | Figure] = {
            "length": Figure(f"{own}.differs", abs(longer), "length", C),
            "depth": Figure(f"{own}.deeper", abs(deeper), "length", C),
            "times": Figure(f"{own}.times", times, "factor", C),
        }
        if max(abs(longer), abs(deeper)) < ALIKE:
            found.append(Sentence(f"plan.alike_{name}", values))
        else:
            found.append(Sentence(f"plan.differs_{name}", values))
    return tuple(found)


def loading_told(work: PlanWork, key: str) -> tuple[Sentence, ...]:
    """Which places use the most life: where the rods with the most left belong."""
    used = np.array([each.best for each in work.life])
    most = np.flatnonzero(used >= 0.5 * used.max())
    if not used.max() > 0.0:
        return ()
    first, last = int(most[0]) + 1, int(most[-1]) + 1
    life = work.life[int(used.argmax())]
    figure = Figure(f"{key}.loading", life.best, "life", A, life.low, life.high)
    return (Sentence("plan.loading", {"from": str(first), "to": str(last), "life": figure}),)


def change_told(change: Change, refusal: Refusal, key: str) -> Sentence:
    """The change in words; what is printed is enough in either unit system."""
    own = f"{key}.change.{change.what}"
    quantity = CHANGE_QUANTITIES[change.what]
    more = change.what in ("back", "beyond", "steeper", "exit")
    value = printed_enough(change.value, quantity, more)
    by = printed_enough(change.by, "angle" if quantity == "slope" else quantity, True)
    return Sentence(
        f"plan.change.{change.what}",
        {
            "by": Figure(f"{own}.by", by, "angle" if quantity == "slope" else quantity, C),
            "value": Figure(f"{own}.value", value, quantity, C),
            "name": refusal.utility or "-",
        },
    )


def limits_told(asked: Asked, worked: Worked, shown: str, key: str) -> tuple[Sentence, ...]:
    """What the curves are held to, the long-life line, and what a kept plan breaks by now."""
    if asked.rod_type is None or not asked.radii:
        return ()
    governs = asked.governs
    radius = Figure(f"{key}.radius.{governs}", asked.radii[governs], "radius", C)
    price = Figure(f"{key}.radius.long_life", price_radius(asked.rod_type), "radius", A)
    found = [
        Sentence(f"plan.limit.{governs}", {"radius": radius}),
        Sentence("plan.limit.long_life", {"radius": price}),
    ]
    if worked:
        found.append(_steering(next(iter(worked.values()))[1], asked.rod_type.length, key))
    found += pull_told(asked, worked[shown][1].pullback if shown else None, key)
    if KEPT_PLAN in worked and asked.ask is not None:
        path = worked[KEPT_PLAN][0]
        # kept pitches are whole tenths of a percent: each end may be 0.05 % off
        most = asked.ask.rod_length / asked.ask.radius + 0.001
        sharp = np.flatnonzero(np.abs(path.change) > most)
        if sharp.size:
            count = Figure(f"{key}.kept.sharp", float(sharp.size), "count", C)
            found.append(Sentence("plan.kept_sharp", {"count": count}))
        broken = float(path.margins.min()) if path.margins.size else math.inf
        if broken < KEPT - 0.05:
            missing = Figure(f"{key}.kept.missing", -broken, "length", C)
            found.append(
                Sentence("plan.kept_near", {"missing": missing})
                if math.isfinite(broken)
                else Sentence("plan.kept_unknown")
            )
    return tuple(found)


def _steering(work: PlanWork, length: float, key: str) -> Sentence:
    """How far each rod is expected to bend beside the plan, and where that is known from."""
    own, bores = f"{key}.steering", work.steering.bores
    sd = work.steering.curvature(length) * length
    values: dict[str, str | Figure] = {
        "bend": Figure(f"{own}.bend", sd, "angle", C if bores else A),
        "bores": Figure(f"{own}.bores", float(bores), "count", M),
    }
    return Sentence("plan.steering_learnt" if bores else "plan.steering_assumed", values)


def cautions_told(asked: Asked) -> tuple[Sentence, ...]:
    """What stands beside every plan, utilities not seen first."""
    not_found = [each for each in asked.utilities if each.how in ("drawing", "unknown")]
    unseen = [each for each in asked.utilities if each.how != "potholed seen"]
    found = []
    if not asked.utilities:
        found.append(Sentence("plan.caution.none_entered"))
    found += [Sentence("plan.caution.not_found", {"name": each.utility}) for each in not_found]
    found += [
        Sentence("plan.caution.expose", {"name": each.utility})
        for each in unseen
        if each not in not_found
    ]
    keys = ("one_call", "engineer", "straight", "steering", "governs")
    return tuple(found + [Sentence(f"plan.caution.{key}") for key in keys])
