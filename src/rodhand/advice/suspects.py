"""Joints and rods named because of something that happened elsewhere: sub, gauge, spike, shift."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from rodhand.advice.looks import Finding

GAUGE_TOLERANCE = 0.05
"""A gauge further off than this is out (shop habit, common practice). [1]"""
UNDER_TORQUE_BELOW = 0.8
"""Share of make-up torque below which a joint is called under-torqued (proposal). [1]"""
OVER_TORQUE_ABOVE = 1.0 + GAUGE_TOLERANCE
"""Share of make-up torque above which a joint was made up too tight: past make-up torque by more
than a good gauge may be off (proposal). [1]"""
GALLING = ("galled", "light galling")


@dataclass(frozen=True)
class GaugeLook:
    """A gauge held against a reference: ISO date, what it showed and what was true. [N m]"""

    when: str
    shown: float
    reference: float

    @property
    def ratio(self) -> float:
        """True over shown: the share of its torque a joint really got. [1]"""
        return self.reference / self.shown

    @property
    def is_good(self) -> bool:
        """Whether the gauge was within tolerance of the reference."""
        return abs(self.shown / self.reference - 1.0) <= GAUGE_TOLERANCE


@dataclass(frozen=True)
class GaugeOff:
    """A gauge found out of tolerance, from one good comparison to the next.

    Parameters
    ----------
    when : str
        ISO day it was last found out.
    last_good : str
        ISO day of the good comparison before; empty if none.
    share : float
        Share of its torque a joint really got, by the last comparison that was not good. [1]
    mended : str
        ISO day of the good comparison after; empty while it is off.
    """

    when: str
    last_good: str
    share: float
    mended: str = ""


def gauge_faults(looks: Sequence[GaugeLook]) -> tuple[GaugeOff, ...]:
    """Every time the gauge was off; a good comparison later takes no doubt from what was before.

    Parameters
    ----------
    looks : sequence of GaugeLook
        Of one gauge, in order of the work.

    Returns
    -------
    tuple of GaugeOff
        In that order; the last has no ``mended`` where the gauge is off now. Make-ups after
        ``last_good`` and up to ``when`` are in doubt at ``share`` of what the gauge showed.
    """
    found: list[GaugeOff] = []
    last_good, off = "", None
    for look in looks:
        if not look.is_good:
            off = GaugeOff(look.when, last_good, look.ratio)
            continue
        if off is not None:
            found.append(replace(off, mended=look.when))
        last_good, off = look.when, None
    return (*found, *([off] if off is not None else []))


@dataclass(frozen=True)
class SubTrace:
    """A galled saver sub and the things whose galling was seen after it on the same rig."""

    sub: str
    when: str
    things: tuple[str, ...]


def sub_trace(
    sub: str, sub_findings: Sequence[Finding], rod_findings: Sequence[tuple[str, Finding]]
) -> SubTrace | None:
    """Which rods show galling since the sub they were all made up with was seen galled.

    Parameters
    ----------
    sub : str
        Key of the saver sub.
    sub_findings : sequence of Finding
        Findings of its looks.
    rod_findings : sequence of (str, Finding)
        Findings of things that were made up on the same rig after that.

    Returns
    -------
    SubTrace or None
        None when the sub was not seen galled. Direct mates only; chains are not followed.
    """
    galled = [f for f in sub_findings if f.finding in GALLING]
    if not galled:
        return None
    since = galled[0].when
    things = sorted(
        {
            key
            for key, finding in rod_findings
            if finding.finding in GALLING and finding.when > since
        }
    )
    return SubTrace(sub, since, tuple(things))


def is_under_torqued(
    torque: float | None, share: float | None, makeup: float | None
) -> float | None:
    """Share of make-up torque reached, when below the line; None when it is not, or not known.

    Parameters
    ----------
    torque : float or None
        Torque reached. [N m]
    share : float or None
        Share of make-up torque, where the crew wrote that. [1]
    makeup : float or None
        Make-up torque of the joint. [N m]
    """
    if share is None and torque is not None and makeup:
        share = torque / makeup
    return share if share is not None and share < UNDER_TORQUE_BELOW else None
