"""Quantities at the edge: read what people type, print what people read.

Everything inside is base SI with angles in radians. Conversion happens here and nowhere else.
Factors are built from exact definitions (international inch and foot, avoirdupois pound,
standard gravity).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Literal

INCH = 0.0254  # exact, 1959 agreement
FOOT = 12 * INCH
POUND_MASS = 0.45359237  # exact
STANDARD_GRAVITY = 9.80665  # exact
POUND_FORCE = POUND_MASS * STANDARD_GRAVITY
FOOT_POUND = FOOT * POUND_FORCE
PSI = POUND_FORCE / INCH**2

System = Literal["metric", "us"]

SUFFIXES: Mapping[str, Mapping[str, float]] = {
    "length": {"m": 1.0, "ft": FOOT},
    "size": {"mm": 1e-3, "in": INCH, "m": 1.0, "ft": FOOT},
    "slope": {
        "pct": math.nan,
        "deg": math.radians(1.0),
    },  # percent grade is atan(p/100), not linear
    "angle": {"deg": math.radians(1.0)},
    "share": {"pct": 0.01},
    "force": {"kN": 1e3, "lb": POUND_FORCE},
    "torque": {"Nm": 1.0, "ftlb": FOOT_POUND},
    "stress": {"MPa": 1e6, "ksi": 1e3 * PSI},
    "pressure": {"bar": 1e5, "MPa": 1e6, "psi": PSI},
    "mass": {"kg": 1.0, "lb": POUND_MASS},
    "line_mass": {"kg_per_m": 1.0, "lb_per_ft": POUND_MASS / FOOT},
    "duration": {"min": 60.0, "h": 3600.0},
    "speed": {"m_per_min": 1 / 60.0, "ft_per_min": FOOT / 60.0},
    "turns": {"turns": 1.0},
    "money": {"": 1.0},
}
"""Dimension -> unit suffix (as written in column names) -> factor to base SI."""


class Standing(Enum):
    """Where a number comes from."""

    MEASURED = "measured"
    COMPUTED = "computed"
    ASSUMED = "assumed"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Quantity:
    """How one kind of number is printed: per system a unit, a factor and decimals.

    Parameters
    ----------
    si_unit : str
        Base SI unit of the value.
    metric, us : tuple of (str, float, int)
        Printed unit, SI value of one printed unit, decimals.
    """

    si_unit: str
    metric: tuple[str, float, int]
    us: tuple[str, float, int]


QUANTITIES: Mapping[str, Quantity] = {
    "length": Quantity("m", ("m", 1.0, 2), ("ft", FOOT, 1)),
    "distance": Quantity("m", ("m", 1.0, 1), ("ft", FOOT, 0)),
    "long_distance": Quantity("m", ("m", 1.0, 0), ("ft", FOOT, 0)),
    "radius": Quantity("m", ("m", 1.0, 1), ("ft", FOOT, 0)),
    "size": Quantity("m", ("mm", 1e-3, 1), ("in", INCH, 3)),
    "fine_size": Quantity("m", ("mm", 1e-3, 2), ("in", INCH, 3)),
    "wear_per_distance": Quantity(
        "1", ("mm per 1,000 m", 1e-6, 2), ("in per 1,000 ft", INCH / (1e3 * FOOT), 4)
    ),
    "wear_per_time": Quantity(
        "m/s", ("mm per 100 h", 1e-3 / 3.6e5, 2), ("in per 100 h", INCH / 3.6e5, 4)
    ),
    "wear_per_makeup": Quantity(
        "m", ("mm/100 make-ups", 1e-5, 2), ("in/100 make-ups", INCH / 100.0, 4)
    ),
    "bow": Quantity("m/m", ("mm/m", 1e-3, 1), ("in/10 ft", 1.0 / 120.0, 2)),
    "angle": Quantity("rad", ("°", math.radians(1.0), 2), ("°", math.radians(1.0), 2)),
    "fine_angle": Quantity("rad", ("°", math.radians(1.0), 3), ("°", math.radians(1.0), 3)),
    "slope": Quantity("rad", ("%", math.nan, 1), ("%", math.nan, 1)),
    "force": Quantity("N", ("kN", 1e3, 1), ("lb", POUND_FORCE, 0)),
    "line_load": Quantity("N/m", ("N/m", 1.0, 0), ("lb/ft", POUND_FORCE / FOOT, 1)),
    "line_mass": Quantity("kg/m", ("kg/m", 1.0, 2), ("lb/ft", POUND_MASS / FOOT, 2)),
    "torque": Quantity("N·m", ("N·m", 1.0, 0), ("ft-lb", FOOT_POUND, 0)),
    "stress": Quantity("Pa", ("MPa", 1e6, 0), ("ksi", 1e3 * PSI, 1)),
    "fine_stress": Quantity("Pa", ("MPa", 1e6, 2), ("ksi", 1e3 * PSI, 3)),
    "pressure": Quantity("Pa", ("bar", 1e5, 0), ("psi", PSI, 0)),
    "density": Quantity("kg/m^3", ("kg/m³", 1.0, 0), ("lb/ft³", POUND_MASS / FOOT**3, 1)),
    "mass": Quantity("kg", ("kg", 1.0, 1), ("lb", POUND_MASS, 1)),
    "hours": Quantity("s", ("h", 3600.0, 1), ("h", 3600.0, 1)),
    "minutes": Quantity("s", ("min", 60.0, 0), ("min", 60.0, 0)),
    "days": Quantity("s", ("days", 86400.0, 0), ("days", 86400.0, 0)),
    "rate": Quantity("1/s", ("rpm", 1 / 60.0, 0), ("rpm", 1 / 60.0, 0)),
    "count": Quantity("1", ("", 1.0, 0), ("", 1.0, 0)),
    "mean_count": Quantity("1", ("", 1.0, 1), ("", 1.0, 1)),
    "one_in": Quantity("1", ("bores", 1.0, 0), ("bores", 1.0, 0)),
    "turns": Quantity("1", ("turns", 1.0, 0), ("turns", 1.0, 0)),
    "share": Quantity("1", ("%", 0.01, 0), ("%", 0.01, 0)),
    "fine_share": Quantity("1", ("%", 0.01, 2), ("%", 0.01, 2)),
    "ratio": Quantity("1", ("", 1.0, 3), ("", 1.0, 3)),
    "fine_ratio": Quantity("1", ("", 1.0, 6), ("", 1.0, 6)),
    "factor": Quantity("1", ("×", 1.0, 1), ("×", 1.0, 1)),
    "fine_factor": Quantity("1", ("×", 1.0, 2), ("×", 1.0, 2)),
    "millionths": Quantity("1", ("×10⁻⁶", 1e-6, 2), ("×10⁻⁶", 1e-6, 2)),
    "fine_turns": Quantity("1", ("turns", 1.0, 1), ("turns", 1.0, 1)),
    "life": Quantity("1", ("", 1.0, 4), ("", 1.0, 4)),
    "part_of_life": Quantity("1", ("%", 0.01, 4), ("%", 0.01, 4)),
    "per_1000_hours": Quantity("1/s", ("per 1,000 h", 1 / 3.6e6, 2), ("per 1,000 h", 1 / 3.6e6, 2)),
    "money": Quantity("1", ("", 1.0, 0), ("", 1.0, 0)),
    "money_per_metre": Quantity("1/m", ("/ m", 1.0, 2), ("/ ft", 1.0 / FOOT, 2)),
    "rods_used": Quantity("1", ("", 1.0, 2), ("", 1.0, 2)),
    "fine_rods_used": Quantity("1", ("", 1.0, 4), ("", 1.0, 4)),
}


NEVER_NOUGHT = ("money", "part_of_life", "money_per_metre", "rods_used", "fine_rods_used", "life")
"""Quantities of which a little is printed as less than the last digit, never as 0."""
TWO_DIGITS = {"money": 2, "part_of_life": 4}
"""Quantities printed with two digits below 10, else whole, and their decimals at the finest."""


def to_si(value: float, dimension: str, suffix: str) -> float:
    """Convert a typed value to base SI.

    Parameters
    ----------
    value : float
        The number as typed. [suffix]
    dimension, suffix : str
        A dimension and one of its suffixes in `SUFFIXES`.

    Returns
    -------
    float
        Base SI value. [SI]

    Raises
    ------
    KeyError
        If the dimension or suffix is not known.

    Notes
    -----
    Percent grade becomes an angle by atan(p/100), so 100 % is 45 degrees.

    Examples
    --------
    >>> round(to_si(10, "length", "ft"), 3)
    3.048
    >>> round(math.degrees(to_si(100, "slope", "pct")), 6)
    45.0
    """
    factor = SUFFIXES[dimension][suffix]
    if dimension == "slope" and suffix == "pct":
        return math.atan(value / 100.0)
    return value * factor


def from_si(value: float, dimension: str, suffix: str) -> float:
    """Convert a base SI value to a typed unit; the inverse of `to_si`.

    Parameters
    ----------
    value : float
        Base SI value. [SI]
    dimension, suffix : str
        A dimension and one of its suffixes in `SUFFIXES`.

    Returns
    -------
    float
        Value in the suffix's unit. [suffix]

    Raises
    ------
    KeyError
        If the dimension or suffix is not known.
    """
    if dimension == "slope" and suffix == "pct":
        return 100.0 * math.tan(value)
    return value / SUFFIXES[dimension][suffix]


def show(value: float | None, quantity: str, system: System, unit: bool = True) -> str:
    """Print a base SI value in one unit system.

    Parameters
    ----------
    value : float or None
        Base SI value; None or NaN is unknown. [SI]
    quantity : str
        Key of `QUANTITIES`.
    system : {"metric", "us"}
        Unit system.
    unit : bool
        Whether the unit follows the number, joined by a no-break space.

    Returns
    -------
    str
        The printed number; an en dash when unknown, never 0. Of `NEVER_NOUGHT` what is above 0
        and would be rounded to it is printed as less than one of the last digit; of `TWO_DIGITS`
        what is below 10 has two.

    Examples
    --------
    >>> show(3.048, "length", "us")
    '10.0\\xa0ft'
    >>> show(None, "length", "us")
    '–'
    >>> [show(each, "money", "us") for each in (12.3, 1.23, 0.123, 0.00123, 0.0)]
    ['12', '1.2', '0.12', '<0.01', '0']
    >>> [show(each, "part_of_life", "us", unit=False) for each in (0.0996, 0.0123, 3e-6, 3e-8, 0)]
    ['10', '1.2', '0.0003', '<0.0001', '0']
    """
    if value is None or math.isnan(value):
        return "–"
    kind = QUANTITIES[quantity]
    name, factor, decimals = kind.metric if system == "metric" else kind.us
    if math.isinf(value):
        return "∞"
    number = 100.0 * math.tan(value) if quantity == "slope" else value / factor
    decimals = _decimals(number, quantity, decimals)
    if round(number, decimals) == 0:
        least = 10.0**-decimals
        tiny = quantity in NEVER_NOUGHT and number > 0.0
        text = f"<{least:.{decimals}f}" if tiny else f"{0.0:.{decimals}f}"  # no "-0.0"
    else:
        text = f"{number:,.{decimals}f}"
    return f"{text}\u00a0{name}" if unit and name else text


def _decimals(number: float, quantity: str, decimals: int) -> int:
    """Decimals of a printed number: as its quantity says, or as many as make two digits."""
    if quantity not in TWO_DIGITS:
        return decimals
    if number == 0.0:
        return 0
    power = math.floor(math.log10(abs(float(f"{number:.1e}"))))
    return min(max(1 - power, 0), TWO_DIGITS[quantity])


def printed(value: float, quantity: str, system: System) -> float:
    """What a reader of the printed number has: the value as `show` rounds it. [SI]

    Parameters
    ----------
    value : float
        Base SI value. [SI]
    quantity : str
        Key of `QUANTITIES`.
    system : {"metric", "us"}
        Unit system.
    """
    kind = QUANTITIES[quantity]
    _, factor, decimals = kind.metric if system == "metric" else kind.us
    if quantity == "slope":
        return math.atan(round(100.0 * math.tan(value), decimals) / 100.0)
    number = value / factor
    return round(number, _decimals(number, quantity, decimals)) * factor


def printed_enough(value: float, quantity: str, more: bool) -> float:
    """The nearest value that, printed in either system, is at least (or at most) another.

    Parameters
    ----------
    value : float
        What is needed. [SI]
    quantity : str
        Key of `QUANTITIES`.
    more : bool
        Whether more than needed is enough, or less.

    Returns
    -------
    float
        Half a printed metric digit beyond it, or more where feet are printed coarser. [SI]
    """
    _, factor, decimals = QUANTITIES[quantity].metric
    step = (math.atan(0.01) if quantity == "slope" else factor) * 10.0**-decimals
    sign = 1.0 if more else -1.0
    systems: tuple[System, ...] = ("metric", "us")
    found = value
    while any(sign * (printed(found, quantity, each) - value) < 0.0 for each in systems):
        found += sign * step / 2.0
    return found


@dataclass(frozen=True)
class Figure:
    """One number a person reads: what it is, its value, and where it comes from.

    Parameters
    ----------
    key : str
        Stable dotted name, for example ``rod.M1-01.life_used.best``.
    value : float or None
        Base SI value; None is unknown. [SI]
    quantity : str
        Key of `QUANTITIES`.
    standing : Standing
        Measured, computed, assumed or unknown.
    low, high : float, optional
        Ends of the band, where there is one. [SI]
    """

    key: str
    value: float | None
    quantity: str
    standing: Standing
    low: float | None = None
    high: float | None = None

    def __post_init__(self) -> None:
        """Keep unknown unknown: no value means standing unknown, and the other way round."""
        missing = self.value is None or math.isnan(self.value)
        if missing:
            object.__setattr__(self, "value", None)
            object.__setattr__(self, "standing", Standing.UNKNOWN)
        elif self.standing is Standing.UNKNOWN:
            object.__setattr__(self, "value", None)
        if self.quantity not in QUANTITIES:
            raise ValueError(f"unknown quantity {self.quantity!r} for figure {self.key!r}")

    def shown(self, system: System) -> str:
        """Print the number with its unit in one system."""
        return show(self.value, self.quantity, system)

    def as_json(self) -> dict[str, float | str | None]:
        """The figure's entry in a JSON twin."""
        return {
            "value": self.value,
            "unit": QUANTITIES[self.quantity].si_unit,
            "standing": self.standing.value,
            "low": self.low,
            "high": self.high,
            "shown_metric": self.shown("metric"),
            "shown_us": self.shown("us"),
        }
