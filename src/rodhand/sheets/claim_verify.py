"""Prove that a file of a break or loss is as it was made: against its manifest, and a book."""

from __future__ import annotations

import hashlib
import json
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rodhand.book.opening import entries_in
from rodhand.faults import CannotReadError
from rodhand.record.entry import Entry, entry_from_json, overall_digest
from rodhand.record.verify import verify_entries
from rodhand.sheets.claim_file import ENTRIES, FORM, MANIFEST, WHAT
from rodhand.words import say

LARGEST = 500_000_000
"""Most bytes the parts of a file may come to. [bytes]"""


@dataclass(frozen=True)
class NotAsMade:
    """One thing that does not hold: a code of ``claim_verify.what`` and what it is about."""

    code: str
    name: str


@dataclass(frozen=True)
class ClaimChecked:
    """What a check of a file found.

    Parameters
    ----------
    subject : str
        What the file is about.
    manifest_hash : str
        SHA-256 of its manifest.
    files, entries : int
        How many parts and entries it holds.
    broken : tuple of NotAsMade
        Empty when all holds.
    since : int or None
        Entries the book got since; None when it was not held against a book.
    """

    subject: str
    manifest_hash: str
    files: int
    entries: int
    broken: tuple[NotAsMade, ...]
    since: int | None


def verify_claim(path: Path, book: Path | None = None) -> ClaimChecked:
    """Recompute every hash of a file, and hold its entries against a book.

    Parameters
    ----------
    path : Path
        Folder or zip of the file.
    book : Path, optional
        Folder of the book it was made from.

    Returns
    -------
    ClaimChecked
        What does not hold.

    Raises
    ------
    CannotReadError
        If it is no such file, or it or the book cannot be read.

    Notes
    -----
    Whoever changes a part and its hash in the manifest too is found out by the manifest's own
    hash, noted elsewhere, or by the book's chains.
    """
    parts = _parts(path)
    if MANIFEST not in parts:
        raise CannotReadError(str(path), say("claim_broken.no_manifest"))
    manifest = _manifest(path, parts[MANIFEST])
    broken = _files(manifest["files"], parts)
    entries, found = _entries(parts.get(ENTRIES, b""))
    broken += found
    if len(entries) != manifest["entries"]:
        broken.append(NotAsMade("entry_count", ENTRIES))
    since = None
    if book is not None:
        all_entries = entries_in(book)
        broken += _against_book(manifest["book"], entries, all_entries)
        since = len(all_entries) - int(manifest["book"]["entries"])
    hashed = hashlib.sha256(parts[MANIFEST]).hexdigest()
    count = len(manifest["files"])
    return ClaimChecked(str(manifest["subject"]), hashed, count, len(entries), tuple(broken), since)


def _parts(path: Path) -> dict[str, bytes]:
    """Every part by name; a zip that unpacks to too much is refused before it is unpacked."""
    try:
        if path.is_dir():
            files = [file for file in sorted(path.rglob("*")) if file.is_file()]
            if sum(file.stat().st_size for file in files) > LARGEST:
                raise CannotReadError(str(path), say("claim_broken.too_large"))
            return {file.relative_to(path).as_posix(): file.read_bytes() for file in files}
        with zipfile.ZipFile(path) as packed:
            about = [each for each in packed.infolist() if not each.is_dir()]
            if sum(each.file_size for each in about) > LARGEST:
                raise CannotReadError(str(path), say("claim_broken.too_large"))
            return {each.filename: packed.read(each) for each in about}
    except zipfile.BadZipFile as error:
        raise CannotReadError(str(path), say("claim_broken.bad_zip")) from error
    except OSError as error:
        raise CannotReadError(str(path), error.strerror or str(error)) from error


def _manifest(path: Path, data: bytes) -> Mapping[str, Any]:
    """The manifest, with everything a check asks of it in its place."""
    try:
        read = json.loads(data)
        is_ours = isinstance(read, dict) and read.get("what") == WHAT
    except ValueError as error:
        raise CannotReadError(str(path), say("claim_broken.bad_manifest")) from error
    if not is_ours:
        raise CannotReadError(str(path), say("claim_broken.no_manifest"))
    if read.get("form") != FORM:
        raise CannotReadError(str(path), say("claim_broken.newer"))
    try:
        book = read["book"]
        heads = {
            str(device): [int(counter), str(head)]
            for device, (counter, head) in book["heads"].items()
        }
        files = {
            str(name): {"bytes": int(each["bytes"]), "sha256": str(each["sha256"])}
            for name, each in read["files"].items()
        }
        return {
            "subject": str(read["subject"]),
            "entries": int(read["entries"]),
            "files": files,
            "book": {
                "entries": int(book["entries"]), "digest": str(book["digest"]), "heads": heads
            },
        }  # fmt: skip
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise CannotReadError(str(path), say("claim_broken.bad_manifest")) from error


def _files(listed: Mapping[str, Any], parts: Mapping[str, bytes]) -> list[NotAsMade]:
    found = []
    for name, about in listed.items():
        if name not in parts:
            found.append(NotAsMade("missing", name))
        elif (
            len(parts[name]) != about["bytes"]
            or hashlib.sha256(parts[name]).hexdigest() != about["sha256"]
        ):
            found.append(NotAsMade("changed", name))
    return found + [NotAsMade("extra", n) for n in parts if n not in listed and n != MANIFEST]


def _entries(data: bytes) -> tuple[list[Entry], list[NotAsMade]]:
    """Entries of the lines that can be read, and what is wrong with them."""
    entries: list[Entry] = []
    broken = []
    seen: set[str] = set()
    for number, line in enumerate(data.splitlines(), 1):
        try:
            entry = entry_from_json(line.decode())
        except ValueError:
            broken.append(NotAsMade("entry_changed", f"{number}"))
            continue
        if not entry.holds():
            broken.append(NotAsMade("entry_changed", entry.id))
        if entry.id in seen:
            broken.append(NotAsMade("entry_twice", entry.id))
        seen.add(entry.id)
        entries.append(entry)
    return entries, broken


def _against_book(
    then: Mapping[str, Any], entries: Sequence[Entry], book: Sequence[Entry]
) -> list[NotAsMade]:
    """Whether a book holds the entries, and its chains run through where they stood then."""
    here = {entry.id: entry.hash for entry in book}
    broken = []
    for entry in entries:
        if entry.id not in here:
            broken.append(NotAsMade("not_in_book", entry.id))
        elif here[entry.id] != entry.hash:
            broken.append(NotAsMade("other_in_book", entry.id))
    at = {(entry.device, entry.counter): entry.hash for entry in book}
    for device, (counter, head) in then["heads"].items():
        if at.get((device, counter)) != head:
            broken.append(NotAsMade("chain", device))
    last = {device: counter for device, (counter, _) in then["heads"].items()}
    hashes = [each.hash for each in book if each.counter <= last.get(each.device, 0)]
    if overall_digest(hashes) != then["digest"]:
        broken.append(NotAsMade("digest", ""))
    broken += [NotAsMade("book_broken", each.device) for each in verify_entries(book).broken]
    return broken
