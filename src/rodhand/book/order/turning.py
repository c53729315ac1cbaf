"""What turning would give on a rig's own bores: five ways of ordering over many seasons."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context

import numpy as np
from numpy.typing import NDArray

from rodhand.advice.leading import FEWEST_BORES
from rodhand.book.order.order_case import box_as_it_lies
from rodhand.book.order.place_work import mean_by_place, rod_type_of_rig
from rodhand.book.order.turning_due import Due, due_of, median_band
from rodhand.book.order.turning_memory import keep, kept, key_of
from rodhand.book.tasks.set_tasks import bores_of_rig
from rodhand.book.work.assess import Assessment, classes_of
from rodhand.book.work.bore_work import place_key
from rodhand.book.work.box_of import NoSuchRigError, rig_named
from rodhand.book.work.moments import places_alone
from rodhand.faults import BadInputError, Fault
from rodhand.units import Figure, Standing
from rodhand.wear.declared_past import bore_damage
from rodhand.wear.sections import SECTIONS, Condition, section_curves
from rodhand.wear.standard_mix import draw_bore
from rodhand.wear.turning import (
    POLICIES,
    BoreToDrill,
    Seasons,
    TurningCase,
    chunks,
    joined,
    run_chunk,
)

Floats = NDArray[np.float64]
SEED, MIX_BORES = 1, 60
BEND_ERROR_OF_MIX, TURNS_ERROR_OF_MIX = 0.3, 0.45
"""Errors of ln damage and of ln turns where invented bores stand for a rig's own (assumed)."""
DEFAULT_RODS, DEFAULT_ROWS = 60, 4
MOST_SEASONS = 10_000
C, A = Standing.COMPUTED, Standing.ASSUMED


@dataclass(frozen=True)
class PolicyRow:
    """One way of ordering; figures are medians with 90 % bands, breaks the mean."""

    how: str
    figures: dict[str, Figure]


@dataclass(frozen=True)
class TurningView:
    """What turning would give.

    Parameters
    ----------
    state : str
        ``known``; ``type`` where no rod type is known; ``to work`` where only kept seasons were
        asked for and none are.
    own : int
        Own bores drawn from; 0 for invented ones.
    due : Due or None
        Whether a turned set comes due at once, and how to stagger buying; None where no rod of it
        was used up in the longest season.
    digest : str
        SHA-256 of all seasons.
    """

    invented: bool
    rig: str
    state: str
    own: int = 0
    rows: tuple[PolicyRow, ...] = ()
    due: Due | None = None
    digest: str = ""
    figures: dict[str, Figure] | None = None


def turning_case(assessment: Assessment, rig: str) -> tuple[TurningCase, int] | None:
    """A rig's set and the bores it may meet, and how many of them are its own.

    Five own bores at least, else the standard mix; None where no rod type is known.
    """
    rod = rod_type_of_rig(assessment, rig)
    if rod is None:
        return None
    names = bores_of_rig(assessment, rig)
    slopes = np.array([each.slope for each in section_curves(rod, assessment.curves)])
    known = assessment.book.rigs[rig]
    lying = sum(len(row) for row in box_as_it_lies(assessment, rig))
    rods = lying or (known.box_rows or 0) * (known.rods_per_row or 0) or DEFAULT_RODS
    row = min(known.rods_per_row or -(-rods // (known.box_rows or DEFAULT_ROWS)), rods)
    if len(names) >= FEWEST_BORES:
        bores = [_own(assessment, name) for name in names]
        sigma = [each.turns.sigma for name in names for each in assessment.works[name].passes]
        return TurningCase(bores, rods, row, slopes, float(np.mean(sigma))), len(names)
    rng = np.random.default_rng(SEED)
    factor = np.array([each.factor for each in classes_of(assessment, rod)])
    mixed = []
    for _ in range(MIX_BORES):
        bore = draw_bore(rng, rod)
        cost = bore_damage(bore, rod, assessment.curves, "head", Condition())
        mixed.append(
            BoreToDrill(cost.design * factor, cost.mean * factor, BEND_ERROR_OF_MIX,
                        len(bore.bend) * bore.rod_length, bore.rotating_time / 3600.0)
        )  # fmt: skip
    return TurningCase(mixed, rods, row, slopes, TURNS_ERROR_OF_MIX), 0


def _own(assessment: Assessment, name: str) -> BoreToDrill:
    work = assessment.works[name]
    alone = places_alone(work, "")
    mean = mean_by_place(assessment, name)
    factor = np.array([each.factor for each in classes_of(assessment, work.rod_type)])
    design, error = np.zeros_like(mean), 0.0
    for place in range(1, work.rod_count + 1):
        did = alone.get(place_key(place))
        if did is not None:
            none = np.zeros(len(SECTIONS))
            design[place - 1] = factor * sum((c.design for c in did.contributions), none)
            error = max(error, *(float(c.bend_error.mean()) for c in did.contributions))
    hours = max((did.rotating_time for did in alone.values()), default=0.0) / 3600.0
    metres = float(work.hole.rods.edges[-1] - work.hole.rods.edges[0])
    return BoreToDrill(design, mean, error, metres, hours)


def run(
    case: TurningCase, seasons: int, seed: int = SEED, processes: int = 1,
    told: Callable[[int, int], None] | None = None,
) -> Seasons:  # fmt: skip
    """Seasons of a case; the same on any number of processes.

    Parameters
    ----------
    case : TurningCase
        The set and its bores.
    seasons, seed, processes : int
        How many, of which seed, on how many processes.
    told : callable, optional
        Told how many seasons of how many are done.
    """
    work = [(case, seed, each) for each in chunks(seasons)]
    if processes == 1:
        return _gather(map(run_chunk, work), seasons, told)
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        return _gather(pool.map(run_chunk, work), seasons, told)


def _gather(
    parts: Iterable[Seasons], seasons: int, told: Callable[[int, int], None] | None
) -> Seasons:
    found = []
    for part in parts:
        found.append(part)
        if told is not None:
            told(sum(len(each.breaks) for each in found), seasons)
    return joined(found)


def turning_view(
    assessment: Assessment, rig: str, seasons: int, processes: int = 1,
    told: Callable[[int, int], None] | None = None, only_kept: bool = False,
) -> TurningView:  # fmt: skip
    """What turning would give on a rig; with `only_kept` nothing that takes seconds is worked out.

    Raises
    ------
    NoSuchRigError
        If the book has no such rig.
    BadInputError
        If the number of seasons is out of range.
    """
    name = rig_named(assessment.book, rig) if rig.strip() else ""
    if not name:
        raise NoSuchRigError(rig)
    if not 1 <= seasons <= MOST_SEASONS:
        raise BadInputError([Fault("turning_seasons", f"{seasons}", column="seasons",
                                   values={"most": f"{MOST_SEASONS}"})], "turning")  # fmt: skip
    found = turning_case(assessment, name)
    if found is None:
        return TurningView(assessment.invented, name, "type")
    case, own = found
    key = key_of(case, seasons, SEED)
    what = kept(key)
    if what is None and only_kept:
        return TurningView(assessment.invented, name, "to work", own)
    if what is None:
        what = run(case, seasons, SEED, processes, told)
        keep(key, what)
    stand = C if own else A
    rows = tuple(PolicyRow(how, _of_policy(f"turning.{name}.{how}", what, k, stand))
                 for k, how in enumerate(POLICIES))  # fmt: skip
    figures = {
        "seasons": Figure(f"turning.{name}.seasons", float(seasons), "count", C),
        "rods": Figure(f"turning.{name}.rods", float(case.rods), "count", stand),
    }
    return TurningView(assessment.invented, name, "known", own, rows,
                       due_of(name, what, case, stand), what.digest, figures)  # fmt: skip


def _of_policy(own: str, what: Seasons, k: int, stand: Standing) -> dict[str, Figure]:
    hours = 3600.0 * what.break_hours[:, k]
    return {
        "retire": median_band(f"{own}.retire", what.retire_metres[:, k], "long_distance", stand),
        "first_break": median_band(f"{own}.first_break", hours, "hours", stand),
        "breaks": _mean(f"{own}.breaks", what.breaks[:, k], stand),
    }


def _mean(key: str, values: Floats, stand: Standing) -> Figure:
    low, high = np.quantile(values, [0.05, 0.95], method="inverted_cdf")
    return Figure(key, float(values.mean()), "mean_count", stand, low=float(low),
                  high=float(high))  # fmt: skip
