"""Samples of a bore: time of 150 rods, and bands before and after measuring on two bores.

Asked: 1,000 samples of a bore of 150 rods in 1.5 s. Run: python benchmarks/bands.py
"""

from __future__ import annotations

import time
from dataclasses import replace

import numpy as np

from rodhand.book.bore.narrow import ALL, KNOWN, rod_belief
from rodhand.book.work.assess import assess
from rodhand.book.work.in_force import default_curves
from rodhand.book.work.rod_history import BoreOfRod, RodHistory
from rodhand.demo.season import as_of, chained
from rodhand.drillstring.turns import SIGMA_LN_TURNS, TurnRung
from rodhand.record.reading_back import read_book
from rodhand.wear.belief import BoreBelief, PassBelief
from rodhand.wear.bend_powers import Scatter
from rodhand.wear.life_used import model_variance
from rodhand.wear.narrowing import Known, RodBelief, band_of, width_of
from rodhand.wear.sampled_points import mixture_point
from rodhand.wear.sampling import sample_bore

RODS = 150
BORES = ("S-64", "M-31")


def main() -> None:
    """Print the time and the table."""
    bore = _large_bore()
    start = time.perf_counter()
    made = sample_bore(bore)
    sigma = np.sqrt([model_variance(c.slope) for c in bore.passes[0].curves])
    for share, side in ((0.05, made.low), (0.95, made.high)):
        mixture_point(side, np.broadcast_to(sigma, side.shape[1:]), share)
    print(f"{RODS} rods, 2 passes, 1,000 samples, bands: {time.perf_counter() - start:.2f} s")
    print(f"digest {made.digest[:16]}")
    book = read_book(chained(7, True))
    assessment = assess(book, as_of(), chained(7, True))
    for name in BORES:
        rods = {
            key: history.life_of(did).worst.design
            for key, history in assessment.histories.items()
            for did in history.bores
            if did.bore == name and not did.in_doubt
        }
        history = assessment.histories[max(rods, key=lambda key: rods[key])]
        did = next(each for each in history.bores if each.bore == name)
        _table(name, assessment, history, did)


def _table(name: str, assessment: object, history: RodHistory, did: BoreOfRod) -> None:
    belief, section = rod_belief(assessment, history, (did,), False)  # type: ignore[arg-type]
    print(f"{name}, hardest worked, section {section}: high over low, work alone and life used")
    guessed = _with_rung(belief, TurnRung.OWN_PAST)
    rows = [
        ("as logged", belief, Known()),
        *((code, belief, KNOWN[code]) for code in ("heading", "hole", "counter", "gauge")),
        ("all", belief, ALL),
        ("rpm not logged", guessed, Known()),
        ("then rpm and minutes", guessed, Known(turns=TurnRung.RPM_MINUTES)),
    ]
    for label, rod, known in rows:
        work = np.exp(width_of(replace(rod, sigma=1e-6), known))
        life = np.exp(width_of(rod, known))
        print(f"  {label:22} {work:8.2f} {life:8.2f}")
    drawn, told = band_of(belief), history.life_of(did).sections[section]
    print(f"  life used {drawn.low:.5f} to {drawn.high:.4f} by samples", end=", ")
    print(f"{told.low:.5f} to {told.high:.4f} in closed form")


def _with_rung(belief: RodBelief, rung: TurnRung) -> RodBelief:
    """The rod had no turns been logged: the rig's own past per metre."""
    bores = [
        replace(
            bore,
            passes=[
                replace(each, turns_sigma=SIGMA_LN_TURNS[rung], rung=str(rung))
                for each in bore.passes
            ],
        )
        for bore in belief.bores
    ]
    return replace(belief, bores=bores)


def _large_bore() -> BoreBelief:
    curves = default_curves()
    five = (curves.thread, curves.weld, curves.tube, curves.weld, curves.thread)
    rng = np.random.default_rng(1)
    bend = np.zeros((5, RODS, 2))
    bend[..., 0] = 0.005
    factors = np.zeros((5, RODS, 2, 2 * RODS))
    factors[:, :, 0, :RODS] = factors[:, :, 1, RODS:] = 0.001 * np.eye(RODS)
    scatter = Scatter(bend, factors)
    holes = np.array([1.2, 1.0, 0.6])[:, None, None]
    turns = rng.uniform(0.0, 100.0, (RODS, 5, RODS))
    each = PassBelief(
        turns=np.stack((turns, turns, 3.0 * turns)),
        stiffness=np.full((RODS, 5), 1.5e10),
        curves=five,
        scatter=scatter,
        size=bend[..., 0],
        powers={m: holes * scatter.expected(m) for m in (3.0, 4.7, 5.0)},
        rung="counter",
        turns_sigma=0.02,
        may_be_none=False,
        least=np.ones((RODS, 5)),
        by_force={},
    )
    flat = np.zeros(RODS, dtype=bool)
    return BoreBelief(1, [each, each], factors[0, :, 1, :], flat, np.full(RODS, 3.0))


if __name__ == "__main__":
    main()
