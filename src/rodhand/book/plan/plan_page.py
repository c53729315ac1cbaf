"""The page of a planned bore: candidates compared, or why it is refused and what mends it."""

from __future__ import annotations

import math
from functools import lru_cache
from pathlib import Path

import numpy as np

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_figures import price_radius
from rodhand.book.entry.entry_page import entry_view
from rodhand.book.entry.keeping import enter
from rodhand.book.opening import book_in
from rodhand.book.plan.driven import Driven, driven_against
from rodhand.book.plan.plan_views import (
    Candidate,
    PlanDrawing,
    PlanList,
    PlanListed,
    PlanRow,
    PlanView,
    UtilityRow,
)
from rodhand.book.plan.plan_work import PlanWork, Range, is_own, plan_work
from rodhand.book.plan.planned import Asked, NoSuchPlanError, asked_of, plan_named, plans_of
from rodhand.book.plan.planned_bore import steering_of
from rodhand.book.plan.planned_wear import KEPT_PLAN, candidates
from rodhand.book.work.assess import day_of, is_invented
from rodhand.faults import BadInputError, Fault
from rodhand.hole.plan_limits import DEPTH_ERROR, PlanAsk
from rodhand.hole.plan_refusal import Change, Refusal, why_refused
from rodhand.hole.planned_path import KEPT, PlannedPath, own_path
from rodhand.record.book import Book
from rodhand.record.entry import Draft
from rodhand.record.marks import fold
from rodhand.record.planned import Plan
from rodhand.units import Figure, Standing, printed_enough

A, C, M = Standing.ASSUMED, Standing.COMPUTED, Standing.MEASURED
CHANGE_QUANTITIES = {
    "back": "distance", "beyond": "distance", "steeper": "slope", "gentler": "slope",
    "exit": "slope", "cover": "length", "radius": "radius", "expose": "length",
    "no_deeper": "length",
}  # fmt: skip
Worked = dict[str, tuple[PlannedPath, PlanWork]]


@lru_cache(maxsize=64)
def _refusal(ask: PlanAsk) -> Refusal | None:
    return why_refused(ask)


def plan_list(folder: Path) -> PlanList:
    """Every plan of a book, the newest first.

    Parameters
    ----------
    folder : Path
        The book's folder.

    Returns
    -------
    PlanList
        With the rigs and rod types a new plan may name.
    """
    book = book_in(folder)
    bores = {fold(name) for name in book.bores}
    rows = tuple(
        PlanListed(
            each.plan, each.rig, each.chosen, fold(each.plan) in bores,
            {"distance": Figure(f"plan.{each.plan}.distance", each.distance, "distance", M)},
        )
        for each in reversed(plans_of(book))
    )  # fmt: skip
    return PlanList(is_invented(book), rows, tuple(book.rigs), tuple(book.rod_types))


def plan_view(folder: Path, name: str, shown: str = "") -> PlanView:
    """One plan worked out.

    Parameters
    ----------
    folder : Path
        The book's folder.
    name : str
        Name of the plan; capitals do not matter.
    shown : str
        Which candidate is drawn and tabled; the kept one, else the easiest, when empty.

    Returns
    -------
    PlanView
        Everything its page, paper and twin show.

    Raises
    ------
    NoSuchPlanError
        If there is no such plan.
    """
    book = book_in(folder)
    plan = plan_named(book, name)
    if plan is None:
        raise NoSuchPlanError(name)
    asked = asked_of(book, plan)
    worked = _worked(book, asked)
    key = f"plan.{plan.plan}"
    told, changes = _told(asked, worked, key)
    here = _shown(worked, shown)
    path = worked[here][0] if here else None
    bore = next((b for n, b in book.bores.items() if fold(n) == fold(plan.plan)), None)
    driven = driven_against(book, bore, asked.rod_type, path, f"{key}.driven")
    return PlanView(
        name=plan.plan,
        invented=is_invented(book),
        rig=plan.rig,
        rod_type=asked.rod_type.name if asked.rod_type else plan.rod_type,
        head=plan.head,
        happened=day_of(plan.origin.happened.start),
        told=told,
        changes=changes,
        candidates=tuple(
            Candidate(each, _candidate(f"{key}.{each}", asked, *work))
            for each, work in worked.items()
        ),
        shown=here,
        chosen=plan.chosen,
        rows=()
        if path is None or asked.ask is None
        else _rows(f"{key}.rod", asked.ask, *worked[here], driven),
        utilities=_utilities(asked, path, key),
        limits=_limits(asked, worked, key),
        cautions=_cautions(asked),
        figures=_figures(plan, key),
        drawing=_drawing(asked, worked, path, driven),
        driven=driven.told if driven else (),
    )


def typed_plan(folder: Path, name: str) -> dict[str, str]:
    """A plan's columns as they were typed last, without its targets; empty where there is none.

    Parameters
    ----------
    folder : Path
        The book's folder.
    name : str
        Its name.
    """
    plan = plan_named(book_in(folder), name)
    typed = {} if plan is None else dict(entry_view(folder, plan.origin.entry).typed)
    return {
        key: text for key, text in typed.items() if key not in ("chosen", "pitches", "headings")
    }


def keep_path(folder: Path, name: str, chosen: str, by: str = "") -> str:
    """Keep one candidate as the plan.

    Parameters
    ----------
    folder : Path
        The book's folder.
    name, chosen : str
        The plan, and "shortest", "easiest" or "deepest".
    by : str
        Who says it.

    Returns
    -------
    str
        Id of the entry: the plan as it was asked, with the pitch at the end of each rod.

    Raises
    ------
    NoSuchPlanError
        If there is no such plan.
    BadInputError
        If it has no such candidate.
    """
    book = book_in(folder)
    plan = plan_named(book, name)
    if plan is None:
        raise NoSuchPlanError(name)
    ask = asked_of(book, plan).ask
    path = next((each for each in candidates(ask) if each.name == chosen), None) if ask else None
    if path is None:
        raise BadInputError([Fault("plan_no_candidate", chosen, column="candidate")], "plan")
    pitches = " ".join(f"{100.0 * math.tan(each):.1f}" for each in path.pitch[1:])
    typed = entry_view(folder, plan.origin.entry).typed
    payload = dict(typed) | {"chosen": chosen, "pitches": pitches}
    payload.pop("headings", None)
    return enter(folder, [Draft("plan", payload, "", "", by)], "plan").entries[0].id


def _worked(book: Book, asked: Asked) -> Worked:
    ask, rod_type = asked.ask, asked.rod_type
    if ask is None or rod_type is None:
        return {}
    paths = list(candidates(ask))
    targets = asked.plan.target_pitches
    if targets:
        paths.insert(0, own_path(ask, np.array(targets), KEPT_PLAN))
    steering = steering_of(book, asked.plan.rig)
    return {
        each.name: (each, plan_work(book, asked.plan, rod_type, each, steering)) for each in paths
    }


def _shown(worked: Worked, wanted: str) -> str:
    for name in (wanted, KEPT_PLAN, "easiest"):
        if name in worked:
            return name
    return ""


def _told(asked: Asked, worked: Worked, key: str) -> tuple[Sentence, tuple[Sentence, ...]]:
    if asked.rod_type is None:
        return Sentence("plan.no_rods"), ()
    if asked.ask is None:
        return Sentence("plan.no_limit" if not asked.radii else "plan.no_room"), ()
    if any(name != KEPT_PLAN for name in worked):
        return Sentence("plan.possible"), ()
    refusal = _refusal(asked.ask)
    if refusal is None:
        return Sentence("plan.possible"), ()
    missing = Figure(f"{key}.missing", refusal.missing, "length", C)
    values: dict[str, str | Figure] = {"missing": missing, "name": refusal.utility or "-"}
    changes = tuple(_change(each, refusal, key) for each in refusal.changes)
    return Sentence(f"plan.refused.{refusal.reason}", values), changes or (
        Sentence("plan.change.none"),
    )


def _change(change: Change, refusal: Refusal, key: str) -> Sentence:
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


def _range(key: str, value: Range, quantity: str) -> Figure:
    return Figure(key, value.best, quantity, C if value.own else A, value.low, value.high)


def _candidate(key: str, asked: Asked, path: PlannedPath, work: PlanWork) -> dict[str, Figure]:
    assert asked.ask is not None
    sharpest = float(np.max(np.abs(path.change)))
    radius = asked.ask.rod_length / sharpest if sharpest > 0.0 else None
    depth = path.across * asked.ask.exit_height / asked.ask.distance - path.height
    clear = path.margins[2:]
    worst = int(np.argmax([each.design for each in work.life]))
    figures = {
        "rods": Figure(f"{key}.rods", float(path.rods), "count", C),
        "length": Figure(f"{key}.length", path.length, "distance", C),
        "comes_out": Figure(f"{key}.comes_out", path.comes_out, "distance", C),
        "deepest": Figure(f"{key}.deepest", float(depth.max()), "length", C),
        "tightest": Figure(f"{key}.tightest", radius, "radius", C),
        "time": _range(f"{key}.time", work.time, "hours"),
        "thrust": _range(f"{key}.thrust", work.thrust, "force"),
        "pull": _range(f"{key}.pull", work.pull, "force"),
        "torque": _range(f"{key}.torque", work.torque, "torque"),
        "life": _life(f"{key}.life", work, worst),
        "life_place": Figure(f"{key}.life_place", worst + 1.0, "count", C),
    }
    if asked.ask.cover is not None:
        least = asked.ask.cover + float(path.margins[:2].min())
        figures["cover"] = Figure(f"{key}.cover", least, "length", C)
    if clear.size and np.isfinite(clear).all():
        figures["clear"] = Figure(f"{key}.clear", float(clear.min()), "length", C)
    return figures


def _life(key: str, work: PlanWork, place: int) -> Figure:
    """Life used of one place with its band; assumed where turns or steering are."""
    own = is_own(work.turns) and work.steering.bores > 0
    used = work.life[place]
    return Figure(key, used.best, "life", C if own else A, used.low, used.high)


def _rows(
    key: str, ask: PlanAsk, path: PlannedPath, work: PlanWork, driven: Driven | None
) -> tuple[PlanRow, ...]:
    rows = []
    slope = ask.exit_height / ask.distance
    for rod in range(1, path.rods + 1):
        at = rod * path.pieces
        across, height = float(path.across[at]), float(path.height[at])
        own = f"{key}.{rod}"
        rows.append(
            PlanRow(
                rod,
                {
                    "pitch": Figure(f"{own}.pitch", float(path.pitch[rod]), "slope", C),
                    "change": Figure(f"{own}.change", float(path.change[rod - 1]), "angle", C),
                    "across": Figure(f"{own}.across", across, "distance", C),
                    "depth": Figure(f"{own}.depth", slope * across - height, "length", C),
                    "life": _life(f"{own}.life", work, rod - 1),
                    **(driven.rods.get(rod, {}) if driven else {}),
                },
            )
        )
    return tuple(rows)


def _utilities(asked: Asked, path: PlannedPath | None, key: str) -> tuple[UtilityRow, ...]:
    rows = []
    for number, each in enumerate(asked.utilities):
        own = f"{key}.utility.{each.utility}"
        figures = {
            "at": Figure(f"{own}.at", each.at, "distance", M),
            "depth_top": Figure(f"{own}.depth_top", each.depth_top, "length", M),
            "size": Figure(f"{own}.size", each.size, "size", M),
        }
        if asked.ask is not None:
            way = asked.ask.in_way[number]
            figures["keep"] = Figure(f"{own}.keep", way.keep, "length", A)
            clear = float(path.margins[2 + number]) if path is not None else math.nan
            figures["clear"] = Figure(
                f"{own}.clear", clear if math.isfinite(clear) else None, "length", C
            )
        rows.append(UtilityRow(each.utility, each.what, each.how, each.runs, figures))
    return tuple(rows)


def _limits(asked: Asked, worked: Worked, key: str) -> tuple[Sentence, ...]:
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


def _cautions(asked: Asked) -> tuple[Sentence, ...]:
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


def _figures(plan: Plan, key: str) -> dict[str, Figure]:
    lengths = {"exit_height": plan.exit_height, "cover": plan.cover, "cover_from": plan.cover_from,
               "cover_to": plan.cover_to, "product_radius": plan.product_radius,
               "steer_radius": plan.steer_radius}  # fmt: skip
    sizes = {"product_od": plan.product_od, "hole_diameter": plan.hole_diameter}
    found = {
        "distance": Figure(f"{key}.distance", plan.distance, "distance", M),
        "entry_pitch": Figure(f"{key}.entry_pitch", -abs(plan.entry_pitch), "slope", M),
        "exit_pitch": Figure(f"{key}.exit_pitch", abs(plan.exit_pitch), "slope", M),
    }
    for values, quantity in ((lengths, "length"), (sizes, "size")):
        found |= {
            name: Figure(f"{key}.{name}", value, quantity, M)
            for name, value in values.items()
            if value
        }
    return found


def _drawing(
    asked: Asked, worked: Worked, path: PlannedPath | None, driven: Driven | None
) -> PlanDrawing | None:
    ask = asked.ask
    if ask is None:
        return None

    def points(each: PlannedPath) -> tuple[tuple[float, float], ...]:
        return tuple(zip(each.across.tolist(), each.height.tolist(), strict=True))

    paths = {name: points(each) for name, (each, _) in worked.items()}
    ends = () if path is None else points(path)[:: path.pieces]
    slope = ask.exit_height / ask.distance
    in_way = tuple(
        (w.name, w.at, w.to, None if w.depth is None else slope * w.at - w.depth,
         (u.size or 0.0) / 2.0, w.keep + DEPTH_ERROR * (w.depth or 0.0))
        for w, u in zip(ask.in_way, asked.utilities, strict=True)
    )  # fmt: skip
    cover = None if ask.cover is None else (ask.cover_from, ask.cover_to, ask.cover)
    return PlanDrawing(
        ask.distance, ask.exit_height, paths, ends, in_way, cover, _aside(asked.plan, path),
        driven.side_m if driven else (), driven.above_m if driven else (),
    )  # fmt: skip


def _aside(plan: Plan, path: PlannedPath | None) -> tuple[tuple[float, float], ...]:
    """Plan view of a kept path with headings: level along the line, and right of it. [m]"""
    headings = plan.target_headings
    if path is None or path.name != KEPT_PLAN or not any(headings):
        return ()
    turned = np.interp(
        np.arange(len(path.across)) / path.pieces, np.arange(len(headings) + 1), (0.0, *headings)
    )
    step = np.diff(path.across)
    mid = (turned[:-1] + turned[1:]) / 2.0
    along, right = np.cumsum(step * np.cos(mid)), np.cumsum(step * np.sin(mid))
    return ((0.0, 0.0), *zip(along.tolist(), right.tolist(), strict=True))
