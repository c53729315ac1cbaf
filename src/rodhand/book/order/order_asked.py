"""What is asked of an order of rods: rods of the bore and prices, as typed or on record."""

from __future__ import annotations

import math
from collections.abc import Iterable

from rodhand.book.order.place_work import rod_type_of_rig
from rodhand.book.work.assess import Assessment
from rodhand.book.work.booked import BoreToCome
from rodhand.book.work.lacking import Lacking, lacking
from rodhand.book.work.prices import owner_prices
from rodhand.faults import BadInputError, Fault

ASSUMED_MOVES_A_BREAK = 1000.0
"""Rods that may be moved for one break less where no prices are given (ours, invented). [rods]"""
SOURCE = "order"
LEAST, MOST_PLACES = 1, 500


def owners_costs(assessment: Assessment, bore: BoreToCome | None) -> tuple[float, float] | None:
    """The owner's own price of a break, there where the next bore runs, and of moving one rod."""
    own = owner_prices(assessment)
    a_break = own.a_break(bore.under if bore else "")
    return None if a_break is None or own.move is None else (a_break, own.move)


def costs_lacking(
    assessment: Assessment, bores: Iterable[BoreToCome | None]
) -> tuple[Lacking, ...]:
    """Prices nobody gave that orders of rods for these bores are weighed by."""
    own = owner_prices(assessment)
    unders = dict.fromkeys(each.under if each and own.breaks else "" for each in bores)
    return (
        *(lacking(own, "break", each) for each in unders if own.a_break(each) is None),
        *([lacking(own, "rod move")] if own.move is None else []),
    )


def rods_of(assessment: Assessment, rig: str, bore: BoreToCome | None) -> int:
    """Rods the next booked bore uses by its length; 0 where nobody said how long it is."""
    rod = rod_type_of_rig(assessment, rig)
    if bore is None or bore.length is None or rod is None:
        return 0
    return min(max(math.ceil(bore.length / rod.length), LEAST), MOST_PLACES)


def typed_order(
    places: str, break_cost: str, move_cost: str
) -> tuple[int, tuple[float, float] | None]:
    """Rods and both prices as typed, 0 and None where blank; BadInputError with all faults."""
    faults, numbers = [], []
    text = places.strip()
    if text and not (text.isascii() and text.isdecimal() and LEAST <= int(text) <= MOST_PLACES):
        faults.append(Fault("order_rods", text, column="rods", values={"most": f"{MOST_PLACES}"}))
    for column, typed in (("break_cost", break_cost.strip()), ("move_cost", move_cost.strip())):
        try:
            number = float(typed) if typed else None
        except ValueError:
            number = -1.0
        if number is not None and not 0.0 < number < 1e12:
            faults.append(Fault("order_price", typed, column=column))
        numbers.append(number)
    given = [number for number in numbers if number is not None]
    if len(given) == 1 and not faults:
        faults.append(Fault("order_one_price", break_cost or move_cost, column="move_cost"))
    if faults:
        raise BadInputError(faults, SOURCE)
    return int(text or 0), (given[0], given[1]) if given else None
