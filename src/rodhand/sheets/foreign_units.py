"""Units that foreign tables use and the contract does not, restated exactly in one of ours.

A restated number is decimal arithmetic on the digits as typed, so 76 cm becomes 0.76 m and
not 0.7600000000000001; each factor is an exact definition.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation

from rodhand.units import SUFFIXES

_INCH_IN_M = Decimal("0.0254")
_GRAVITY_IN_KN = Decimal("0.00980665")  # one kilogram-force

RESTATED: Mapping[str, Mapping[str, tuple[str, Decimal]]] = {
    "length": {
        "mm": ("m", Decimal("0.001")),
        "cm": ("m", Decimal("0.01")),
        "km": ("m", Decimal(1000)),
        "in": ("m", _INCH_IN_M),
        "yd": ("ft", Decimal(3)),
    },
    "size": {"cm": ("mm", Decimal(10))},
    "slope": {"permille": ("pct", Decimal("0.1")), "ratio": ("pct", Decimal(100))},
    "angle": {"gon": ("deg", Decimal("0.9"))},
    "force": {
        "N": ("kN", Decimal("0.001")),
        "daN": ("kN", Decimal("0.01")),
        "MN": ("kN", Decimal(1000)),
        "kgf": ("kN", _GRAVITY_IN_KN),
        "tf": ("kN", 1000 * _GRAVITY_IN_KN),
        "kip": ("lb", Decimal(1000)),
    },
    "torque": {
        "kNm": ("Nm", Decimal(1000)),
        "daNm": ("Nm", Decimal(10)),
        "kftlb": ("ftlb", Decimal(1000)),
        "kgfm": ("Nm", 1000 * _GRAVITY_IN_KN),
    },
    "duration": {"s": ("min", 1 / Decimal(60))},
}
"""Dimension -> foreign unit -> our suffix and the factor to it."""


def our_suffix(dimension: str, unit: str) -> str | None:
    """Suffix of ours a unit is kept in or restated to; None if the unit does not fit."""
    if unit in SUFFIXES.get(dimension, {}):
        return unit
    restated = RESTATED.get(dimension, {}).get(unit)
    return restated[0] if restated else None


def restate(text: str, dimension: str, unit: str, negative: bool = False) -> str:
    """A typed number in our unit; text that is no number comes back as it is.

    Parameters
    ----------
    text : str
        Number as typed, with a decimal point. [unit]
    dimension, unit : str
        A dimension and a unit of ours or of `RESTATED`.
    negative : bool, optional
        Whether the foreign table counts the other way.

    Returns
    -------
    str
        The number in our unit, in plain digits.

    Examples
    --------
    >>> restate("30", "length", "in")
    '0.762'
    >>> restate("7.5", "slope", "pct", negative=True)
    '-7.5'
    """
    _, factor = RESTATED.get(dimension, {}).get(unit, ("", Decimal(1)))
    if factor == 1 and not negative:
        return text
    try:
        number = Decimal(text)
    except InvalidOperation:
        return text
    if not number.is_finite():
        return text
    number = number * (-factor if negative else factor)
    if not number:
        return "0"
    exact = number.quantize(Decimal("1e-12")).normalize() if factor < 1 else number
    return format(exact, "f")
