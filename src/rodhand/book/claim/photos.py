"""Photos of a break or loss: what was entered, what lies in a folder, and how they agree.

The photos stay where they are; only their names, sizes and hashes go into the file.
"""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from rodhand.book.claim.views import PhotoRow
from rodhand.faults import CannotReadError
from rodhand.record.book import Book
from rodhand.record.book_bores import Photo
from rodhand.units import Figure, Standing
from rodhand.words import say

BOTH, FOLDER_ONLY, ENTRY_ONLY, DIFFERS = "both", "folder", "entry", "differs"
"""In the folder as entered; in the folder and not entered; entered and not in the folder; entered,
and the folder holds another file under that name."""


@dataclass(frozen=True)
class FoundPhoto:
    """A file of a folder of photos: its name below the folder, size [bytes] and SHA-256."""

    name: str
    size: int
    sha256: str


def sha256_of(stream: BinaryIO) -> str:
    """SHA-256 of a file, in hexadecimal digits."""
    digest = hashlib.sha256()
    while part := stream.read(1 << 20):
        digest.update(part)
    return digest.hexdigest()


def photos_in(folder: Path) -> tuple[FoundPhoto, ...]:
    """Every file of a folder and the folders in it, by name; names that begin with a dot left out.

    Raises
    ------
    CannotReadError
        If the folder or a file of it cannot be read.
    """
    if not folder.is_dir():
        raise CannotReadError(str(folder), say("claim.no_folder"))
    found = []
    try:
        for file in sorted(folder.rglob("*")):
            inside = file.relative_to(folder)
            if file.is_file() and not any(part.startswith(".") for part in inside.parts):
                with file.open("rb") as stream:
                    digest = sha256_of(stream)
                found.append(FoundPhoto(inside.as_posix(), file.stat().st_size, digest))
    except OSError as error:
        raise CannotReadError(str(folder), error.strerror or str(error)) from error
    return tuple(found)


def photo_rows(
    book: Book,
    things: Collection[str],
    found: Sequence[FoundPhoto] | None,
    stamps: Mapping[str, str],
) -> tuple[PhotoRow, ...]:
    """Photos entered of some things, and those of a folder.

    Parameters
    ----------
    book : Book
        With its photos.
    things : collection of str
        Keys; photos of other things are left out.
    found : sequence of FoundPhoto or None
        Files of the folder; None when no folder was given, which is not an empty one.
    stamps : mapping of str to str
        Id of each entry to when it was typed.

    Returns
    -------
    tuple of PhotoRow
        Entered ones first, then the rest of the folder.
    """
    folder = {each.sha256: each for each in found or ()}
    names = {each.name.casefold() for each in found or ()}
    entered = [each for each in book.photos if not set(each.things).isdisjoint(things)]
    rows = []
    for number, each in enumerate(entered, 1):
        state = _state(each, folder, names) if found is not None else ENTRY_ONLY
        here = folder.get(each.sha256.lower())
        rows.append(
            PhotoRow(
                each.photo,
                each.sha256.lower(),
                state if found is not None else "",
                stamps.get(each.origin.entry, ""),
                tuple(book.things[key].name for key in each.things),
                each.note,
                _size(number, here.size if here else None),
            )
        )
    known = {each.sha256.lower() for each in entered}
    rows += [
        PhotoRow(each.name, each.sha256, FOLDER_ONLY, "", (), "", _size(number, each.size))
        for number, each in enumerate(
            (each for each in found or () if each.sha256 not in known), len(rows) + 1
        )
    ]
    return tuple(rows)


def _state(each: Photo, folder: Mapping[str, FoundPhoto], names: Collection[str]) -> str:
    if each.sha256.lower() in folder:
        return BOTH
    return DIFFERS if Path(each.photo).name.casefold() in names else ENTRY_ONLY


def _size(number: int, size: int | None) -> dict[str, Figure]:
    value = None if size is None else float(size)
    return {"bytes": Figure(f"claim.photo.{number}.bytes", value, "count", Standing.MEASURED)}
