"""One rod's life used by bore, pass and bend, with what each line rests on."""

from __future__ import annotations

import math
from dataclasses import dataclass

from rodhand.advice.verdict import Sentence
from rodhand.book.why.lines import WhyPass, passes_of
from rodhand.book.why.why import NoSuchNumberError, WhyInput
from rodhand.book.work.assess import Assessment
from rodhand.book.work.class_factors import calibration_in_force, class_names
from rodhand.book.work.rod_history import BoreOfRod, RodHistory
from rodhand.book.yard.thing_page import NoSuchThingError
from rodhand.record.marks import fold
from rodhand.steel.tube import ELASTIC_MODULUS
from rodhand.units import Figure, Standing
from rodhand.wear.life_used import CRITICAL_SUM_MEDIAN, MODEL, LifeUsed, add_up, variance_with
from rodhand.wear.sections import SECTIONS, section_curves

C, A, M = Standing.COMPUTED, Standing.ASSUMED, Standing.MEASURED


@dataclass(frozen=True)
class WhySource:
    """One bore or work outside: what it added on the design curve; shown: its lines follow."""

    name: str
    happened: str
    who: str
    places: tuple[int, ...]
    kind: str
    shown: bool
    figures: dict[str, Figure]


@dataclass(frozen=True)
class WhyRod:
    """The chain of one rod's life used.

    figures: sum (design damage of all sources), factor (of the class), design, mean_sum, best,
    life_used (best with its band), model. passes: of the bore shown, with their lines.
    band: what makes the ends of the best value's band.
    """

    name: str
    section: str
    governs: bool
    invented: bool
    bore: str
    inputs: tuple[WhyInput, ...]
    sources: tuple[WhySource, ...]
    passes: tuple[WhyPass, ...]
    band: tuple[WhyInput, ...]
    figures: dict[str, Figure]


def why_rod(
    assessment: Assessment, name: str, bore: str = "", section_name: str = ""
) -> WhyRod | None:
    """The chain of a rod's life used.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    name : str
        Its mark, or its key.
    bore : str
        The bore whose lines are shown; the one that took most when empty, or where its place in
        that bore is in doubt.
    section_name : str
        The section explained; the one that has used most when empty.

    Returns
    -------
    WhyRod or None
        None for a thing that carries no life used.

    Raises
    ------
    NoSuchThingError
        If nothing carries that mark or key.
    NoSuchNumberError
        If it was never in that bore, or there is no such section.
    """
    thing = assessment.book.thing_named(name)
    if thing is None:
        raise NoSuchThingError(name)
    history = assessment.histories.get(thing.key)
    if history is None:
        return None
    key = f"why.{thing.name}"
    life = section_life(history, section_name)
    section = SECTIONS.index(life.section)
    chosen = _chosen(history, section, bore)
    passes = passes_of(assessment, thing.key, history, chosen, section, key) if chosen else ()
    shown = chosen.bore if chosen else ""
    total = sum(float(each.design[section]) for each in history.contributions)
    mean = sum(float(each.best[section]) for each in history.contributions)
    factor = history.classes[section].factor
    design = None if math.isnan(life.design) else life.design
    figures = {
        "sum": Figure(f"{key}.sum", total, "fine_ratio", C),
        "factor": Figure(f"{key}.factor", factor, "ratio", C),
        "design": Figure(f"{key}.design", design, "fine_ratio", C),
        "mean_sum": Figure(f"{key}.mean_sum", mean, "fine_ratio", C),
        "median": Figure(f"{key}.median", CRITICAL_SUM_MEDIAN, "fine_ratio", A),
        "best": Figure(f"{key}.best", life.best, "fine_ratio", C),
        "life_used": Figure(f"{key}.life_used", life.best, "life", C, life.low, life.high),
        "model": Figure(f"{key}.model", float(MODEL), "count", C),
    }
    return WhyRod(
        thing.name, str(life.section), life == history.life.worst, assessment.invented, shown,
        _inputs(assessment, history, section, passes, key), _sources(history, section, shown, key),
        passes, _band(history, section, life, key), figures,
    )  # fmt: skip


def section_life(history: RodHistory, section_name: str) -> LifeUsed:
    """Life used of the section named; of the one that has used most where none is.

    Raises
    ------
    NoSuchNumberError
        If it is none of the five.
    """
    if not section_name:
        return history.life.worst
    named = [life for life in history.life.sections if life.section == section_name]
    if not named:
        raise NoSuchNumberError(section_name)
    return named[0]


def _chosen(history: RodHistory, section: int, bore: str) -> BoreOfRod | None:
    """The bore asked for, else the one that took most among those whose place is known.

    Raises
    ------
    NoSuchNumberError
        If the rod was never in the bore asked for.
    """
    if bore and fold(bore) not in {fold(did.bore) for did in history.bores}:
        raise NoSuchNumberError(bore)
    known = [did for did in history.bores if not did.in_doubt]
    asked = [did for did in known if fold(did.bore) == fold(bore)]
    if asked:
        return asked[0]

    def took(did: BoreOfRod) -> float:
        return sum(float(each.design[section]) for each in history.counting(did))

    return max(known, key=took, default=None)


def _band(history: RodHistory, section: int, life: LifeUsed, key: str) -> tuple[WhyInput, ...]:
    """The ends of the band, the sums they start from and the errors that spread them."""
    sums = add_up(history.contributions)
    model = math.sqrt(variance_with(history.slopes[section], history.classes[section]))
    rows = (
        ("low", life.low, "band_end", C),
        ("high", life.high, "band_end", C),
        ("sum_low", float(sums.low[section]), "sum_low", C),
        ("sum_high", float(sums.high[section]), "sum_high", C),
        ("sigma_model", model, "sigma_model", A),
        ("sigma_width", float(sums.width[section]), "sigma_width", C),
    )
    return tuple(
        WhyInput(f"band_{code}", Sentence(f"why.source.{source}"),
                 Figure(f"{key}.band.{code}", value, "fine_ratio", standing))
        for code, value, source, standing in rows
    )  # fmt: skip


def _sources(history: RodHistory, section: int, shown: str, key: str) -> tuple[WhySource, ...]:
    rows = []
    for did in history.bores:
        design = sum(float(each.design[section]) for each in history.counting(did))
        figure = Figure(f"{key}.{did.bore}.sum", design, "millionths", A if did.assumed else C)
        kind = "doubt" if did.in_doubt else "bore"
        rows.append(
            WhySource(
                did.bore, did.happened, str(did.known), did.places, kind, did.bore == shown,
                {"damage": figure},
            )
        )  # fmt: skip
    for outside, part in zip(history.outside, history.past, strict=True):
        design = float(part.design[section])
        value = None if part.unknown_size else design
        figure = Figure(f"{key}.{outside.source}.sum", value, "millionths", A)
        day = outside.start or outside.end
        rows.append(
            WhySource(outside.source, day, "unknown", (), "outside", False, {"damage": figure})
        )
    return tuple(rows)


def _inputs(
    assessment: Assessment,
    history: RodHistory,
    section: int,
    passes: tuple[WhyPass, ...],
    key: str,
) -> tuple[WhyInput, ...]:
    rod, curve = history.rod_type, section_curves(history.rod_type, history.curves)[section]
    own = f"{key}.input"
    named = curve.name.replace("_", " ").replace(".", " ")
    typed = Sentence("why.source.rod_type", {"name": rod.name})
    from_curve = Sentence("why.source.curve", {"name": named, "source": curve.source})
    constants = {"slope": curve.slope, "log_a": curve.log_a}
    if curve.second_slope is not None and curve.second_log_a is not None:
        constants |= {"slope_2": curve.second_slope, "log_a_2": curve.second_log_a}
    kept = calibration_in_force(assessment.book, assessment.today, assessment.invented)
    name = class_names(rod, history.curves)[section]
    known = kept is not None and kept.of_class(name) is not None
    factor = Figure(f"{own}.factor", history.classes[section].factor, "ratio", C if known else A)
    modulus = Figure(f"{own}.modulus", ELASTIC_MODULUS, "stress", M)
    return (
        WhyInput("modulus", Sentence("why.source.steel"), modulus),
        WhyInput("tube_od", typed, Figure(f"{own}.tube_od", rod.tube_od, "fine_size", M),
                 entry=_type_entry(assessment, rod.name)),
        *(WhyInput(code, from_curve, Figure(f"{own}.{code}", value, "ratio", A))
          for code, value in constants.items()),
        WhyInput("factor", Sentence("why.source.kept" if known else "why.source.printed"), factor,
                 entry=kept.origin.entry if kept and known else "", change="/calibration"),
        *(WhyInput("local", Sentence("why.source.local"),
                   Figure(f"{own}.local.{k}", value, "ratio", A))
          for k, value in enumerate(_locals(passes))),
    )  # fmt: skip


def _locals(passes: tuple[WhyPass, ...]) -> tuple[float, ...]:
    """Local factors of the lines shown, each once. [-]"""
    return tuple(sorted({line.line.local for each in passes for line in each.lines}))


def _type_entry(assessment: Assessment, name: str) -> str:
    """The last entry that gives a rod type; empty for a built-in one."""
    found = [
        entry.id
        for entry in assessment.entries
        if entry.kind == "rod-type" and entry.payload.get("name", "").casefold() == name.casefold()
    ]
    return found[-1] if found else ""
