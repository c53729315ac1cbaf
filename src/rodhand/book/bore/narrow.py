"""What would narrow the band of life used most, for a rod and for a bore: a plain list."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.beliefs import belief_of
from rodhand.book.work.assess import Assessment
from rodhand.book.work.bore_work import place_key
from rodhand.book.work.rod_history import BoreOfRod, RodHistory
from rodhand.drillstring.turns import SIGMA_LN_TURNS, TurnRung
from rodhand.units import Figure, Standing
from rodhand.wear.life_used import NINETY_PERCENT, variance_with
from rodhand.wear.narrowing import PAST_SIGMA, Known, RodBelief, band_of, width_of
from rodhand.wear.sections import SECTIONS

C = Standing.COMPUTED
LEAST_GAIN = 0.01
"""Less than this share of the band is nothing to gain. [-]"""
TIMED = SIGMA_LN_TURNS[TurnRung.RPM_MINUTES]


@dataclass(frozen=True)
class NarrowRow:
    """One input that could be measured.

    Parameters
    ----------
    code : str
        heading, time, counter, pass, hole, make_up, marks, past or gauge.
    state : str
        ``gain``, ``nothing`` (to gain), ``had`` (it is measured, nothing is left to measure) or
        ``unknown`` (what it would give).
    sentence : Sentence
        What to do and what it gives, or that it gives nothing.
    figures : dict of str to Figure
        ``narrower``: share of the band, as ln(high / low), that it takes away.
    """

    code: str
    state: str
    sentence: Sentence
    figures: dict[str, Figure]


@dataclass(frozen=True)
class NarrowView:
    """What would narrow a band most.

    Parameters
    ----------
    lead : Sentence
        Whose band, and how wide it is.
    rows : tuple of NarrowRow
        The largest gain first.
    stays : Sentence
        What no measuring narrows.
    figures : dict of str to Figure
        ``factor`` (high over low) now, ``factor_all`` had all of it been measured, ``factor_stays``
        of what no reading narrows.
    """

    lead: Sentence
    rows: tuple[NarrowRow, ...]
    stays: Sentence
    figures: dict[str, Figure]


@lru_cache(maxsize=256)
def narrow_of_thing(assessment: Assessment, key: str) -> NarrowView | None:
    """What would narrow the band of a rod's life used most.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    key : str
        Key of the rod.

    Returns
    -------
    NarrowView or None
        None for a thing without life used, without work in a bore, or with work nobody knows the
        size of: its band has no upper end.
    """
    history = assessment.histories.get(key)
    if history is None or not history.bores or history.life.worst.at_least:
        return None
    name = assessment.book.things[key].name
    return _view(assessment, history, history.bores, True, name, f"thing.{name}.narrow")


@lru_cache(maxsize=256)
def narrow_of_bore(assessment: Assessment, name: str) -> NarrowView | None:
    """What would narrow the band of one bore's hardest worked rod most, in that bore alone.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    name : str
        The bore.

    Returns
    -------
    NarrowView or None
        None where no rod of it has life used.
    """
    worst: tuple[float, RodHistory, BoreOfRod, str] | None = None
    for key, history in assessment.histories.items():
        for did in history.bores:
            if did.bore != name:
                continue
            used = history.life_of(did).worst.design
            if math.isfinite(used) and (worst is None or used > worst[0]):
                worst = used, history, did, assessment.book.things[key].name
    if worst is None or worst[0] <= 0.0:
        return None
    _, history, did, rod = worst
    return _view(assessment, history, (did,), False, rod, f"bore.{name}.narrow")


def rod_belief(
    assessment: Assessment, history: RodHistory, bores: Sequence[BoreOfRod], with_past: bool
) -> tuple[RodBelief, int]:
    """A rod's governing section in some bores as it may have been, and that section's number.

    Threads cut away since count as they count in life used: not at all.
    """
    life = history.life if with_past else history.life_of(bores[0])
    section = SECTIONS.index(life.worst.section)
    beliefs = []
    made = {
        did.bore: sum(float(each.best[section]) for each in history.counting(did)) for did in bores
    }
    heaviest = max(made, key=lambda bore: made[bore], default=None)
    for did in bores:
        if not made[did.bore] > 0.0:
            continue
        keys = [place_key(place) for place in did.places]
        belief = belief_of(assessment, did.bore, keys, (section,), did.bore == heaviest)
        if belief is not None:
            beliefs.append(belief)
    past = [
        (float(each.best[section]), each.turns_sigma)
        for each in (history.past if with_past else ())
        if each.best[section] > 0.0
    ]
    sigma = math.sqrt(variance_with(history.slopes[section], history.classes[section]))
    return RodBelief(beliefs, past, sigma), section


def _view(
    assessment: Assessment, history: RodHistory, bores: Sequence[BoreOfRod], with_past: bool,
    rod: str, key: str,
) -> NarrowView | None:  # fmt: skip
    belief, section = rod_belief(assessment, history, bores, with_past)
    if not belief.bores:
        return None
    now = band_of(belief)
    rows = sorted(_rows(belief, now.width, key), key=_by_gain)
    stays = 2.0 * NINETY_PERCENT * belief.sigma
    figures = {
        "factor": Figure(f"{key}.factor", _factor(now.width), "factor", C),
        "factor_all": Figure(f"{key}.factor_all", _factor(width_of(belief, ALL)), "factor", C),
        "factor_stays": Figure(f"{key}.factor_stays", math.exp(stays), "factor", C),
    }
    lead = "narrow.lead" if with_past else "narrow.lead_bore"
    values: dict[str, str | Figure] = {
        "rod": rod, "section": str(SECTIONS[section]), "factor": figures["factor"],
    }  # fmt: skip
    return NarrowView(
        Sentence(lead, values), tuple(rows),
        Sentence("narrow.stays", {"factor": figures["factor_stays"]}), figures,
    )  # fmt: skip


def _factor(width: float) -> float | None:
    return math.exp(width) if math.isfinite(width) else None


def _by_gain(row: NarrowRow) -> tuple[int, float]:
    narrower = row.figures["narrower"].value or 0.0
    return ("gain", "unknown", "nothing", "had").index(row.state), -narrower


def _open(belief: RodBelief) -> dict[str, bool]:
    """Which inputs are not measured in some bore."""
    passes = [each for bore in belief.bores for each in bore.passes]
    known = [each for each in passes if not each.may_be_none]
    worst = max((each.turns_sigma for each in known), default=0.0)
    return {
        "heading": any(bore.flat.any() for bore in belief.bores),
        "time": worst > TIMED,
        "counter": worst > SIGMA_LN_TURNS[TurnRung.COUNTER],
        "pass": any(each.may_be_none for each in passes),
        "hole": not all(each.hole_measured for each in passes),
        "make_up": any((each.least < 1.0).any() for each in passes),
        "marks": any(each.stiffness.shape[0] > 1 for each in passes),
        "past": any(sigma > PAST_SIGMA for _, sigma in belief.past),
        "gauge": any(each.by_force for each in passes),
    }


KNOWN = {
    "heading": Known(heading=True),
    "time": Known(turns=TurnRung.RPM_MINUTES),
    "counter": Known(turns=TurnRung.COUNTER),
    "pass": Known(passes=True),
    "hole": Known(hole=True),
    "make_up": Known(make_up=True),
    "marks": Known(place=True),
    "past": Known(past=True),
    "gauge": Known(force=True),
}
ALL = Known(TurnRung.COUNTER, True, True, True, True, True, True, True)


def _rows(belief: RodBelief, width: float, key: str) -> list[NarrowRow]:
    is_open = _open(belief)
    rows = []
    for code, known in KNOWN.items():
        gain = _gain(width, width_of(belief, known)) if is_open[code] else 0.0
        if code == "gauge" and not is_open[code] and not _force_written(belief):
            rows.append(_row(code, "unknown", gain, key))
            continue
        state = "had" if not is_open[code] else "gain" if gain >= LEAST_GAIN else "nothing"
        rows.append(_row(code, state, gain, key))
    return rows


def _force_written(belief: RodBelief) -> bool:
    return all(each.force_written for bore in belief.bores for each in bore.passes)


def _gain(before: float, after: float) -> float:
    """Share of a band's width that is gone; all of it where its low end was nothing."""
    if math.isinf(before):
        return 0.0 if math.isinf(after) else 1.0
    return max(0.0, 1.0 - after / before) if before > 0.0 else 0.0


def _row(code: str, state: str, gain: float, key: str) -> NarrowRow:
    figure = Figure(f"{key}.{code}", gain, "share", C)
    values: dict[str, str | Figure] = {"narrower": figure} if state == "gain" else {}
    return NarrowRow(
        code, state, Sentence(f"narrow.{state}.{code}", values), {"narrower": figure}
    )  # fmt: skip
