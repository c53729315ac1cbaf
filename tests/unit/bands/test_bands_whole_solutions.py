"""Samples of a string laid once, against the same string laid anew into every hole drawn."""

from __future__ import annotations

import numpy as np
import pytest

from rodhand.drillstring.section_bend import Laid, steel_bends
from rodhand.drillstring.string_beam import RodBeam
from rodhand.hole.bend_states import BendState, plain_state
from rodhand.steel.curves import Curve
from rodhand.wear.belief import BoreBelief, PassBelief
from rodhand.wear.bend_powers import BendPowers, Scatter, laid_powers
from rodhand.wear.sampling import sample_bore

THREAD = Curve("category 50", 3.0, 11.398, 0.20)
E = 206e9
LENGTH, RODS, DRAWN = 3.048, 10, 150
ROD = RodBeam(LENGTH, 0.18, 0.0603, 0.0699, E * 4.29e-7, E * 1.15e-6)


@pytest.mark.parametrize(("curve", "diameter"), [(0.06, 0.085), (0.045, 0.100)])
def test_the_damage_drawn_is_that_of_whole_solutions(curve: float, diameter: float) -> None:
    """One turn in every stretch, bends read to 0.0035 rad each; whole solutions do not share the
    random numbers, so quantiles of 150 of them are themselves within some per cent."""
    edges = LENGTH * np.arange(RODS + 1.0)
    bend = np.zeros((RODS, 2))
    bend[3:7, 0] = curve / LENGTH
    factors = np.zeros((RODS, 2, 2 * RODS))
    factors[:, 0, :RODS] = factors[:, 1, RODS:] = 0.0035 / LENGTH * np.eye(RODS)

    def powers(state: BendState) -> BendPowers | None:
        found = steel_bends(Laid([ROD] * RODS, state, diameter, RODS * LENGTH, 0.0, 80.0))
        return None if found is None else laid_powers(edges, found, [], (3.0,), "head")

    rng = np.random.default_rng(3)
    whole = []
    for _ in range(DRAWN):
        moved = bend + factors @ rng.standard_normal(2 * RODS)
        found = powers(plain_state(edges, moved))
        if found is not None:  # a string between two rests: the solver says so
            whole.append(found.by_slope[3.0].best.sum(axis=1))
    assert len(whole) > 0.95 * DRAWN

    laid = powers(BendState(edges, bend, factors))
    assert laid is not None
    one = np.ones((3, 1, 5, RODS))
    each = PassBelief(
        turns=one,
        stiffness=np.ones((1, 5)),
        curves=[THREAD] * 5,
        scatter=Scatter(laid.scatter.bend, laid.scatter.factors),
        size=laid.size,
        powers={3.0: np.stack([laid.by_slope[3.0].best] * 3)},
        rung="counter",
        turns_sigma=0.0,
        may_be_none=False,
        least=np.ones((1, 5)),
        by_force={},
    )
    flat = np.zeros(RODS, dtype=bool)
    bore = BoreBelief(1, [each], factors[:, 1, :], flat, np.full(RODS, LENGTH))
    drawn = sample_bore(bore).high[:, 0] * 10 ** (11.398 + 0.40) * 1e18
    for quantile, within in ((0.05, 0.12), (0.5, 0.06), (0.95, 0.12)):
        expected = np.quantile(np.array(whole), quantile, axis=0)
        assert np.quantile(drawn, quantile, axis=0) == pytest.approx(expected, rel=within)
