"""Whether a set turned over comes due all at once, and buying a row at a time instead."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.advice.verdict import Sentence
from rodhand.units import Figure, Standing
from rodhand.wear.turning import POLICIES, SHARES, WINDOW, Seasons, TurningCase

Floats = NDArray[np.float64]
TURNED = POLICIES.index("rows_turned")
AT_ONCE = 0.25
"""So much of a set within the window comes due at once (ours). [-]"""


@dataclass(frozen=True)
class DueRow:
    """One way of ordering: ``soon`` and ``used_10`` to ``used_75``, medians with 90 % bands."""

    how: str
    figures: dict[str, Figure]


@dataclass(frozen=True)
class Purchase:
    """A row to buy: when by length drilled and by bores, how many rods, life used of those out."""

    number: int
    figures: dict[str, Figure]


@dataclass(frozen=True)
class Due:
    """How a set comes due.

    Parameters
    ----------
    told : Sentence
        Whether it comes due at once with rows turned.
    rows : tuple of DueRow
        How much of the set comes due soon after its first rod, by way of ordering.
    stagger : Sentence
        How buying is spread.
    purchases : tuple of Purchase
        The first round; then one row again and again, as far apart.
    """

    told: Sentence
    rows: tuple[DueRow, ...]
    stagger: Sentence
    purchases: tuple[Purchase, ...]


def due_of(rig: str, what: Seasons, case: TurningCase, stand: Standing) -> Due | None:
    """How a rig's set comes due, from seasons.

    Parameters
    ----------
    rig : str
        The rig, for the keys.
    what : Seasons
        The seasons.
    case : TurningCase
        Its set and bores.
    stand : Standing
        Of the figures.

    Returns
    -------
    Due or None
        Rows are bought evenly over the metres a turned set takes to its first rod, so that no row
        is used longer than that.
    """
    own = f"turning.{rig}.due"
    first = median_band(f"{own}.first", what.retire_metres[:, TURNED], "long_distance", stand)
    if first.value is None:
        return None
    rows = tuple(DueRow(how, _shares(f"{own}.{how}", what, k, stand))
                 for k, how in enumerate(POLICIES))  # fmt: skip
    soon = rows[TURNED].figures["soon"]
    sizes = [min(case.row, case.rods - at) for at in range(0, case.rods, case.row)]
    each = first.value / len(sizes)
    bore = float(np.mean([drilled.metres for drilled in case.bores]))
    values: dict[str, str | Figure] = {
        "first": first,
        "soon": soon,
        "window": Figure(f"{own}.window", WINDOW * first.value, "long_distance", stand),
    }
    spread: dict[str, str | Figure] = {
        "each": Figure(f"{own}.each", each, "long_distance", stand),
        "bores": Figure(f"{own}.bores", each / bore, "count", stand),
        "rods": Figure(f"{own}.rods", float(max(sizes)), "count", stand),
    }
    at_once = soon.value is not None and soon.value >= AT_ONCE
    return Due(
        Sentence("turning.due_at_once" if at_once else "turning.due_spread", values),
        rows,
        Sentence("turning.stagger", spread),
        tuple(_purchase(own, k, size, k * each, bore, k / len(sizes), stand)
              for k, size in enumerate(sizes, 1)),
    )  # fmt: skip


def _shares(own: str, what: Seasons, k: int, stand: Standing) -> dict[str, Figure]:
    """Share used up soon after the first rod, and metres to some shares."""
    found = {"soon": median_band(f"{own}.soon", what.soon[:, k], "share", stand)}
    if k == 0:  # the order kept is not followed further
        return found
    for at, share in enumerate(SHARES):
        if share > 0.0:
            name = f"used_{100.0 * share:.0f}"
            metres = what.used_metres[:, k, at]
            found[name] = median_band(f"{own}.{name}", metres, "long_distance", stand)
    return found


def _purchase(
    own: str, number: int, rods: int, metres: float, bore: float, used: float, stand: Standing
) -> Purchase:
    key = f"{own}.purchase.{number}"
    return Purchase(number, {
        "at": Figure(f"{key}.at", metres, "long_distance", stand),
        "bores": Figure(f"{key}.bores", metres / bore, "count", stand),
        "rods": Figure(f"{key}.rods", float(rods), "count", stand),
        "used": Figure(f"{key}.used", used, "share", stand),
    })  # fmt: skip


def median_band(key: str, values: Floats, quantity: str, stand: Standing) -> Figure:
    """Median and 90 % band; what did not come in the longest season counts as later than all."""
    later = np.where(np.isnan(values), np.inf, values)
    low, middle, high = np.quantile(later, [0.05, 0.5, 0.95], method="inverted_cdf")
    return Figure(key, _known(middle), quantity, stand,
                  low=_known(low), high=_known(high))  # fmt: skip


def _known(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
