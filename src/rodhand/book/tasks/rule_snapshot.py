"""Where everything stood when the book was last worked through: a small file beside the journal."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path

from rodhand import __version__
from rodhand.book.whole_file import write_whole
from rodhand.book.work.tables import data_digest
from rodhand.record.backup import BESIDE
from rodhand.wear.life_used import MODEL


@dataclass(frozen=True)
class Change:
    """One changed rule: setting, limit, rod_type or program; its name and two values.

    The values of a limit are smallest radii in metres, those of a program `program_now`.
    """

    what: str
    name: str
    before: str = ""
    after: str = ""


@dataclass(frozen=True)
class Move:
    """One thing whose standing a changed rule moved; ``held`` when it keeps the worse one."""

    key: str
    name: str
    before: str
    after: str
    held: bool


@dataclass(frozen=True)
class Batch:
    """What was found at one time: which rules were changed, and what that moved."""

    when: str
    changes: tuple[Change, ...]
    moves: tuple[Move, ...]
    seen: bool = False


@dataclass(frozen=True)
class Snapshot:
    """Where everything stood when the book was last worked through.

    Parameters
    ----------
    program : str
        See `program_now`.
    count : int
        How many entries there were, in order of arrival.
    digest : str
        Digest of these entries.
    today : str
        ISO day it was worked out for.
    standings : mapping of str to str
        By key of each thing.
    batches : tuple of Batch
        What changed rules have moved so far, oldest first.
    """

    program: str
    count: int
    digest: str
    today: str
    standings: Mapping[str, str]
    batches: tuple[Batch, ...] = field(default=())


def program_now() -> str:
    """What the program's own rules are known by: version, model of life used, digest of tables."""
    return f"{__version__}, model {MODEL}, tables {data_digest()[:8]}"


def read_snapshot(folder: Path) -> Snapshot | None:
    """The snapshot beside a book; None when there is none or it cannot be read."""
    try:
        noted = json.loads((folder / BESIDE).read_text(encoding="utf-8"))
        batches = tuple(
            Batch(
                each["when"],
                tuple(Change(**change) for change in each["changes"]),
                tuple(Move(**move) for move in each["moves"]),
                each["seen"] is True,
            )
            for each in noted.pop("batches")
        )
        return Snapshot(**noted, batches=batches)
    except (OSError, ValueError, TypeError, KeyError, AttributeError):
        return None


def write_snapshot(folder: Path, snapshot: Snapshot) -> None:
    """Keep a snapshot beside a book. Raises CannotReadError if it cannot be written."""
    write_whole(folder / BESIDE, json.dumps(asdict(snapshot), separators=(",", ":")) + "\n")


def mark_seen(folder: Path) -> None:
    """Take what changed rules moved so far off the first page; it stays in the list.

    Raises
    ------
    CannotReadError
        If the snapshot cannot be written.
    """
    last = read_snapshot(folder)
    if last is not None:
        seen = tuple(replace(batch, seen=True) for batch in last.batches)
        write_snapshot(folder, replace(last, batches=seen))
