"""What the owner's breaks and survivors say of each class, and how broken rods had been ranked."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from rodhand.book.work.assess import Assessment
from rodhand.book.work.class_factors import class_names
from rodhand.book.work.days import day_of
from rodhand.book.work.rod_history import RodHistory
from rodhand.drillstring.turns import TurnRung
from rodhand.record.book_looks import Break
from rodhand.record.choices import SECTIONS as SAID_SECTIONS
from rodhand.units import Figure, Standing
from rodhand.wear.calibration import Calibrated, Exposure, calibrate
from rodhand.wear.chance import MOST_ASSUMED
from rodhand.wear.life_used import PRINTED_CLASSES, Contribution
from rodhand.wear.rank_test import Place, chance_of_as_many, place_of

NOT_FATIGUE = ("overload", "over-torque", "other")
DESIGNS = (0.3, 0.5, 1.0)
"""Design values the chance of a break is told for: inspect, downgrade, retire. [-]"""
TICKS = (0.01, 0.1, 1.0, 10.0, 100.0)
"""Factors marked on the axis of the picture. [-]"""
C, M = Standing.COMPUTED, Standing.MEASURED


@dataclass(frozen=True)
class ClassView:
    """One class before and after.

    Parameters
    ----------
    code : str
        ``tube``, ``upset``, ``weld`` or ``thread``.
    too_few : bool
        Whether nothing should be built on it.
    factor, sigma : float
        Median factor on damage after, and standard deviation of its ln. [-]
    figures : dict of str to Figure
        Counts, factor, and the chance of a break by design value before and after.
    ln_factor, before, after : tuple of float
        The curves of the picture, weights on ln factor. [-]
    """

    code: str
    too_few: bool
    figures: dict[str, Figure]
    ln_factor: tuple[float, ...]
    before: tuple[float, ...]
    after: tuple[float, ...]
    factor: float = 1.0
    sigma: float = 0.0


@dataclass(frozen=True)
class LeftOut:
    """Names left out for one reason: a code with words."""

    reason: str
    names: tuple[str, ...]


@dataclass(frozen=True)
class RankRow:
    """One broken rod's place in its set on the day before."""

    name: str
    set: str
    day: str
    figures: dict[str, Figure]


@dataclass(frozen=True)
class CalibrationView:
    """The page: classes, what was left out and why, ranks, and figures over all of them."""

    invented: bool
    classes: tuple[ClassView, ...]
    left_out: tuple[LeftOut, ...]
    ranks: tuple[RankRow, ...]
    figures: dict[str, Figure]
    ticks: tuple[Figure, ...]


def calibration_view(assessment: Assessment) -> CalibrationView:
    """Classes and ranks of a book, by everything in it.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.

    Returns
    -------
    CalibrationView
        Factors on damage as computed without any of them.
    """
    taken = _Taken(assessment)
    classes = tuple(
        _class_view(code, calibrate(each.exposures, slope, each.turns_sigma))
        for (code, slope), each in taken.classes.items()
    )
    ranks, places = _ranks(assessment)
    figures = {"rods": Figure("calibration.rods", float(taken.rods), "count", M)}
    if places:
        top = sum(place.in_top for place in places)
        figures |= {
            "ranked": Figure("calibration.ranked", float(len(places)), "count", M),
            "top": Figure("calibration.top", float(top), "count", C),
            "chance": Figure("calibration.chance", chance_of_as_many(places), "fine_share", C),
        }
    left = tuple(LeftOut(reason, tuple(names)) for reason, names in taken.left_out.items())
    ticks = tuple(Figure(f"calibration.tick.{k}", at, "ratio", C) for k, at in enumerate(TICKS))
    return CalibrationView(assessment.invented, classes, left, ranks, figures, ticks)


class _Class:
    """Exposures of one class as they are found, and how surely the guessed turns are known."""

    def __init__(self) -> None:
        self.exposures: list[Exposure] = []
        self._weight = self._sum = 0.0

    def add(self, exposure: Exposure, parts: Sequence[Contribution], section: int) -> None:
        self.exposures.append(exposure)
        for part in parts:
            if part.turns_rung != TurnRung.COUNTER:
                self._weight += float(part.best[section])
                self._sum += float(part.best[section]) * part.turns_sigma

    @property
    def turns_sigma(self) -> float:
        """Mean by damage over what was not counted. [-]"""
        return self._sum / self._weight if self._weight > 0.0 else 0.0


class _Taken:
    """Every rod of a book sorted: into the classes, or left out with a reason."""

    def __init__(self, assessment: Assessment) -> None:
        self.classes: dict[tuple[str, float], _Class] = {}
        self.left_out: dict[str, list[str]] = {}
        self.rods = 0
        broke = {each.thing: each for each in reversed(assessment.book.breaks)}
        for key, history in assessment.histories.items():
            self._take(assessment.book.things[key].name, history, broke.get(key))
        for key, each in broke.items():
            if key not in assessment.histories:
                self._leave("no_life", assessment.book.things[each.thing].name)

    def _leave(self, reason: str, name: str) -> None:
        self.left_out.setdefault(reason, []).append(name)

    def _take(self, name: str, history: RodHistory, broke: Break | None) -> None:
        known = history.known_share
        if known is None or 1.0 - known > MOST_ASSUMED:
            self._leave("break_assumed" if broke else "assumed", name)
            return
        if broke is None:
            if history.bores:
                self._add(history, history.contributions)
            return
        bores = [bore for bore in history.bores if bore.bore == broke.bore]
        if not bores:
            self._leave("no_bore", name)
            return
        before = history.before_bore(broke.bore, bores[0].happened)
        section = SAID_SECTIONS.index(broke.section)
        reason = _why_not(broke)
        if reason:
            # Whatever broke it: what it had stood before, it had stood.
            self._leave(reason, name)
            self._add(history, before)
        else:
            self._add(history, before, bores[0].contributions, section, broke.bore)

    def _add(
        self,
        history: RodHistory,
        before: Sequence[Contribution],
        last: Sequence[Contribution] = (),
        broken: int | None = None,
        bore: str = "",
    ) -> None:
        self.rods += 1
        for section, code in enumerate(class_names(history.rod_type, history.curves)):
            counted, guessed = _sums(before, section)
            exposure = Exposure(counted, guessed)
            if section == broken:
                more = _sums(last, section)
                if sum(more) <= 0.0:
                    continue
                to = counted + more[0], guessed + more[1]
                exposure = Exposure(counted, guessed, *to, bore)
            slope = history.slopes[section]
            where = self.classes.setdefault((code, slope), _Class())
            where.add(exposure, [*before, *last], section)


def _why_not(broke: Break) -> str:
    """Why a break does not count as one by fatigue; empty when it does."""
    if broke.cause in NOT_FATIGUE:
        return "not_fatigue"
    if broke.cause != "fatigue":
        return "no_cause"
    return "no_section" if broke.section == "unknown" else ""


def _sums(parts: Sequence[Contribution], section: int) -> tuple[float, float]:
    """Mean-curve damage of a section from turns counted and from turns guessed. [-]"""
    counted = [p for p in parts if p.turns_rung == TurnRung.COUNTER]
    guessed = [p for p in parts if p.turns_rung != TurnRung.COUNTER]
    first, second = (sum(float(p.best[section]) for p in each) for each in (counted, guessed))
    return first, second


def _class_view(code: str, made: Calibrated) -> ClassView:
    own, post = f"calibration.{code}", made.posterior
    # Told as life: above 1 a joint lasts longer than the printed class.
    figures = {
        "breaks": Figure(f"{own}.breaks", float(made.breaks), "count", M),
        "survivors": Figure(f"{own}.survivors", float(made.survivors), "count", M),
    }
    for when, held in (("before", made.prior), ("after", post)):
        low, best, high = (1.0 / held.at(share) for share in (0.95, 0.5, 0.05))
        figures[f"life_{when}"] = Figure(f"{own}.life_{when}", best, "ratio", C, low, high)
        for design in DESIGNS:
            name = f"chance_{when}_{design:g}"
            figures[name] = Figure(f"{own}.{name}", held.broken_at_design(design), "share", C)
    return ClassView(
        code, made.too_few, figures, tuple(map(float, -post.ln_factor[::-1])),
        tuple(map(float, made.prior.weight[::-1])), tuple(map(float, post.weight[::-1])),
        post.at(0.5), post.sigma,
    )  # fmt: skip


def as_printed(history: RodHistory) -> RodHistory:
    """A rod's history on the printed classes: a class learnt from a break cannot rank it."""
    return replace(history, classes=PRINTED_CLASSES)


def _ranks(assessment: Assessment) -> tuple[tuple[RankRow, ...], list[Place]]:
    """Places of broken rods by the work done by the day before, as the book knows it now."""
    rows: list[RankRow] = []
    places: list[Place] = []
    gone: set[str] = set()
    for broke in assessment.book.breaks:
        thing, day = assessment.book.things[broke.thing], day_of(broke.origin.happened.start)
        if broke.thing not in assessment.histories or not day or broke.cause in NOT_FATIGUE:
            continue
        used = {
            key: as_printed(assessment.histories[key]).life_before(day).worst.design
            for key in (*assessment.book.sets[thing.set].things, broke.thing)
            if key in assessment.histories and (key not in gone or key == broke.thing)
        } if thing.set in assessment.book.sets else {}  # fmt: skip
        gone.add(broke.thing)
        used = {key: value for key, value in used.items() if math.isfinite(value)}
        if broke.thing not in used or len(used) < 2:
            continue
        place, own = place_of(broke.thing, used), f"calibration.rank.{len(rows)}"
        figures = {
            "place": Figure(f"{own}.place", float(place.place), "count", C),
            "of": Figure(f"{own}.of", float(place.of), "count", M),
            "design": Figure(f"{own}.design", used[broke.thing], "life", C),
            "chance": Figure(f"{own}.chance", place.chance, "share", C),
        }
        rows.append(RankRow(thing.name, thing.set, day, figures))
        places.append(place)
    return tuple(rows), places
