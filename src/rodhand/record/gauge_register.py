"""The owner's gauges and what each calibration said of them."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.record.origin import Origin


@dataclass(frozen=True)
class GaugeKnown:
    """A gauge of the register; entered again under its name it replaces what was said before.

    Parameters
    ----------
    gauge : str
        Its name, as it stands in the looks made with it.
    measures, serial, note : str
        What it is used for; the number on it; anything.
    error : float or None
        A reading lies within so much of the truth, 19 times in 20. [m]
    every_months : float or None
        Months from one calibration to the next. [30.4 d]
    """

    origin: Origin
    gauge: str
    measures: str = ""
    serial: str = ""
    error: float | None = None
    every_months: float | None = None
    note: str = ""


@dataclass(frozen=True)
class Calibration:
    """One calibration of a gauge.

    Parameters
    ----------
    gauge : str
        Its name.
    result : {"in order", "adjusted", "out of order"}
        How it was found: right, off and put right, off and left so.
    error : float or None
        The error it was given, where it says one. [m]
    until : str
        ISO day it holds to, where it says one.
    certificate, note : str
        Its number; anything.
    """

    origin: Origin
    gauge: str
    result: str
    error: float | None = None
    until: str = ""
    certificate: str = ""
    note: str = ""
