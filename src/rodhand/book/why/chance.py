"""Why the chance of a break of a rod is what it is: section by section."""

from __future__ import annotations

import math

from rodhand.advice.verdict import Sentence
from rodhand.book.why.why import NoSuchNumberError, WhyInput, WhyPart, WhyView, text
from rodhand.book.work.assess import Assessment
from rodhand.book.work.class_factors import calibration_in_force, class_names
from rodhand.book.work.rod_history import RodHistory
from rodhand.book.yard.thing_page import NoSuchThingError
from rodhand.units import Figure, Standing
from rodhand.wear.chance import (
    CLASS_ERROR,
    MOST_ASSUMED,
    broken_by,
    chance_of_break,
    section_chance,
)
from rodhand.wear.life_used import (
    CRITICAL_SUM_COV,
    CRITICAL_SUM_MEDIAN,
    LOG10_LIFE_SD,
    NINETY_PERCENT,
    STRESS_MODEL_SIGMA,
    LifeUsed,
)

C, A, M = Standing.COMPUTED, Standing.ASSUMED, Standing.MEASURED


def why_chance(assessment: Assessment, name: str) -> WhyView:
    """The chance of a break of one rod in a bore like its last one.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    name : str
        Mark or key of the rod.

    Returns
    -------
    WhyView
        The rod, then each of its five sections.

    Raises
    ------
    NoSuchThingError
        If nothing carries that mark or key.
    NoSuchNumberError
        If no chance is told: it was in no bore, or more than half of its history is assumed.
    """
    thing = assessment.book.thing_named(name)
    if thing is None:
        raise NoSuchThingError(name)
    history = assessment.histories.get(thing.key)
    if history is None or not history.bores or history.known_share is None:
        raise NoSuchNumberError(name)
    key = f"why.chance.{thing.name}"
    last = history.life_of(history.bores[-1])
    lives = history.life.sections
    chance = chance_of_break(
        [life.mean for life in lives], [life.mean for life in last.sections], history.slopes,
        1.0 - history.known_share, history.classes,
    )  # fmt: skip
    if chance is None:
        raise NoSuchNumberError(name)
    results = (
        WhyInput("chance_low", None, Figure(f"{key}.low", float(chance.at_least), "one_in", A)),
        WhyInput("chance_high", None, Figure(f"{key}.high", float(chance.at_most), "one_in", A)),
        WhyInput("chance_order", Sentence("why.source.order"),
                 Figure(f"{key}.order", chance.order, "fine_share", A)),
    )  # fmt: skip
    how = tuple(Sentence(f"why.how_{each}") for each in ("chance_rod", "chance_range"))
    parts = [
        WhyPart(Sentence("why.chance_rod"), results, how, _inputs(history, key)),
        *(
            _section(assessment, history, thing.name, k, (life, more), f"{key}.{k}")
            for k, (life, more) in enumerate(zip(lives, last.sections, strict=True))
        ),
    ]
    return WhyView(
        Sentence("why.title_chance", {"name": thing.name}), assessment.invented, tuple(parts),
        f"/thing/{thing.name}", Sentence("narrow.back_thing", {"name": thing.name}),
    )  # fmt: skip


def _inputs(history: RodHistory, key: str) -> tuple[WhyInput, ...]:
    """What holds for all sections."""
    share = 1.0 - (history.known_share or 0.0)
    bore = history.bores[-1].bore
    model = Sentence("why.source.jcss")
    return (
        WhyInput("next_bore", Sentence("why.source.last_bore"), said=text(bore),
                 standing=A.value),
        WhyInput("assumed_share", Sentence("why.source.rotating_time"),
                 Figure(f"{key}.assumed", share, "share", C)),
        WhyInput("assumed_most", Sentence("why.source.proposal"),
                 Figure(f"{key}.most", MOST_ASSUMED, "share", A)),
        WhyInput("class_error", Sentence("why.source.class_error"),
                 Figure(f"{key}.class_error", CLASS_ERROR, "factor", A), change="/calibration"),
        WhyInput("scatter", Sentence("why.source.scatter"),
                 Figure(f"{key}.scatter", LOG10_LIFE_SD, "ratio", A)),
        WhyInput("critical_cov", model, Figure(f"{key}.cov", CRITICAL_SUM_COV, "ratio", A)),
        WhyInput("median", model, Figure(f"{key}.median", CRITICAL_SUM_MEDIAN, "fine_ratio", A)),
        WhyInput("stress_model", model,
                 Figure(f"{key}.stress_model", STRESS_MODEL_SIGMA, "ratio", A)),
    )  # fmt: skip


def _section(
    assessment: Assessment,
    history: RodHistory,
    name: str,
    number: int,
    lives: tuple[LifeUsed, LifeUsed],
    key: str,
) -> WhyPart:
    so_far, more = lives
    named_as = str(so_far.section).replace(" ", "_").replace("-", "_")
    of_class = history.classes[number]
    slope = history.slopes[number] if of_class.sigma is None else None
    before, after = broken_by(so_far.mean, slope), broken_by(so_far.mean + more.mean, slope)
    results = (
        WhyInput("broken_before", None, Figure(f"{key}.before", before, "millionths", A)),
        WhyInput("broken_after", None, Figure(f"{key}.after", after, "millionths", A)),
        WhyInput("section_chance", None, Figure(
            f"{key}.chance", section_chance(so_far.mean, more.mean, slope), "millionths", A)),
    )  # fmt: skip
    kept = calibration_in_force(assessment.book, assessment.today, assessment.invented)
    named = class_names(history.rod_type, history.curves)[number]
    own = kept is not None and kept.of_class(named) is not None
    source = Sentence("why.source.kept" if own else "why.source.printed")
    inputs = [
        WhyInput("mean_so_far", Sentence("why.source.mean_sum"),
                 Figure(f"{key}.so_far", so_far.mean, "fine_ratio", C),
                 see=f"/why/rod/{name}?section={so_far.section}"),
        WhyInput("mean_more", Sentence("why.source.last_bore"),
                 Figure(f"{key}.more", more.mean, "fine_ratio", A),
                 see=f"/why/rod/{name}?bore={history.bores[-1].bore}&section={so_far.section}"),
        WhyInput("slope", Sentence("why.source.class", {"name": named}),
                 Figure(f"{key}.slope", history.slopes[number], "ratio", A)),
        WhyInput("factor", source, Figure(f"{key}.factor", of_class.factor, "ratio", A),
                 entry=kept.origin.entry if kept and own else ""),
    ]  # fmt: skip
    if of_class.sigma is not None:
        error = math.exp(NINETY_PERCENT * of_class.sigma)
        inputs.append(WhyInput("class_sigma", source,
                               Figure(f"{key}.class_sigma", error, "factor", C)))  # fmt: skip
    return WhyPart(
        Sentence(f"choice.{named_as}"),
        results,
        (Sentence("why.how_chance_section"),),
        tuple(inputs),
    )
