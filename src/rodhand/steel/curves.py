"""Fatigue curves: cycles to failure against stress range, each with its own mean-stress rule.

There is no endurance limit anywhere here: every range above zero uses up life.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rodhand.steel import mean_stress
from rodhand.steel.mean_stress import MeanStressRule

MPA = 1e6
LEVELS = ("design", "mean")
STANDARD_DEVIATIONS = 2.0
"""Design curves lie this many standard deviations of log10 N below the mean curve."""


@dataclass(frozen=True)
class Curve:
    """log10 N = log10 a - m log10 S with S the stress range in MPa, one or two slopes.

    Parameters
    ----------
    name : str
        Name of the curve.
    slope, log_a : float
        m and log10 a of the design curve (mean minus two standard deviations). [-]
    standard_deviation : float
        Standard deviation of log10 N. [-]
    rule : MeanStressRule
        The mean-stress rule that belongs to the curve.
    second_slope, second_log_a, knee : float, optional
        Second line, used beyond `knee` cycles of the design curve.
    source, provenance : str
        Where the constants come from, and READ or from memory.
    """

    name: str
    slope: float
    log_a: float
    standard_deviation: float
    rule: MeanStressRule = MeanStressRule.NONE
    second_slope: float | None = None
    second_log_a: float | None = None
    knee: float | None = None
    source: str = ""
    provenance: str = ""

    def shift(self, level: str) -> float:
        """What to add to log10 a for a level.

        Parameters
        ----------
        level : {"design", "mean"}
            Printed design curve, or the mean curve two standard deviations above.

        Returns
        -------
        float
            Shift of log10 N. [-]

        Raises
        ------
        ValueError
            If the level is neither.
        """
        if level not in LEVELS:
            raise ValueError(f"level must be one of {LEVELS}, got {level!r}")
        return STANDARD_DEVIATIONS * self.standard_deviation if level == "mean" else 0.0

    def cycles(self, stress_range: ArrayLike, level: str = "design") -> NDArray[np.float64]:
        """Cycles to failure at a stress range.

        Parameters
        ----------
        stress_range : array_like
            Stress range, not amplitude; zero or above. [Pa]
        level : {"design", "mean"}
            Which curve.

        Returns
        -------
        ndarray
            Cycles; infinite only at a range of exactly zero. [-]

        Raises
        ------
        ValueError
            If a range is negative.
        """
        ranges = np.asarray(stress_range, dtype=float) / MPA
        if np.any(ranges < 0.0):
            raise ValueError("a stress range cannot be negative")
        with np.errstate(divide="ignore"):
            log_range = np.log10(ranges)
        log_cycles = self.log_a - self.slope * log_range
        if self.second_slope is not None and self.second_log_a is not None:
            second = self.second_log_a - self.second_slope * log_range
            knee = math.inf if self.knee is None else math.log10(self.knee)
            log_cycles = np.where(log_cycles > knee, second, log_cycles)
        cycles: NDArray[np.float64] = np.power(10.0, log_cycles + self.shift(level))
        return cycles

    def range_with_mean(
        self, stress_range: float, mean: float, rule: MeanStressRule | None = None
    ) -> float:
        """Range to enter the curve with, for a cycle about a mean stress.

        Parameters
        ----------
        stress_range, mean : float
            Range and mean of the cycle. [Pa]
        rule : MeanStressRule, optional
            The rule somebody wants; the curve's own when not given.

        Returns
        -------
        float
            Range. [Pa]

        Raises
        ------
        ValueError
            If the rule is not the curve's own.
        """
        if rule is not None and rule is not self.rule:
            raise ValueError(
                f"{self.name} takes the mean-stress rule {self.rule.value!r}, not {rule.value!r}: "
                "the mean would be counted twice"
            )
        if self.rule is MeanStressRule.REVERSED_LOAD:
            factor = mean_stress.reversed_load_factor(stress_range / 2.0, mean)
            return stress_range * float(factor)
        return stress_range

    def mean_over_reversed(self, amplitude: ArrayLike, mean: ArrayLike) -> NDArray[np.float64]:
        """What a mean stress makes of the range, over what the same range is at zero mean.

        Parameters
        ----------
        amplitude, mean : float or array of float
            Stresses of the cycle; amplitudes above zero. [Pa]

        Returns
        -------
        array of float
            1 for a detail class, which was tested with high tension. [-]

        Raises
        ------
        ValueError
            For a rule that belongs to curves of plain steel, on which a detail class or a curve
            of stress ranges would count the mean twice.
        """
        if self.rule is MeanStressRule.NONE:
            return np.ones(np.broadcast(np.asarray(amplitude), np.asarray(mean)).shape)
        if self.rule is not MeanStressRule.REVERSED_LOAD:
            raise ValueError(f"{self.name}: {self.rule.value!r} is no rule of a curve of ranges")
        zero = mean_stress.reversed_load_factor(1.0, 0.0)
        return np.asarray(mean_stress.reversed_load_factor(amplitude, mean) / zero)


@dataclass(frozen=True)
class StrengthCoefficientCurve:
    """Stress-life of plain steel, sa = sf' (2N)^b at zero mean; polished, an upper bound.

    Parameters
    ----------
    name : str
        The steel.
    coefficient : float
        sf'. [Pa]
    exponent : float
        b, negative. [-]
    rule : MeanStressRule
        SWT, WALKER or MORROW.
    gamma : float
        Walker's exponent, used with WALKER only. [-]
    """

    name: str
    coefficient: float
    exponent: float
    rule: MeanStressRule = MeanStressRule.SWT
    gamma: float = 0.5

    def __post_init__(self) -> None:
        """Refuse the rules of other kinds of curve."""
        if self.rule not in (MeanStressRule.SWT, MeanStressRule.WALKER, MeanStressRule.MORROW):
            raise ValueError(
                f"{self.name}: a strength-coefficient curve takes SWT, Walker or Morrow, "
                f"not {self.rule.value!r}"
            )

    def cycles(self, amplitude: float, mean: float = 0.0) -> float:
        """Cycles to failure at an amplitude about a mean.

        Parameters
        ----------
        amplitude, mean : float
            Stress amplitude, not range, and mean stress. [Pa]

        Returns
        -------
        float
            Cycles; infinite only when nothing is ever in tension. [-]
        """
        if self.rule is MeanStressRule.MORROW:
            equivalent = mean_stress.morrow(amplitude, mean, self.coefficient)
        else:
            gamma = self.gamma if self.rule is MeanStressRule.WALKER else 0.5
            equivalent = mean_stress.walker(amplitude, mean, gamma)
        if equivalent <= 0.0:
            return math.inf
        return 0.5 * float((equivalent / self.coefficient) ** (1.0 / self.exponent))


@dataclass(frozen=True)
class PowerLine:
    """A straight stress-life line on log paper, sa = a N^b.

    Parameters
    ----------
    intercept : float
        a, the amplitude at one cycle. [Pa]
    exponent : float
        b, negative. [-]
    """

    intercept: float
    exponent: float

    @classmethod
    def through(cls, first: tuple[float, float], second: tuple[float, float]) -> PowerLine:
        """Line through two points of (cycles, amplitude)."""
        exponent = math.log(second[1] / first[1]) / math.log(second[0] / first[0])
        return cls(first[1] / first[0] ** exponent, exponent)

    @classmethod
    def fitted(cls, amplitudes: ArrayLike, cycles: ArrayLike) -> PowerLine:
        """Least-squares line of log N on log amplitude, for a handful of test results.

        N is what scatters in a fatigue test, so N is the dependent variable (Dowling 4th ed.
        example 9.1, READ).
        """
        slope, constant = np.polyfit(np.log10(np.asarray(amplitudes, dtype=float)),
                                     np.log10(np.asarray(cycles, dtype=float)), 1)  # fmt: skip
        return cls(float(10.0 ** (-constant / slope)), float(1.0 / slope))

    def cycles(self, amplitude: float) -> float:
        """Cycles at an amplitude. [-]"""
        return float((amplitude / self.intercept) ** (1.0 / self.exponent))

    def amplitude(self, cycles: float) -> float:
        """Amplitude at a number of cycles. [Pa]"""
        return float(self.intercept * cycles**self.exponent)


def curve_from_fields(name: str, fields: Mapping[str, object], source: str) -> Curve:
    """A curve from one entry of the curve table.

    Parameters
    ----------
    name : str
        Name of the curve.
    fields : mapping
        ``m1``, ``log_a1``, ``sd`` and, where there is one, ``m2``, ``log_a2``, ``knee``; ``rule``
        and ``provenance``.
    source : str
        Source of the table the entry stands in.

    Returns
    -------
    Curve
        The curve.

    Raises
    ------
    KeyError
        If a constant is missing.
    """

    def number(key: str) -> float:
        return float(str(fields[key]))

    two = "m2" in fields
    return Curve(
        name=name,
        slope=number("m1"),
        log_a=number("log_a1"),
        standard_deviation=number("sd"),
        rule=MeanStressRule(str(fields.get("rule", "none"))),
        second_slope=number("m2") if two else None,
        second_log_a=number("log_a2") if two else None,
        knee=number("knee") if two else None,
        source=source,
        provenance=str(fields.get("provenance", "")),
    )
