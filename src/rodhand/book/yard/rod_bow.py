"""What the last bow of a rod means: beside a new pipe's, the overload behind it, the column."""

from __future__ import annotations

import math

from rodhand.advice.card import bow_of
from rodhand.advice.verdict import Sentence
from rodhand.book.work.assess import Assessment
from rodhand.book.work.gauge_register import looks_with_errors
from rodhand.record.book_things import Thing
from rodhand.steel.rod_type import RodType
from rodhand.steel.straightness import NEW_PIPE_BOW, Bow, column_share, own_sag
from rodhand.steel.tube import ELASTIC_MODULUS, yield_radius
from rodhand.units import Figure, Standing

C, A, M = Standing.COMPUTED, Standing.ASSUMED, Standing.MEASURED
STEEL_WEIGHT = 77_000.0
"""Weight of a volume of steel, 7850 kg/m^3 in standard gravity. [N/m^3]"""
HOOK = 1.0 / 3.0
"""A quarter gap this much over an even arc's is told as a hooked end (this project's proposal)."""


def bow_sentences(assessment: Assessment, thing: Thing) -> tuple[Sentence, ...]:
    """The last measured bow of a rod and what it means; nothing where none was measured."""
    looks = [
        look for look in looks_with_errors(assessment, thing.key) if look.item == "straightness"
    ]
    bows = [(look, bow) for look in looks if (bow := bow_of(look.taken)) is not None]
    if not bows:
        return ()
    look, bow = bows[-1]
    error = None if look.gauge_error is None else bow.share_error
    values: dict[str, str | Figure] = {
        "bow": Figure("rod_bow.bow", bow.share, "bow", M),
        "height": Figure("rod_bow.height", bow.height, "size", M),
        "span": Figure("rod_bow.span", bow.span, "length", M),
        "new": Figure("rod_bow.new", NEW_PIPE_BOW, "bow", A),
        "error": Figure("rod_bow.error", error, "bow", M),
        "when": look.when,
    }
    told = [Sentence("rod_bow.measured", values)]
    told.append(Sentence("rod_bow.error" if error is not None else "rod_bow.no_error", values))
    told.append(Sentence("rod_bow.new_pipe", values))
    if bow.hook is not None and bow.hook >= HOOK:
        told.append(Sentence("rod_bow.hook"))
    rod_type = assessment.rod_type_of(thing)
    if rod_type is not None and bow.told_from_straight:
        told += _means(bow, rod_type)
    told.append(Sentence("rod_bow.never_fit"))
    return tuple(told)


def _means(bow: Bow, rod_type: RodType) -> list[Sentence]:
    """The overload behind it and what it costs end on, over one rod between pinned ends."""
    length = rod_type.length
    gyration = math.sqrt(rod_type.tube_inertia / rod_type.tube_area)
    euler = math.pi**2 * ELASTIC_MODULUS * gyration**2 / length**2
    tightest = yield_radius(rod_type.tube_od, rod_type.yield_stress)

    def share(height: float) -> float:
        return column_share(height, rod_type.tube_od, gyration, rod_type.yield_stress, euler)

    sag = own_sag(
        STEEL_WEIGHT * rod_type.tube_area, ELASTIC_MODULUS * rod_type.tube_inertia, bow.span
    )
    left, as_new = share(bow.share * length), share(NEW_PIPE_BOW * length)
    return [
        Sentence("rod_bow.overload", {"radius": Figure("rod_bow.radius", tightest, "radius", C)}),
        Sentence("rod_bow.column", {
            "left": Figure("rod_bow.left", left, "share", C),
            "as_new": Figure("rod_bow.as_new", as_new, "share", C),
        }),
        Sentence("rod_bow.sag", {"sag": Figure("rod_bow.sag", sag, "size", C)}),
    ]  # fmt: skip
