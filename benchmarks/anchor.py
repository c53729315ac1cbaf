"""The anchor: hours to the first break in a 60-rod set under the standard invented bore mix.

Run: python benchmarks/anchor.py [SEASONS] [--read]
By default every string is laid into its hole (model 2); --read takes the hole's bend times the
assumed factors of model 1.
Reported, never met by turning a knob. A trade experience figure for the life of a set is about
1,600 h (READ in a trade article, "maybe 1,600"); 800 to 3,200 rig hours is the range looked at.
"""

from __future__ import annotations

import math
import sys
import tomllib
from importlib.resources import files

import numpy as np

from rodhand.drillstring.lateral import weight_in_mud
from rodhand.drillstring.section_bend import Laid, steel_bends
from rodhand.drillstring.string_beam import RodBeam
from rodhand.hole.bend_states import plain_state
from rodhand.hole.damage_curvature import UNKNOWN_HOLE_RATIO
from rodhand.steel.curves import Curve, curve_from_fields
from rodhand.steel.rod_type import RodType, rod_type_from_fields
from rodhand.wear import standard_mix as mix
from rodhand.wear.bend_powers import BendPowers, laid_powers, slopes_of
from rodhand.wear.declared_past import bore_damage
from rodhand.wear.life_used import CRITICAL_SUM_MEDIAN, STRESS_MODEL_SIGMA, scatter_variance
from rodhand.wear.sections import SECTIONS, Condition, CurveSet, MakeUp, section_curves

SET, ROWS = 60, 4
MADE_UP = Condition(pin_makeup=MakeUp.KNOWN, box_makeup=MakeUp.KNOWN)
SPREAD = np.array([-2.0, -1.5, -1.0, -0.5, 0.0, 0.5, 1.0, 1.5, 2.0])


def tables() -> tuple[RodType, CurveSet]:
    """The mid rod of the built-in types and the curves of model 1."""
    data = files("rodhand.data")
    rods = tomllib.loads((data / "rod_types.toml").read_text(encoding="utf-8"))
    curves = tomllib.loads((data / "sn_curves.toml").read_text(encoding="utf-8"))

    def curve(table: str, name: str) -> Curve:
        return curve_from_fields(name, curves[table][name], table)

    chosen = CurveSet(
        curve("dnv_rp_c203_base_metal", "high_strength"),
        curve("dnv_rp_c203_air", "C"),
        curve("en_1993_1_9", "category_50"),
    )
    return rod_type_from_fields(rods["demo-mid"], "demo-mid"), chosen


def chance_unbroken(damage: np.ndarray, slopes: np.ndarray, common: bool) -> float:
    """Chance that no section of the set has broken, exact for independent scatter.

    With `common` the error of the stress model is one for the whole set (averaged over its
    distribution); otherwise it is each section's own, as in the chance of a break.
    """
    log_damage = np.log(np.maximum(damage, 1e-300) / CRITICAL_SUM_MEDIAN)
    if not common:
        sigma = np.sqrt(scatter_variance() + (slopes * STRESS_MODEL_SIGMA) ** 2)
        return float(np.exp(_log_survival(log_damage / sigma).sum()))
    weights = np.exp(-0.5 * SPREAD**2)
    shifted = [log_damage + z * slopes * STRESS_MODEL_SIGMA for z in SPREAD]
    each = [np.exp(_log_survival(x / math.sqrt(scatter_variance())).sum()) for x in shifted]
    return float(np.average(each, weights=weights))


def _log_survival(z: np.ndarray) -> np.ndarray:
    return np.log(np.maximum(0.5 * np.vectorize(math.erfc)(z / math.sqrt(2.0)), 1e-300))


def laid_in(bore: mix.MixBore, rod: RodType, curves: CurveSet) -> BendPowers | None:
    """The string laid into a hole 1.4 times its joint: own weight, no axial force, bends exact."""
    rods = len(bore.bend)
    edges = bore.rod_length * np.arange(rods + 1, dtype=float)
    beams = [RodBeam.of(rod)] * rods
    hole = plain_state(edges, bore.curvature)
    wide = UNKNOWN_HOLE_RATIO * rod.joint_od
    found = steel_bends(Laid(beams, hole, wide, float(edges[-1]), 0.0, weight_in_mud(rod)))
    return None if found is None else laid_powers(edges, found, [], slopes_of(curves), "head")


def season(seed: int, rod: RodType, curves: CurveSet, turned: bool, laid: bool) -> dict[str, float]:
    """One season until the set has surely broken; hours at even chance and figures there."""
    rng = np.random.default_rng(seed)
    slopes = np.array([c.slope for c in section_curves(rod, curves)])
    damage, design = np.zeros((SET, len(SECTIONS))), np.zeros((SET, len(SECTIONS)))
    order, hours, found = np.arange(SET), 0.0, {}
    step = SET // ROWS
    bores = 0
    while "common" not in found or "own" not in found:
        bore = mix.draw_bore(rng, rod)
        powers = laid_in(bore, rod, curves) if laid else None
        cost = bore_damage(bore, rod, curves, "head", MADE_UP, powers)
        rods = order[: len(bore.bend)]
        damage[rods] += cost.mean
        design[rods] += cost.design
        hours += bore.rig_time / 3600.0
        bores += 1
        for name, common in (("own", False), ("common", True)):
            if name not in found and chance_unbroken(damage, slopes, common) < 0.5:
                found[name] = hours
                found[f"{name} worst design"] = float(design.max())
                found[f"{name} section"] = float(design.max(axis=0).argmax())
        if turned:
            order = np.roll(order, -step)
    return found


def main(seasons: int, laid: bool) -> None:
    """Print the mix and the medians over seasons."""
    rod, curves = tables()
    print("Standard bore mix (invented):")
    for s in mix.STANDARD_MIX:
        print(
            f"  {s.share:.0%} {s.name}: curves at {s.entry_share:.2f} of the limit, wander "
            f"{100 * s.wander:.1f} % per rod in each plane, 1 over-steer in "
            f"{s.over_steer_every} rods{', one pre-ream' if s.pre_ream else ''}"
        )
    print(f"  {mix.LEAST_RODS}-{mix.MOST_RODS} rods, entry 12-16, exit 6-12 degrees; an over-steer")
    print(f"  bends {mix.OVER_STEER[0]:.1f} to {mix.OVER_STEER[1]:.1f} times the limit; pilot 100")
    print("  rpm at 1 m/min, pulls 80 rpm at 0.5 m/min; rig hours = rotating hours / 0.5")
    print(f"Set of {SET} {rod.name}, {ROWS} rows, limit radius {rod.limit_radius:.1f} m, make-up")
    print("known; bends exact;", "strings laid into 1.4 times the joint." if laid else "model 1.")
    print("Even chance of a first break, rig hours (trade range looked at: 800 to 3,200):")
    for turned in (True, False):
        runs = [season(seed, rod, curves, turned, laid) for seed in range(seasons)]
        for name, words in (
            ("own", "stress error of each section its own"),
            ("common", "stress error common to the set"),
        ):
            hours = np.array([run[name] for run in runs])
            worst = np.median([run[f"{name} worst design"] for run in runs])
            where = {SECTIONS[int(run[f"{name} section"])].value for run in runs}
            print(
                f"  {'rows turned' if turned else 'same order '}, {words}: median "
                f"{np.median(hours):,.0f} h (seasons {hours.min():,.0f} to {hours.max():,.0f}); "
                f"worst design then {worst:.2f} at {', '.join(sorted(where))}"
            )


if __name__ == "__main__":
    numbers = [int(each) for each in sys.argv[1:] if each.isdigit()]
    main(numbers[0] if numbers else 12, "--read" not in sys.argv)
