"""Figures, tables and drawing of a planned bore's page."""

from __future__ import annotations

import math

import numpy as np

from rodhand.book.plan.driven import Driven
from rodhand.book.plan.plan_views import PlanDrawing, PlanRow, UtilityRow
from rodhand.book.plan.plan_work import PlanWork, Range, is_own
from rodhand.book.plan.planned import Asked
from rodhand.book.plan.planned_wear import KEPT_PLAN
from rodhand.hole.plan_limits import DEPTH_ERROR, PlanAsk
from rodhand.hole.planned_path import PlannedPath
from rodhand.record.planned import Plan
from rodhand.units import Figure, Standing

A, C, M = Standing.ASSUMED, Standing.COMPUTED, Standing.MEASURED
Worked = dict[str, tuple[PlannedPath, PlanWork]]
"""By candidate: its path and what it takes."""


def _range(key: str, value: Range, quantity: str) -> Figure:
    return Figure(key, value.best, quantity, C if value.own else A, value.low, value.high)


def candidate_figures(
    key: str, asked: Asked, path: PlannedPath, work: PlanWork
) -> dict[str, Figure]:
    """Figures of one candidate by name, as the table of candidates shows them."""
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
    if work.pullback is not None:
        load = work.pullback.load
        for name, values, quantity in (
            ("pull_product", load.product, "force"), ("pull_rig", load.at_rig, "force"),
            ("torque_rig", load.torque, "torque"),
        ):  # fmt: skip
            low, best, high = values.tolist()
            figures[name] = Figure(f"{key}.{name}", best, quantity, A, low, high)
    elif asked.plan.product_od or asked.plan.product_mass:
        for name in ("pull_product", "pull_rig"):
            figures[name] = Figure(f"{key}.{name}", None, "force", Standing.UNKNOWN)
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


def plan_rows(
    key: str, ask: PlanAsk, path: PlannedPath, work: PlanWork, driven: Driven | None
) -> tuple[PlanRow, ...]:
    """One row for each rod of the path shown, with what was driven of it."""
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


def utility_rows(asked: Asked, path: PlannedPath | None, key: str) -> tuple[UtilityRow, ...]:
    """Utilities in the way, each with what the path shown leaves beyond what is to keep."""
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


def plan_figures(plan: Plan, key: str) -> dict[str, Figure]:
    """What was entered of the plan, by the name of its field."""
    lengths = {"exit_height": plan.exit_height, "cover": plan.cover, "cover_from": plan.cover_from,
               "cover_to": plan.cover_to, "product_radius": plan.product_radius,
               "steer_radius": plan.steer_radius}  # fmt: skip
    product = {"product_mass": (plan.product_mass, "line_mass"),
               "product_pull": (plan.product_pull, "force"),
               "reams": (None if plan.reams is None else float(plan.reams), "count")}  # fmt: skip
    sizes = {"product_od": plan.product_od, "hole_diameter": plan.hole_diameter}
    found = {
        "distance": Figure(f"{key}.distance", plan.distance, "distance", M),
        "entry_pitch": Figure(f"{key}.entry_pitch", -abs(plan.entry_pitch), "slope", M),
        "exit_pitch": Figure(f"{key}.exit_pitch", abs(plan.exit_pitch), "slope", M),
    }
    found |= {
        name: Figure(f"{key}.{name}", value, quantity, M)
        for name, (value, quantity) in product.items()
        if value is not None
    }
    for values, quantity in ((lengths, "length"), (sizes, "size")):
        found |= {
            name: Figure(f"{key}.{name}", value, quantity, M)
            for name, value in values.items()
            if value
        }
    return found


def plan_drawing(
    asked: Asked, worked: Worked, path: PlannedPath | None, driven: Driven | None
) -> PlanDrawing | None:
    """The side view; None where no path can be worked."""
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
