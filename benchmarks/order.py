"""Time of the order of 200 rods for the next bore and for ten, and of seasons under five orders.

Run: python benchmarks/order.py [SEASONS] [PROCESSES], or python benchmarks/order.py booked
Aims: 1 s for the order of 200 rods, 10 s for ten booked bores, 60 s for 1,000 seasons of 60 rods.
"""

from __future__ import annotations

import sys
import time

import numpy as np
from anchor import MADE_UP, tables

from rodhand.advice.booked_case import BookedBore, BookedCase
from rodhand.advice.booked_order import booked_plan
from rodhand.advice.order_case import OrderCase
from rodhand.advice.rod_order import planned
from rodhand.book.order.order_case import box_kinds
from rodhand.book.order.turning import run
from rodhand.wear.chance_table import chance_table, spread_of
from rodhand.wear.declared_past import bore_damage
from rodhand.wear.sections import section_curves
from rodhand.wear.standard_mix import draw_bore
from rodhand.wear.turning import POLICIES, BoreToDrill, TurningCase

RODS, ROWS = 200, 4


def order_of_many() -> None:
    """Order 200 rods in each kind of box."""
    rng = np.random.default_rng(0)
    slopes = np.array([3.0, 4.7, 4.7, 4.7, 3.0])
    means = rng.lognormal(-3.0, 1.0, (RODS, 1)) * rng.lognormal(0.0, 0.3, (RODS, 5))
    added = np.linspace(0.02, 0.0, RODS)[:, None] * np.ones(5)
    per_row = RODS // ROWS
    box = tuple(tuple(f"{r}-{k}" for k in range(per_row)) for r in range(ROWS))
    for kind in box_kinds().values():
        began = time.perf_counter()
        chance = chance_table(means, added, spread_of(tuple(slopes)))
        worn = (means[:, None, :] + added[None]).max(axis=2)
        nowhere = np.zeros_like(chance, dtype=bool)
        case = OrderCase(kind, box, (), per_row, chance, worn, nowhere, 1000.0, 1.0)
        found = planned(case)
        took = time.perf_counter() - began
        print(f"{kind.name}: {RODS} rods in {took:.2f} s, gap {found.gap:.1%}")


def booked_bores() -> None:
    """Order 60 and 200 rods through ten booked bores, in each kind of box."""
    spread = spread_of((3.0, 4.7, 4.7, 4.7, 3.0))
    for rods in (60, RODS):
        for kind in box_kinds().values():
            rng = np.random.default_rng(0)
            means = rng.lognormal(-3.0, 1.0, (rods, 1)) * rng.lognormal(0.0, 0.3, (rods, 5))
            box = tuple(tuple(f"{r}-{k}" for k in range(rods // ROWS)) for r in range(ROWS))
            nowhere = np.zeros((rods, rods), dtype=bool)
            heavy = rng.lognormal(0.0, 0.3, 10)
            bores = tuple(
                BookedBore(f"{k}", each * np.linspace(0.01, 0.0, rods)[:, None] * np.ones(5),
                           1000.0, nowhere)
                for k, each in enumerate(heavy)
            )  # fmt: skip
            case = BookedCase(kind, box, (), rods // ROWS, means, spread, bores, 1.0)
            began = time.process_time()
            found = booked_plan(case)
            took = time.process_time() - began
            print(f"{kind.name}: {rods} rods, ten bores in {took:.1f} s, gap {found.gap:.1%}")


def seasons_of_mix(seasons: int, processes: int) -> None:
    """Seasons of the standard mix, 60 rods in four rows."""
    rod, curves = tables()
    rng = np.random.default_rng(0)
    bores = []
    for _ in range(60):
        bore = draw_bore(rng, rod)
        cost = bore_damage(bore, rod, curves, "head", MADE_UP)
        bores.append(BoreToDrill(cost.design, cost.mean, 0.2, len(bore.bend) * bore.rod_length,
                                 bore.rotating_time / 3600.0))  # fmt: skip
    slopes = np.array([curve.slope for curve in section_curves(rod, curves)])
    began = time.perf_counter()
    found = run(TurningCase(bores, 60, 15, slopes, 0.1), seasons, processes=processes)
    print(f"{seasons} seasons in {time.perf_counter() - began:.1f} s, digest {found.digest[:12]}")
    first, broke = found.retire_metres[:, 0], found.break_hours[:, 0]
    for k, name in enumerate(POLICIES):
        used, hours = found.retire_metres[:, k], found.break_hours[:, k]
        print(
            f"  {name}: metres to the first used up {np.nanmedian(used):,.0f}"
            f" ({np.nanmedian(used) / np.nanmedian(first):.2f}), hours to the first break"
            f" {np.nanmedian(hours) / np.nanmedian(broke):.2f}, breaks"
            f" {found.breaks[:, k].mean() / found.breaks[:, 0].mean():.2f} of the same order's"
        )


if __name__ == "__main__":
    if sys.argv[1:] == ["booked"]:
        booked_bores()
    else:
        numbers = [int(each) for each in sys.argv[1:]]
        order_of_many()
        seasons_of_mix(numbers[0] if numbers else 1000, numbers[1] if len(numbers) > 1 else 1)
