"""The least damage of a run of rods whose ends answer to their bends along straight lines."""

from __future__ import annotations

from dataclasses import dataclass

import clarabel
import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from rodhand.hole.way_back import DAMAGE_POWER

Floats = NDArray[np.float64]
DAMAGE, END, KEEP = 1e-3, 1e2, 1e3
"""Weights of the damage of one rod held at its room, of the end missed and of a distance not kept:
each goes well before the one before it. Their sizes suit the solver. [1]"""
STEP = 0.9
"""Share of the way to a wall the solver takes at once: the shorter, the surer. [1]"""


@dataclass(frozen=True, eq=False)
class Straightened:
    """How end and distances answer to the bends about one way.

    Parameters
    ----------
    at : ndarray (planes, n)
        Bends of the way in shares of the room, up or right positive. [1]
    off : ndarray (e,)
        The end missed there, in rod lengths and radians. [1]
    off_slope : ndarray (e, planes n)
        Its change for each share.
    kept : ndarray (k,)
        Distances beyond what is to be kept, in rod lengths. [1]
    kept_slope : ndarray (k, planes n)
        Their change for each share.
    """

    at: Floats
    off: Floats
    off_slope: Floats
    kept: Floats
    kept_slope: Floats


def least_bending(line: Straightened) -> Floats:
    """Shares of the room in every rod: distances kept, the end met or nearest, the least damage.

    Parameters
    ----------
    line : Straightened
        What is asked, about one way.

    Returns
    -------
    ndarray (planes, n)
        Bends in shares of the room; both planes together are at most 1 in every rod. [1]

    Notes
    -----
    Damage is the sum of the shares to the power `DAMAGE_POWER`; the end missed counts by its
    square and a distance not kept by itself. All three are convex and so is a rod's room, so
    there is one least and no start hides it. It is put to a conic solver: unknown are the bends,
    each rod's damage, the end missed and what each distance lacks; a rod's bends lie in a cone of
    the second order (its room) and in a power cone (its damage).
    """
    planes, rods = line.at.shape
    bends, ends, kept = planes * rods, len(line.off), len(line.kept)
    damage, missed, lacking = bends, bends + rods, bends + rods + ends
    count = lacking + kept
    squares, cost = np.zeros(count), np.zeros(count)
    squares[missed:lacking] = 2.0 * END
    cost[damage:missed], cost[lacking:] = DAMAGE, KEEP

    here = line.at.ravel()
    rows = [
        _placed(count, (0, line.off_slope), (missed, -np.eye(ends))),
        _placed(count, (0, -line.kept_slope), (lacking, -np.eye(kept))),
        _placed(count, (lacking, -np.eye(kept))),
    ]
    beyond = [line.off_slope @ here - line.off, line.kept - line.kept_slope @ here, np.zeros(kept)]
    cones = [clarabel.ZeroConeT(ends), clarabel.NonnegativeConeT(2 * kept)]
    for rod in range(rods):
        its = np.zeros((planes, count))
        its[np.arange(planes), rod + rods * np.arange(planes)] = -1.0
        none = np.zeros((1, count))
        in_room = np.vstack((none, its))
        in_damage = np.vstack((_placed(count, (damage + rod, -np.eye(1))), none, its))
        rows += [in_room, in_damage]
        beyond += [np.eye(planes + 1)[0], np.eye(planes + 2)[1]]
        power = 1.0 / DAMAGE_POWER
        cones.append(clarabel.SecondOrderConeT(planes + 1))
        cones.append(clarabel.GenPowerConeT([power, 1.0 - power], planes))
    settings = clarabel.DefaultSettings()
    settings.verbose, settings.max_step_fraction = False, STEP
    solver = clarabel.DefaultSolver(
        sparse.diags(squares, format="csc"), cost, sparse.csc_matrix(np.vstack(rows)),
        np.concatenate(beyond), cones, settings,
    )  # fmt: skip
    return np.array(solver.solve().x[:bends]).reshape(planes, rods)


def _placed(count: int, *blocks: tuple[int, Floats]) -> Floats:
    """Rows of `count` columns with blocks beginning at some of them; the rest is 0."""
    found = np.zeros((len(blocks[0][1]), count))
    for column, block in blocks:
        found[:, column : column + block.shape[1]] = block
    return found
