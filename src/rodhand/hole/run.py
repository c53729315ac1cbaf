"""A run of rods drawn from where a hole stands: every rod bends evenly between its two ends."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rodhand.hole.way_around import Place

Floats = NDArray[np.float64]
PIECES = 4
"""Straight pieces a rod is drawn in."""


@dataclass(frozen=True, eq=False)
class Run:
    """Where rods lie, the start first.

    Parameters
    ----------
    pitch, heading : ndarray (n+1,)
        At the start and at the end of each rod, up and right positive. [rad]
    along, offset, depth : ndarray (n+1,)
        There: level along the line, right of it, below the entry. [m]
    pieces : ndarray (3, 4 n + 1)
        The same three along the rods, in short straight pieces. [m]
    """

    pitch: Floats
    heading: Floats
    along: Floats
    offset: Floats
    depth: Floats
    pieces: Floats


def run_from(start: Place, pitch: Floats, heading: Floats | None, length: float) -> Run:
    """Draw rods from a place on.

    Parameters
    ----------
    start : Place
        Where they begin.
    pitch : ndarray (n,)
        At the end of each rod. [rad]
    heading : ndarray (n,) or None
        At the end of each rod; None holds that of the start. [rad]
    length : float
        Of a rod. [m]
    """
    pitches = np.append(start.pitch, pitch)
    headings = np.full_like(pitches, start.heading)
    if heading is not None:
        headings[1:] = heading
    ends = np.arange(len(pitches))
    middles = (np.arange(PIECES * (len(pitches) - 1)) + 0.5) / PIECES
    level, toward = np.interp(middles, ends, pitches), np.interp(middles, ends, headings)
    step = length / PIECES * np.stack(
        (np.cos(level) * np.cos(toward), np.cos(level) * np.sin(toward), -np.sin(level))
    )  # fmt: skip
    first = np.array([[start.along], [start.offset], [start.depth]])
    pieces = np.concatenate((first, first + np.cumsum(step, axis=1)), axis=1)
    x, y, z = pieces[:, ::PIECES]
    return Run(pitches, headings, x, y, z, pieces)
