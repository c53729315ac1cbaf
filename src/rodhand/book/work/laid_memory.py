"""Laid strings remembered by what they were worked from: in memory, and in a folder of this user.

A season takes most of a minute the first time and nothing after it. What is kept is no record:
each file may be deleted at any time and is worked out again.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import os
import sys
from collections import OrderedDict
from dataclasses import fields, is_dataclass
from functools import cache
from pathlib import Path
from zipfile import BadZipFile

import numpy as np

from rodhand.wear.bend_powers import BendPowers, Power, Scatter
from rodhand.wear.life_used import MODEL

Kept = tuple[BendPowers | None, ...]
FORMAT = 2
"""To be raised when the same content gives other numbers."""
IN_MEMORY = 1_000
ON_DISK = 20_000
"""Bores kept; beyond that the oldest files go. A bore of 30 rods takes about 0.1 MB."""

_MEMORY: OrderedDict[str, Kept] = OrderedDict()


def folder() -> Path:
    """Where they are kept: RODHAND_CACHE, else the user's folder for such things."""
    given = os.environ.get("RODHAND_CACHE")
    if given:
        return Path(given)
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA", Path.home())) / "rodhand" / "worked"
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "rodhand"


def digest_of(*content: object) -> str:
    """Digest of numbers, arrays, records and lists of them, of this version of the mechanics."""
    digest = hashlib.sha256(f"{MODEL}.{FORMAT}".encode())
    _take(digest, content)
    return digest.hexdigest()


def _take(digest: hashlib._Hash, content: object) -> None:
    if isinstance(content, np.ndarray):
        digest.update(f"{content.dtype}{content.shape}".encode() + content.tobytes())
    elif isinstance(content, list | tuple):
        digest.update(f"[{len(content)}".encode())
        for each in content:
            _take(digest, each)
    elif is_dataclass(content):
        for each in fields(content):
            _take(digest, getattr(content, each.name))
    else:
        digest.update(repr(content).encode() + b";")


def kept(key: str) -> Kept | None:
    """What was kept under a key; None when nothing readable is there."""
    found = _MEMORY.get(key)
    if found is not None:
        _MEMORY.move_to_end(key)
        return found
    with contextlib.suppress(OSError, ValueError, KeyError, EOFError, BadZipFile):
        found = _unpacked((folder() / f"{key}.npz").read_bytes())
        _remember(key, found)
    return found


def keep(key: str, found: Kept) -> None:
    """Keep it in memory and, where the folder can be written, on disk."""
    _remember(key, found)
    with contextlib.suppress(OSError):
        here = folder()
        here.mkdir(parents=True, exist_ok=True)
        beside = here / f"{key}.{os.getpid()}.part"
        beside.write_bytes(_packed(found))
        beside.replace(here / f"{key}.npz")
        _let_go(here)


def forget() -> None:
    """Leave what is in memory; what is in the folder stays."""
    _MEMORY.clear()


def _remember(key: str, found: Kept) -> None:
    _MEMORY[key] = found
    while len(_MEMORY) > IN_MEMORY:
        _MEMORY.popitem(last=False)


@cache
def _let_go(here: Path) -> None:
    """The oldest files beyond the most that are kept go, once in a run."""
    files = list(here.glob("*.npz"))
    if len(files) > ON_DISK:
        oldest = sorted(files, key=lambda file: file.stat().st_mtime)
        for file in oldest[: len(files) - ON_DISK]:
            file.unlink(missing_ok=True)


def _packed(found: Kept) -> bytes:
    arrays: dict[str, np.ndarray] = {"count": np.array(len(found))}
    for k, each in enumerate(found):
        if each is None:
            continue
        arrays |= {f"{k}.edges": each.edges, f"{k}.size": each.size}
        arrays |= {f"{k}.bend": each.scatter.bend, f"{k}.factors": each.scatter.factors}
        for m, power in each.by_slope.items():
            holes = [hole[m] for hole in each.by_hole]
            arrays[f"{k}.power.{m!r}"] = np.stack((power.low, power.best, power.high, *holes))
    file = io.BytesIO()
    np.savez(file, allow_pickle=False, **arrays)
    return file.getvalue()


def _unpacked(content: bytes) -> Kept:
    with np.load(io.BytesIO(content), allow_pickle=False) as arrays:
        return tuple(_one(arrays, k) for k in range(int(arrays["count"])))


def _one(arrays: np.lib.npyio.NpzFile, k: int) -> BendPowers | None:
    if f"{k}.edges" not in arrays:
        return None
    start = f"{k}.power."
    found = {
        float(name.removeprefix(start)): arrays[name]
        for name in arrays.files
        if name.startswith(start)
    }
    by_slope = {m: Power(*rows[:3]) for m, rows in found.items()}
    holes = {len(rows) for rows in found.values()}.pop()
    by_hole = tuple({m: rows[at] for m, rows in found.items()} for at in range(3, holes))
    edges, size, bend, factors = (
        arrays[f"{k}.{name}"] for name in ("edges", "size", "bend", "factors")
    )
    return BendPowers(edges, by_slope, size, Scatter(bend, factors), by_hole, laid=True)
