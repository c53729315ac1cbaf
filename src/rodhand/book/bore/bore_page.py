"""One bore at one moment of its work, for its page, its papers and its JSON twin."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from rodhand.advice.verdict import Sentence, Verdict
from rodhand.book.bore.bore_cost import bore_cost
from rodhand.book.bore.bore_figures import pass_rows, picture_of, price_radius, station_rows
from rodhand.book.bore.limit_events import limit_verdicts_of
from rodhand.book.bore.old_holes import old_holes_of
from rodhand.book.bore.over_steer_cost import over_steer_cost
from rodhand.book.rig.two_devices import two_devices
from rodhand.book.tasks.open_verdict import open_verdict
from rodhand.book.tasks.over_rows import over_row
from rodhand.book.tasks.standings import standing_of_thing
from rodhand.book.telling import names_in_words
from rodhand.book.views import BoreView, OverSteerRow, RodRow
from rodhand.book.work.assess import Assessment, classes_of
from rodhand.book.work.bore_work import BoreWork, place_key
from rodhand.book.work.days import day_of
from rodhand.book.work.happenings import over_steers
from rodhand.book.work.lacking import lacking_rods
from rodhand.book.work.moments import (
    RADII,
    Moment,
    Stands,
    moment_of,
    places_alone,
    turns_tighter,
    where_places_stand,
)
from rodhand.book.work.names_then import NamesThen
from rodhand.book.work.opened_joints import opened_joints
from rodhand.book.work.over_limits import HeldAgainst
from rodhand.book.work.rod_history import BoreOfRod
from rodhand.book.work.verdicts import over_steer_verdict
from rodhand.drillstring.ledger import TOUCHING
from rodhand.hole.best_path import PathDoubt
from rodhand.record.marks import fold
from rodhand.units import Figure, Standing
from rodhand.wear.life_used import Contribution, LifeUsed, RodLife, rod_life
from rodhand.wear.sections import section_curves
from rodhand.words import word


class NoSuchBoreError(LookupError):
    """There is no such bore in the book, or it has no pilot rows to show."""


def life_figure(key: str, life: LifeUsed, standing: Standing = Standing.COMPUTED) -> Figure:
    """Life used with its band; where it is only known to be at least so much, unknown with that."""
    if math.isnan(life.best):
        return Figure(key, None, "life", Standing.UNKNOWN)
    if life.at_least:
        return Figure(key, None, "life", Standing.UNKNOWN, life.low)
    return Figure(key, life.best, "life", standing, life.low, life.high)


def design_figure(key: str, life: LifeUsed, standing: Standing = Standing.COMPUTED) -> Figure:
    """Life used on the design curve, as the owner's lines are held to it; see `life_figure`."""
    if math.isnan(life.design):
        return Figure(key, None, "life", Standing.UNKNOWN)
    if life.at_least:
        return Figure(key, None, "life", Standing.UNKNOWN, life.design)
    return Figure(key, life.design, "life", standing)


def over_steer_rows(
    assessment: Assessment, moment: Moment, against: HeldAgainst, key: str
) -> tuple[OverSteerRow, ...]:
    """Every notable bend with the rods passed, in it and still to come at the moment."""
    work = moment.work
    names = NamesThen(assessment, work.bore.name)
    overs = {each.bend: each for each in over_steers(assessment) if each.bore == work.bore.name}
    rows = []
    for bend in against.notable:
        if bend.start > moment.at - TOUCHING and moment.pass_name == "pilot":
            continue  # the hole is not drilled so far
        row = over_row(moment, bend, names.then, key, names)
        over = overs.get(bend)
        rows.append(replace(row, cost=over_steer_cost(assessment, over).lines) if over else row)
    return tuple(rows)


def _rod_figures(
    key: str,
    place: int,
    did: BoreOfRod | None,
    to_then: RodLife | None,
    whole: RodLife | None,
    everything: RodLife | None,
    tighter: tuple[float, ...],
) -> dict[str, Figure]:
    computed = Standing.COMPUTED
    figures = {"place": Figure(f"{key}.place", float(place), "count", computed)}
    figures["turns"] = Figure(f"{key}.turns", did.turns if did else 0.0, "turns", computed)
    for name, life in (("life_used", to_then), ("life_used_bore", whole)):
        if life is not None:
            figures[name] = life_figure(f"{key}.{name}", life.worst)
            figures[f"{name}_design"] = design_figure(f"{key}.{name}_design", life.worst)
    if everything is not None:
        whole_life = everything.worst
        share = None if whole_life.at_least else whole_life.assumed
        standing = Standing.ASSUMED if whole_life.assumed > 0.5 else computed
        figures["life_used_all"] = life_figure(f"{key}.life_used_all", whole_life, standing)
        figures["life_used_all_design"] = design_figure(
            f"{key}.life_used_all_design", whole_life, standing
        )
        figures["assumed_share"] = Figure(f"{key}.assumed_share", share, "share", computed)
    for radius, turns in zip(RADII, tighter, strict=True):
        name = f"turns_tighter_{radius:g}"
        figures[name] = Figure(f"{key}.{name}", turns, "turns", computed)
    return figures


def _rod_rows(assessment: Assessment, moment: Moment, key: str) -> tuple[RodRow, ...]:
    """One row for each place of the string, exact for the place."""
    name = moment.whole.bore.name
    happened = day_of(moment.whole.bore.origin.happened.start)
    who, names = assessment.who[name], NamesThen(assessment, name)
    to_then = places_alone(moment.work, happened)
    whole = places_alone(moment.whole, happened)
    tighter = turns_tighter(moment.work)
    stands = where_places_stand(moment)
    slopes = tuple(
        curve.slope for curve in section_curves(moment.whole.rod_type, assessment.curves)
    )
    classes = classes_of(assessment, moment.whole.rod_type)
    rows = []
    for place in range(1, moment.whole.rod_count + 1):
        group = who.at(place)
        rod = group.rods[0] if len(group.rods) == 1 else ""
        did = to_then.get(place_key(place))
        history = assessment.histories.get(rod)
        before: tuple[Contribution, ...] = ()
        if history is not None:
            before = history.before_bore(name, happened)
        now = did.contributions if did else ()
        everything = (
            rod_life([*before, *now], slopes, classes=classes) if history is not None else None
        )
        figures = _rod_figures(
            f"{key}.place.{place}", place, did, rod_life(now, slopes, classes=classes),
            rod_life(whole[place_key(place)].contributions, slopes, classes=classes)
            if place_key(place) in whole else None,
            everything, tuple(tighter.get(place, (0.0,) * len(RADII))),
        )  # fmt: skip
        where = stands.get(place, Stands(0.0, 0.0, False))
        rows.append(
            RodRow(
                rod if rod in assessment.book.things else f"place {place}",
                names.then(place), place, str(group.known), where.in_hole,
                where.start, where.end,
                standing_of_thing(assessment, rod)[0] if history is not None else "not looked at",
                everything is not None and everything.worst.assumed > 0.5, figures, who.loads_ago,
                names.since(place),
            )
        )  # fmt: skip
    return tuple(rows)


def measured_how(work: BoreWork) -> tuple[Sentence, ...]:
    """How each column of a bore log was measured, and how well."""
    readings = work.hole.readings
    count = f"{int((~readings.is_inside).sum())}"
    read = f"{sum(1 for row in work.hole.rows if row.pitch is not None and row.station > 0)}"
    lines = [Sentence("bore.how.pitch", {"read": read, "count": count})]
    reference = readings.heading_reference
    heading = "bore.how.heading" if readings.has_heading else "bore.how.no_heading"
    lines.append(Sentence(heading, {"reference": reference}))
    depths = any(row.depth is not None for row in work.hole.rows)
    lines.append(Sentence("bore.how.depth" if depths else "bore.how.no_depth"))
    typed = any(row.length is not None or row.md is not None for row in work.hole.rows)
    lines.append(Sentence("bore.how.length" if typed else "bore.how.length_by_type"))
    return tuple(lines)


TOLD = (PathDoubt.GROSS, PathDoubt.ROUGH_READINGS, PathDoubt.COARSE_STEP)
"""Doubts of the best path that no other warning tells."""


def warnings_of(work: BoreWork) -> tuple[Sentence, ...]:
    """What is missing or assumed in a bore and matters."""
    found = [Sentence(f"bore.warning.{name}") for name in work.hole.assumed]
    if not work.hole.readings.has_heading:
        found.append(Sentence("bore.warning.no_heading"))
    unread = [f"{int(s)}" for s in work.hole.rods.station[work.hole.rods.unread]]
    if unread:
        found.append(Sentence("bore.warning.not_read", {"stations": names_in_words(unread)}))
    for each in work.passes:
        if not each.recorded:
            found.append(
                Sentence("bore.warning.pass_not_recorded", {"what": word("choice", each.what)})
            )
        elif not each.order_known:
            found.append(
                Sentence("bore.warning.order_not_recorded", {"what": word("choice", each.name)})
            )
    if any(each.what == "pullback" and each.recorded for each in work.passes) and all(
        each.lead_rods_off is None for each in work.bore.passes if each.what == "pullback"
    ):
        found.append(Sentence("bore.warning.lead_rods_off"))
    if all(each.hole_diameter is None for each in work.passes):
        found.append(Sentence("bore.warning.hole_diameter"))
    for each, powers in zip(work.passes, work.powers, strict=True):
        if not powers.laid and np.isfinite(work.hole.readings.pitch).any():
            found.append(Sentence("bore.warning.not_laid", {"what": word("choice", each.name)}))
    if work.hole.best is not None:
        found += [Sentence(f"bore.doubt.{each}") for each in work.hole.best.doubts if each in TOLD]
    if work.bore.salt_or_sour == "yes":
        found.append(Sentence("bore.warning.salt_or_sour"))
    return tuple(found)


def bore_view(
    assessment: Assessment, name: str, at_pass: str | None = None, at: float | None = None
) -> BoreView:
    """One bore at one moment.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    name : str
        Name of the bore; capitals do not matter.
    at_pass : str, optional
        Pass under way; the pilot when not given.
    at : float, optional
        Tool position along the hole; the end of the pass when not given. [m]

    Returns
    -------
    BoreView
        Everything its page and papers show.

    Raises
    ------
    NoSuchBoreError
        If there is no such bore or pass, or the bore has no rows.
    """
    name = next((each for each in assessment.works if fold(each) == fold(name)), name)
    work = assessment.works.get(name)
    if work is None:
        raise NoSuchBoreError(name)
    try:
        moment = moment_of(
            work, at_pass or "pilot", at, assessment.curves, assessment.conditions[name]
        )
    except KeyError as error:
        raise NoSuchBoreError(f"{name} {at_pass}") from error
    key = f"bore.{name}"
    against = work.held
    rows = over_steer_rows(assessment, moment, against, key)
    names = NamesThen(assessment, name)
    three = (
        (over_row(moment, against.three, names.then, key, names),)
        if against.three is not None and against.three.verdict not in ("no", "unknown")
        else ()
    )
    drilled = min(moment.at, work.hole.length) if moment.pass_name == "pilot" else work.hole.length
    bore = work.bore
    return BoreView(
        name=name,
        rig=bore.rig,
        rod_type=work.rod_type.name,
        place=bore.place,
        ground=bore.ground,
        under=bore.under,
        happened=day_of(bore.origin.happened.start),
        invented=assessment.invented,
        at_pass=moment.pass_name,
        at=moment.at,
        figures=_bore_figures(key, work, moment),
        stations=station_rows(work.hole, against, key),
        rods=_rod_rows(assessment, moment, key),
        over_steers=rows,
        three_rod=three,
        passes=pass_rows(work, key),
        slider=tuple(
            (
                each.name,
                float(each.leg.travel.tool_from[0]),
                float(each.leg.travel.tool_to[-1]),
            )
            for each in work.passes
        ),
        picture=picture_of(work, moment.at, drilled),
        warnings=warnings_of(work),
        verdicts=tuple(_verdicts(assessment, name, rows)),
        measured_how=measured_how(work),
        cost=bore_cost(assessment, name),
        lacking=lacking_rods(assessment, [work.rod_type.name]),
        two=two_devices(bore),
        old_holes=old_holes_of(assessment, name),
    )


def _bore_figures(key: str, work: BoreWork, moment: Moment) -> dict[str, Figure]:
    computed, measured = Standing.COMPUTED, Standing.MEASURED
    limit = work.rod_type.limit_angle(work.rod_type.length)
    price = work.rod_type.length / price_radius(work.rod_type)
    turns = sum(each.turns.best for each in moment.work.passes)
    return {
        "length": Figure(f"{key}.length", work.hole.length, "distance", measured),
        "at": Figure(f"{key}.at", moment.at, "distance", measured),
        "rods": Figure(f"{key}.rods", float(work.rod_count), "count", measured),
        "turns_total": Figure(f"{key}.turns_total", turns, "turns", computed),
        "limit": Figure(f"{key}.limit", math.atan(limit), "slope", Standing.ASSUMED),
        "long_life": Figure(f"{key}.long_life", math.atan(price), "slope", Standing.ASSUMED),
    }


def _verdicts(assessment: Assessment, name: str, rows: tuple[OverSteerRow, ...]) -> list[Verdict]:
    found = [over_steer_verdict(name, row) for row in rows if row.verdict in ("over", "likely")]
    found += limit_verdicts_of(assessment, name)
    joints = opened_joints(assessment, name)
    return [*found, *([open_verdict(name, joints, f"bore.{name}.open")] if joints else [])]
