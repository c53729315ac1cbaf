"""The estimate of a bore to bid for: lengths as typed, what they take, what it rests on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rodhand.advice.verdict import Sentence
from rodhand.book.owner.estimate import TYPED_CURVES, Part, PartTaken, take, together
from rodhand.book.owner.wear_rates import RateTable, curve_radii, wear_rates
from rodhand.book.views import Figures
from rodhand.book.work.assess import Assessment
from rodhand.book.work.lacking import Lacking, lacking_rods
from rodhand.book.work.prices import others_told, owner_prices
from rodhand.book.work.rod_types import rod_type_named
from rodhand.faults import BadInputError, Fault
from rodhand.record.choices import GROUNDS
from rodhand.record.marks import fold
from rodhand.record.plan_checks import LONGEST_BORE
from rodhand.record.values import RefusedError, read_number
from rodhand.units import Figure, Standing, show, to_si
from rodhand.words import say

MOST_PARTS = 100
UNITS = ("m", "ft")
C, M = Standing.COMPUTED, Standing.MEASURED


@dataclass(frozen=True)
class TypedPart:
    """A length as typed: ground, curve, length in ``unit`` (`UNITS`)."""

    ground: str = ""
    curve: str = ""
    length: str = ""
    unit: str = "m"


@dataclass(frozen=True)
class EstimateView:
    """The page.

    grounds: those with a rate in front; curves: those that may be typed, with their radii. parts:
    what each length takes; figures: all together, see `rodhand.book.owner.estimate.together`, and
    longest (bore behind the rates).
    """

    invented: bool
    day: str
    currency: str
    rod_type: str
    rod_types: tuple[str, ...]
    grounds: tuple[str, ...]
    curves: Mapping[str, Figures]
    parts: tuple[PartTaken, ...]
    figures: Figures
    told: tuple[Sentence, ...]
    lacking: tuple[Lacking, ...]
    others: tuple[Sentence, ...]


def estimate_view(
    assessment: Assessment, rod_type: str = "", typed: Sequence[TypedPart] = ()
) -> EstimateView:
    """What a bore to bid for takes of the rods.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    rod_type : str
        Of the string; empty for the first the book has rates of.
    typed : sequence of TypedPart
        Lengths as typed; one with nothing in it is passed over.

    Returns
    -------
    EstimateView
        Nothing is kept of it.

    Raises
    ------
    BadInputError
        With every fault of what was typed.
    """
    tables = {fold(each.rod_type): each for each in wear_rates(assessment)}
    parts, faults = read_parts(typed)
    if rod_type.strip() and fold(rod_type) not in tables:
        known = ", ".join(each.rod_type for each in tables.values()) or say("number.dash")
        values = {"known": known}
        faults.insert(0, Fault("estimate_rod_type", rod_type, column="rod_type", values=values))
    if faults:
        raise BadInputError(faults, "estimate")
    table = tables.get(fold(rod_type)) if rod_type.strip() else next(iter(tables.values()), None)
    types, prices = tuple(each.rod_type for each in tables.values()), owner_prices(assessment)
    curves = {each: curve_radii(each, f"estimate.curve.{each}") for each in TYPED_CURVES}
    known_type = rod_type_named(assessment.book, table.rod_type) if table else None
    if table is None or known_type is None:
        return EstimateView(
            assessment.invented, assessment.today[:10], prices.currency, "", types, GROUNDS,
            curves, (), {}, (Sentence("money.no_rates"),), (), others_told(prices),
        )  # fmt: skip
    price = prices.rod(table.rod_type)
    taken = tuple(take(table, part, number, price) for number, part in enumerate(parts, 1))
    figures = dict(together(taken, known_type.length)) if taken else {}
    lengths = [
        work.hole.length for work in assessment.works.values()
        if work.rod_type.name == table.rod_type
        and work.bore.ground in {each.ground for each in taken if each.enough}
    ]  # fmt: skip
    if lengths:
        figures["longest"] = Figure("estimate.longest", max(lengths), "distance", M)
    return EstimateView(
        assessment.invented, assessment.today[:10], prices.currency, table.rod_type, types,
        _grounds(table), curves, taken, figures, _told(figures, prices.currency),
        lacking_rods(assessment, [table.rod_type]), others_told(prices),
    )  # fmt: skip


def read_parts(typed: Sequence[TypedPart]) -> tuple[list[Part], list[Fault]]:
    """Lengths as typed, read; and every fault of them, its column with the place of the length.

    Parameters
    ----------
    typed : sequence of TypedPart
        One with nothing in it is passed over.
    """
    parts: list[Part] = []
    faults: list[Fault] = []
    for number, each in enumerate(typed, 1):
        if not (each.ground or each.curve or each.length):
            continue
        ground = next((x for x in GROUNDS if fold(x) == fold(each.ground)), "")
        curve = next((x for x in TYPED_CURVES if fold(x) == fold(each.curve)), "")
        if not ground:
            faults.append(Fault("estimate_ground", each.ground, column=f"ground {number}"))
        if not curve:
            faults.append(Fault("estimate_curve", each.curve, column=f"curve {number}"))
        length = _length(each, f"length {number}", faults)
        if length is not None:
            parts.append(Part(ground, curve, length))
    if len(parts) > MOST_PARTS:
        faults.append(Fault("estimate_many", f"{len(parts)}", values={"most": f"{MOST_PARTS}"}))
    return parts, faults


def _length(typed: TypedPart, column: str, faults: list[Fault]) -> float | None:
    """The length [m]; None where it is faulty, and told."""
    if not typed.length.strip():
        faults.append(Fault("estimate_length", "", column=column, values=_limits()))
        return None
    if typed.unit not in UNITS:
        faults.append(Fault("estimate_unit", typed.unit, column=column))
        return None
    try:
        length = to_si(read_number(typed.length), "length", typed.unit)
    except RefusedError as refused:
        faults.append(Fault(refused.code, typed.length, column=column, values=refused.values))
        return None
    if not 0.0 < length <= LONGEST_BORE:
        faults.append(Fault("estimate_length", typed.length, column=column, values=_limits()))
        return None
    return length


def _limits() -> dict[str, str]:
    return {
        "metric": show(LONGEST_BORE, "distance", "metric"),
        "us": show(LONGEST_BORE, "distance", "us"),
    }


def _grounds(table: RateTable) -> tuple[str, ...]:
    """Every ground, those this rod type has rates of in front."""
    rated = [
        each for each in GROUNDS if any(row.enough and row.ground == each for row in table.rows)
    ]
    return (*rated, *(each for each in GROUNDS if each not in rated))


def _told(figures: Figures, currency: str) -> tuple[Sentence, ...]:
    if not figures:
        return ()
    values: dict[str, str | Figure] = {**figures, "currency": currency}
    if figures["lives"].value is None:
        return (Sentence("estimate.nothing", values),)
    untold = bool(figures["untold"].value)
    lines = [Sentence("estimate.at_least" if untold else "estimate.takes", values)]
    if "cost" in figures:
        code = "cost_at_least" if untold else "cost"
        lines.append(Sentence(f"estimate.{code}", values))
    if (figures["length"].value or 0.0) > (figures["longest"].value or 0.0):
        lines.append(Sentence("estimate.longer", values))
    return tuple(lines)
