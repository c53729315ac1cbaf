"""The truth about a season, for tests alone: nothing of the product reads it."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from rodhand.demo.box import order_before
from rodhand.demo.care import GOOD_COMPARISON, SECOND_COMPARISON
from rodhand.demo.plan import B1
from rodhand.demo.planted import SUB_CHANGED, over_limit, planted_truths
from rodhand.demo.season import DEFAULT_SEED, Story, as_of, story


def truth(seed: int = DEFAULT_SEED, planted: bool = True) -> dict[str, Any]:
    """What is true of one season.

    Parameters
    ----------
    seed : int
        Seed of the season.
    planted : bool
        Whether the planted truths are in it.

    Returns
    -------
    dict
        ``seed``, ``planted``, ``as_of``; ``over_limit``: every bend past the maker's limit with the
        rods that passed it, stood in it at the end, and never reached it; ``truths``: the planted
        truths by ``key`` with the things they are about (empty when nothing is planted);
        ``bores``: each bore with its rods in order and how sure that order is; ``causes``: thing ->
        why a finding about it has a cause.
    """
    told = story(seed, planted)
    by_name = {bore.name: bore for bore in told.bores}
    orders = {bore.name: order_before(told.orders, bore) for bore in told.bores}
    led = [bore.name for bore in told.bores if bore.rig == "Rig-40"]
    over = [item for bore in told.drilled for item in over_limit(bore, orders[bore.plan.name])]
    used = {bore.plan.name: orders[bore.plan.name][: bore.rods] for bore in told.drilled}
    truths = planted_truths(by_name, told.orders, led) if planted else []
    for item in truths:
        if item["key"] == "gauge":
            item["made_up_since"] = _used(told, used, "Rig-40", GOOD_COMPARISON, SECOND_COMPARISON)
        if item["key"] == "galled-sub":
            item["met"] = _used(told, used, "Rig-12", B1, SUB_CHANGED)
    return {
        "seed": seed,
        "planted": planted,
        "as_of": as_of(),
        "over_limit": over,
        "truths": truths,
        "bores": [
            {
                "bore": bore.plan.name,
                "rig": bore.plan.rig,
                "day": bore.plan.day.strftime("%Y-%m-%d"),
                "style": bore.plan.style.name,
                "rods": list(used[bore.plan.name]),
                "how": bore.plan.how_loaded,
                "pullback_recorded": not bore.plan.pullback_missing,
            }
            for bore in told.drilled
        ],
        "causes": _causes(over, truths),
    }


def _used(
    told: Story, used: Mapping[str, Sequence[str]], rig: str, since: datetime, until: datetime
) -> list[str]:
    """Rods of one rig that went into the hole between two moments, in order of first use."""
    bores = [bore for bore in told.bores if bore.rig == rig and since <= bore.day < until]
    return list(dict.fromkeys(mark for bore in bores for mark in used[bore.name]))


def _causes(over: list[dict[str, Any]], truths: list[dict[str, Any]]) -> dict[str, list[str]]:
    """Thing -> keys of the truths and bends it has part in."""
    causes: dict[str, list[str]] = {}
    for item in over:
        reason = f"over-limit {item['bore']} station {item['station']:g}"
        for thing in (*item["passed"], *item["in_it"]):
            causes.setdefault(thing, []).append(reason)
    for item in truths:
        named = [item[one] for one in ("sub", "thing", "grown") if one in item]
        for many in ("things", "neighbours", "made_up_since", "met"):
            named += item.get(many, [])
        for thing in dict.fromkeys(named):
            causes.setdefault(thing, []).append(item["key"])
    return causes


def write_truth(file: Path, seed: int = DEFAULT_SEED, planted: bool = True) -> None:
    """Write the truth to a JSON file for a test to open."""
    file.write_text(json.dumps(truth(seed, planted), indent=1) + "\n", encoding="utf-8")
