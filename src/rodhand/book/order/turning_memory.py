"""Seasons worked out, kept by what they were worked from, in the folder laid strings are kept in.

What is kept is no record: each file may be deleted at any time and is worked out again.
"""

from __future__ import annotations

import contextlib
import io
import os
from dataclasses import fields
from zipfile import BadZipFile

import numpy as np

from rodhand.book.work.laid_memory import digest_of, folder
from rodhand.wear.turning import CHUNK, MOST_BORES, POLICIES, STRENGTHS, Seasons, TurningCase

FORMAT = 2
"""To be raised when the same content gives other numbers."""


def key_of(case: TurningCase, seasons: int, seed: int) -> str:
    """Digest of a set, its bores, how many seasons and of which seed."""
    rules = (FORMAT, POLICIES, MOST_BORES, CHUNK, STRENGTHS)
    return "turning-" + digest_of(rules, case, seasons, seed)


def kept(key: str) -> Seasons | None:
    """Seasons kept under a key; None when nothing readable is there."""
    with contextlib.suppress(OSError, ValueError, KeyError, EOFError, BadZipFile):
        content = io.BytesIO((folder() / f"{key}.npz").read_bytes())
        with np.load(content, allow_pickle=False) as arrays:
            return Seasons(**{each.name: arrays[each.name] for each in fields(Seasons)})
    return None


def keep(key: str, found: Seasons) -> None:
    """Keep them where the folder can be written."""
    file = io.BytesIO()
    np.savez(file, allow_pickle=False, **{f.name: getattr(found, f.name) for f in fields(found)})
    with contextlib.suppress(OSError):
        here = folder()
        here.mkdir(parents=True, exist_ok=True)
        beside = here / f"{key}.{os.getpid()}.part"
        beside.write_bytes(file.getvalue())
        beside.replace(here / f"{key}.npz")
