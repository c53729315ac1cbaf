"""Bends of one hole held against the limits of rod and head."""

from __future__ import annotations

import math
from dataclasses import dataclass

from rodhand.hole.bends import BendSource, HoleBends
from rodhand.hole.limits import chance_over, limit_angle, over_verdict
from rodhand.hole.windows import WindowBend, stiff_head_bend, three_rod_window

VERDICTS = ("no", "within_error", "likely", "over")
"""From least to most."""
BY_PUSH = (BendSource.PUSHED, BendSource.PUSH_ASSUMED)


@dataclass(frozen=True)
class LimitedBend:
    """One bend and the limit it is held against.

    Parameters
    ----------
    station : int
        Station whose interval holds it, or holds its end.
    what : {"rod", "inside", "head", "three rods", "not read"}
        Mean over one rod; inside a rod; over the stiff head; over any three rods; over rods
        between two readings with none in between.
    start, end : float
        Where along the hole. [m]
    angle, error : float
        The bend and one standard deviation. [rad]
    limit : float
        What the limit radius allows on that length. [rad]
    verdict : str
        One of `VERDICTS`, or ``unknown`` where the bend was not read.
    by_push : bool
        Whether it rests on a pushed length and not on a reading; then it is told, and raises no
        alarm.
    """

    station: int
    what: str
    start: float
    end: float
    angle: float
    error: float
    limit: float
    verdict: str
    by_push: bool = False

    @property
    def share(self) -> float:
        """Bend over limit; NaN when not read. [1]"""
        return self.angle / self.limit

    @property
    def radius(self) -> float:
        """Mean radius; infinite for no bend, NaN when not read. [m]"""
        return (self.end - self.start) / self.angle if self.angle != 0.0 else math.inf

    @property
    def chance(self) -> float:
        """Chance that the true bend is over; NaN when not read. [1]"""
        return chance_over(self.angle, self.limit, self.error)


def _stretch(bends: HoleBends, k: int, limit_radius: float, what: str) -> LimitedBend:
    length = float(bends.length[k])
    limit = limit_angle(limit_radius, length)
    angle, error = float(bends.angle[k]), float(bends.error[k])
    unread = bool(bends.unread[k])
    verdict = None if unread else over_verdict(angle, limit, error)
    return LimitedBend(
        int(bends.station[k]), what, float(bends.edges[k]), float(bends.edges[k + 1]),
        math.nan if unread else angle, error, limit, verdict or "unknown",
        int(bends.source[k]) in BY_PUSH,
    )  # fmt: skip


def bends_of_rods(rods: HoleBends, limit_radius: float) -> tuple[LimitedBend, ...]:
    """Mean bend of each rod's interval against the rod's limit, one for each station."""
    return tuple(_stretch(rods, k, limit_radius, "rod") for k in range(rods.angle.size))


def bends_inside_rods(bends: HoleBends, limit_radius: float) -> tuple[LimitedBend, ...]:
    """Bends inside rods where readings or pushed lengths allow."""
    return tuple(
        _stretch(bends, k, limit_radius, "inside")
        for k in range(bends.angle.size)
        if bends.inside[k]
    )


def bends_across_gaps(rods: HoleBends, limit_radius: float) -> tuple[LimitedBend, ...]:
    """Mean bend of each run of rods between two readings with none in between.

    Which of its rods bends most nobody read; that one of them bends as much as the mean is sure.
    """
    found: list[LimitedBend] = []
    start = 0
    for k in range(rods.angle.size):
        if not (rods.unread[k] and math.isfinite(rods.angle[k])):
            start = k + 1
        elif math.isfinite(rods.edge_error[k + 1, 0]):
            begin, end = float(rods.edges[start]), float(rods.edges[k + 1])
            angle = float(rods.angle[start : k + 1].sum())
            error = float(rods.error[start : k + 1].sum())
            limit = limit_angle(limit_radius, end - begin)
            verdict = over_verdict(angle, limit, error) or "unknown"
            found.append(
                LimitedBend(
                    int(rods.station[k]), "not read", begin, end, angle, error, limit, verdict
                )
            )
            start = k + 1
    return tuple(found)


def _window(
    window: WindowBend | None, rods: HoleBends, limit_radius: float, what: str
) -> LimitedBend | None:
    if window is None:
        return None
    limit = limit_angle(limit_radius, window.end - window.start)
    verdict = over_verdict(window.angle, limit, window.error) or "unknown"
    k = min(int(rods.edges.searchsorted(window.end - 1e-6)) - 1, rods.station.size - 1)
    return LimitedBend(
        int(rods.station[k]), what, window.start, window.end, window.angle, window.error, limit,
        verdict,
    )  # fmt: skip


def bend_of_three_rods(rods: HoleBends, limit_radius: float) -> LimitedBend | None:
    """The sharpest mean bend over any three rods against the rod's limit."""
    return _window(three_rod_window(rods), rods, limit_radius, "three rods")


def bend_of_head(
    bends: HoleBends, rods: HoleBends, stiff_length: float | None, limit_radius: float | None
) -> LimitedBend | None:
    """The sharpest bend over the head's own length against its own limit; None without either."""
    if not stiff_length or not limit_radius:
        return None
    return _window(stiff_head_bend(bends, stiff_length), rods, limit_radius, "head")


def worse_verdict(one: str, other: str) -> str:
    """The worse of two verdicts; unknown counts least."""
    order = ("unknown", *VERDICTS)
    return max(one, other, key=order.index)


@dataclass(frozen=True)
class HeldAgainst:
    """All bends of a hole held against their limits.

    Parameters
    ----------
    rods : tuple of LimitedBend
        One for each station.
    inside : tuple of LimitedBend
        Inside rods.
    three : LimitedBend or None
        The sharpest over three rods.
    head : LimitedBend or None
        The sharpest over the head.
    gaps : tuple of LimitedBend
        Over rods between two readings with none in between.
    """

    rods: tuple[LimitedBend, ...]
    inside: tuple[LimitedBend, ...]
    three: LimitedBend | None
    head: LimitedBend | None
    gaps: tuple[LimitedBend, ...] = ()

    @property
    def read_inside(self) -> tuple[LimitedBend, ...]:
        """Bends inside rods that a reading shows."""
        return tuple(bend for bend in self.inside if not bend.by_push)

    def verdict_at(self, station: int) -> str:
        """Verdict of a station: of its mean bend, raised by what a reading inside it shows."""
        found = "unknown"
        for bend in (*self.rods, *self.read_inside):
            if bend.station == station:
                found = worse_verdict(found, bend.verdict)
        return found

    @property
    def notable(self) -> tuple[LimitedBend, ...]:
        """Bends over, likely over or within reading error of a limit, along the hole.

        A station is named once, by its mean bend unless only a bend inside it is over.
        """
        told: dict[int, LimitedBend] = {}
        for bend in (*self.rods, *self.read_inside, *self.gaps):
            if bend.verdict in ("no", "unknown"):
                continue
            before = told.get(bend.station)
            raises = before is not None and (
                VERDICTS.index(bend.verdict) > VERDICTS.index(before.verdict)
            )
            if before is None or raises:
                told[bend.station] = bend
        heads = [self.head] if self.head and self.head.verdict not in ("no", "unknown") else []
        return tuple(sorted([*told.values(), *heads], key=lambda bend: (bend.start, bend.what)))

    @property
    def worst(self) -> str:
        """The worst verdict of rods and head; three rods are the owner's own measure."""
        found = "no"
        heads = [self.head] if self.head else []
        for bend in (*self.rods, *self.read_inside, *self.gaps, *heads):
            found = worse_verdict(found, bend.verdict)
        return found


def hold_against(
    bends: HoleBends,
    rods: HoleBends,
    limit_radius: float,
    stiff_length: float | None = None,
    head_limit_radius: float | None = None,
    three_rods: bool = True,
) -> HeldAgainst:
    """Hold every bend of a hole against the limits of rod and head.

    Parameters
    ----------
    bends, rods : HoleBends
        Stretches with readings inside rods, and one for each rod.
    limit_radius : float
        The maker's limit of the rods. [m]
    stiff_length, head_limit_radius : float, optional
        Length and limit of the head or housing. [m]
    three_rods : bool
        Whether the sharpest bend over three rods is asked for too; it raises no alarm.

    Returns
    -------
    HeldAgainst
        Bends with verdicts.
    """
    return HeldAgainst(
        bends_of_rods(rods, limit_radius),
        bends_inside_rods(bends, limit_radius),
        bend_of_three_rods(rods, limit_radius) if three_rods else None,
        bend_of_head(bends, rods, stiff_length, head_limit_radius),
        bends_across_gaps(rods, limit_radius),
    )
