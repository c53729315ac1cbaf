"""One invented hole read by a crew and estimated: how far off, and whether the band held."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from invented_holes import Crew, draw_truth, read

from rodhand.hole.bend_posterior import bend_posterior
from rodhand.hole.bends import hole_bends, per_rod
from rodhand.hole.best_path import best_path
from rodhand.hole.pilot_log import pilot_readings

HALF = math.radians(0.5)
CASES: dict[str, dict[str, Any]] = {
    "asked": {"kind": "both"},
    "asked, straight": {"kind": "straight"},
    "asked, curved": {"kind": "curved"},
    "wander only": {"kind": "wander"},
    "heading 1 deg": {"crew": Crew(heading=math.radians(1.0)), "told": 1.0},
    "bias three times": {"crew": Crew(bias=0.006)},
    "step 1 %": {"crew": Crew(step=0.01)},
    "roll offset 0.3 %": {"crew": Crew(roll=0.003)},
    "roll offset 0.5 %": {"crew": Crew(roll=0.005)},
    "gross 5 %": {"crew": Crew(gross=0.05)},
    "sensor unknown": {"crew": Crew(sensor=1.2), "sensor_known": False},
    "kink inside": {"kinked": True},
    "kink, sensor unknown": {"kinked": True, "crew": Crew(sensor=1.2), "sensor_known": False},
    "row dropped, told": {"crew": Crew(dropped="told")},
    "row dropped, untold": {"crew": Crew(dropped="untold")},
}


@dataclass(frozen=True)
class Outcome:
    """Ratios at m 3 and 4.7 by estimate and raw, sums, coverage, and what was told."""

    true: tuple[float, float]
    estimated: tuple[float, float]
    raw: tuple[float, float]
    covered: float
    sharp: tuple[int, int]
    sum_covered: bool
    told: tuple[str, ...]


def one_hole(case: str, seed: int) -> Outcome:
    """Draw, read, estimate and compare one hole."""
    how = CASES[case]
    rng = np.random.default_rng([seed, len(case)])
    kind = how.get("kind", "both")
    kind = ("straight", "curved")[seed % 2] if kind == "both" else kind
    truth = draw_truth(rng, kind, how.get("kinked", False))
    rows = read(rng, truth, how.get("crew", Crew()))
    known = how.get("sensor_known", True)
    log = pilot_readings(
        rows.station.tolist(), rows.pitch.tolist(), length=[truth.rod] * len(rows.station),
        heading=rows.heading.tolist(),
    )  # fmt: skip
    path = best_path(log, error_of(how), sensor_known=known)
    assert path is not None
    found = bend_posterior(path)
    low, high = found.band()
    true = rows.bends
    inside = (low <= true) & (true <= high)
    sharp = true > 0.8 * truth.rod / truth.limit
    raw = per_rod(hole_bends(log)).angle
    draws = (found.draw(400, seed) ** 4.7).sum(axis=1)
    least, most = np.quantile(draws, (0.05, 0.95))
    return Outcome(
        (float((true**3).sum()), float((true**4.7).sum())),
        (float(found.expected_power(3).sum()), float(found.expected_power(4.7).sum())),
        (float((raw**3).sum()), float((raw**4.7).sum())),
        float(inside.mean()), (int(inside[sharp].sum()), int(sharp.sum())),
        bool(least <= (true**4.7).sum() <= most),
        tuple(str(doubt) for doubt in path.doubts),
    )  # fmt: skip


def error_of(how: dict[str, Any]) -> Any:
    """The reading error the estimate is told; the usual unless the case says otherwise."""
    from rodhand.hole.readings import ReadingError

    return ReadingError(heading=math.radians(how["told"])) if "told" in how else None


def ratios(rows: Sequence[Outcome], raw: bool = False) -> np.ndarray:
    """Estimated over true, one row per hole, columns m 3 and 4.7."""
    made = np.array([r.raw if raw else r.estimated for r in rows])
    return np.asarray(made / np.array([r.true for r in rows]))


def summary(case: str, rows: Sequence[Outcome]) -> str:
    """One printed line."""
    mean, raw = ratios(rows).mean(axis=0), ratios(rows, raw=True).mean(axis=0)
    true = np.array([r.true for r in rows]).sum(axis=0)
    sums = np.array([r.estimated for r in rows]).sum(axis=0) / true
    cover = np.mean([r.covered for r in rows])
    sharp = sum(r.sharp[0] for r in rows) / max(sum(r.sharp[1] for r in rows), 1)
    whole = np.mean([r.sum_covered for r in rows])
    told = Counter(code for r in rows for code in r.told if code != "inside_of_rod_not_seen")
    return (
        f"{case:22} {len(rows):5} | {mean[0]:.3f} {sums[0]:.3f} {raw[0]:.2f} | {mean[1]:.3f} "
        f"{sums[1]:.3f} {raw[1]:.2f} | {cover:.3f} {sharp:.3f} {whole:.3f} | "
        + ", ".join(f"{code} {count / len(rows):.2f}" for code, count in told.items())
    )
