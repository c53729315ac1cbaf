"""Photos taken while a rod is looked at: hashed, kept beside the book, told by name and hash."""

from __future__ import annotations

import hashlib
import os
import re
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from rodhand.faults import Fault
from rodhand.record.backup import PHOTOS
from rodhand.record.database import told_plainly

LARGEST = 25_000_000
"""Largest picture taken. [bytes]"""
SIGNS = ((b"\xff\xd8\xff", ".jpg"), (b"\x89PNG\r\n\x1a\n", ".png"), (b"RIFF", ".webp"))
"""First bytes of the pictures phones make."""


@dataclass(frozen=True)
class CardPhoto:
    """A picture as sent: which end it shows, whether a rule or tape is in view."""

    content: bytes
    end: str
    scale: bool


def _suffix(content: bytes) -> str:
    if content[4:12] in (b"ftypheic", b"ftypmif1"):
        return ".heic"
    return next((suffix for start, suffix in SIGNS if content.startswith(start)), "")


def keep_photos(
    folder: Path, name: str, photos: Sequence[CardPhoto]
) -> tuple[list[dict[str, str]], list[Fault]]:
    """Put pictures beside the book and give their entries.

    Parameters
    ----------
    folder : Path
        The book's folder.
    name : str
        Mark of the rod.
    photos : sequence of CardPhoto
        As sent.

    Returns
    -------
    list of dict, list of Fault
        Payloads of kind ``photo``, and what is wrong; with a fault no picture is kept.

    Raises
    ------
    CannotReadError
        If a picture cannot be written.
    """
    faults = []
    for photo in photos:
        if len(photo.content) > LARGEST:
            faults.append(Fault("card_photo_large", f"{len(photo.content) / 1e6:.0f} MB"))
        elif not _suffix(photo.content):
            faults.append(Fault("card_photo_kind", photo.content[:4].hex()))
    if faults:
        return [], faults
    payloads = []
    for photo in photos:
        digest = hashlib.sha256(photo.content).hexdigest()
        plain = re.sub(r"[^A-Za-z0-9-]+", "-", name).strip("-") or "rod"
        file = f"{plain}-{photo.end}-{digest[:12]}{_suffix(photo.content)}"
        _write(folder / PHOTOS / file, photo.content)
        payloads.append(
            {"things": name, "photo": file, "sha256": digest, "end": photo.end,
             "scale": "yes" if photo.scale else "no"}
        )  # fmt: skip
    return payloads, []


def _write(file: Path, content: bytes) -> None:
    """Write a picture whole or not at all."""
    with told_plainly(file):
        file.parent.mkdir(parents=True, exist_ok=True)
        handle, part = tempfile.mkstemp(dir=file.parent, prefix=".part-")
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(content)
            os.replace(part, file)
        except BaseException:
            Path(part).unlink(missing_ok=True)
            raise
