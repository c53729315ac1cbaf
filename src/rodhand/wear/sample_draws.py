"""Random numbers of the samples: the same for a seed in any chunk, order and process.

Every quantity has its own counter-based stream, named by its seed and by what it stands for. The
standard numbers are spread evenly over all samples (one in each of as many equal slices, in a
shuffled order), so that a thousand of them leave little to chance.
"""

from __future__ import annotations

import hashlib
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

SAMPLES = 1000
"""Samples of a bore. [1]"""
CHUNK = 250
"""Samples worked at once; a chunk asks nothing of another one. [1]"""


def seed_of(*names: str) -> int:
    """A seed that stands for some texts, the same on any machine.

    Parameters
    ----------
    *names : str
        Texts, in order.

    Returns
    -------
    int
        64 bits of their SHA-256.
    """
    whole = hashlib.sha256("\0".join(names).encode("utf-8")).digest()
    return int.from_bytes(whole[:8], "little")


def stream(seed: int, what: str, chunk: int = 0) -> np.random.Generator:
    """The generator of one quantity in one chunk.

    Parameters
    ----------
    seed : int
        Of the bore, or of what several bores share.
    what : str
        The quantity.
    chunk : int
        Number of the chunk.

    Returns
    -------
    numpy.random.Generator
        Philox, a counter-based generator.
    """
    key = np.array([seed_of(str(seed), what), chunk], dtype=np.uint64)
    return np.random.Generator(np.random.Philox(key=key))


@lru_cache(maxsize=1024)
def spread_evenly(seed: int, what: str, count: int = SAMPLES) -> Floats:
    """Numbers of one quantity between 0 and 1, one in each of ``count`` equal slices, shuffled.

    Parameters
    ----------
    seed : int
        See `stream`.
    what : str
        The quantity.
    count : int
        How many. [1]

    Returns
    -------
    (count,) array of float
        Middles of the slices. [-]
    """
    found = (stream(seed, what).permutation(count) + 0.5) / count
    found.flags.writeable = False  # it is remembered
    return found


@lru_cache(maxsize=256)
def standard_normal(seed: int, what: str, count: int = SAMPLES) -> Floats:
    """Standard normal numbers of one quantity, spread evenly; see `spread_evenly`."""
    from scipy.special import ndtri

    found = np.asarray(ndtri(spread_evenly(seed, what, count)))
    found.flags.writeable = False
    return found
