"""A file of a break or loss on disk: paper, figures, entries, and a manifest of their hashes."""

from __future__ import annotations

import hashlib
import io
import json
import math
import os
import shutil
import tempfile
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rodhand import __version__
from rodhand.book.claim.claim import Claim
from rodhand.book.twin import twin
from rodhand.faults import BadInputError, CannotReadError, Fault
from rodhand.sheets.claim_paper import claim_paper
from rodhand.sheets.paper import BookFacts, paper_pdf
from rodhand.units import System
from rodhand.words import say

FORM = 1
PAPER, FIGURES, ENTRIES, MANIFEST = "claim.pdf", "claim.json", "entries.jsonl", "manifest.json"
WHAT = "rodhand claim"
"""What a manifest says it is of, so that no other file is taken for one."""
EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The time every part of a zip carries, so that the same file gives the same bytes."""


@dataclass(frozen=True)
class ClaimFile:
    """The parts of a file by name, the manifest last."""

    parts: Mapping[str, bytes]

    @property
    def manifest_hash(self) -> str:
        """SHA-256 of the manifest, which stands for every part."""
        return hashlib.sha256(self.parts[MANIFEST]).hexdigest()


def claim_file(claim: Claim, book: str, system: System, as_of: str = "") -> ClaimFile:
    """Make the parts of a file; the same book and photos give the same bytes.

    Parameters
    ----------
    claim : Claim
        What is on record.
    book : str
        Name of the book.
    system : {"metric", "us"}
        Unit system of the paper; the figures are base SI.
    as_of : str, optional
        ISO day the book was read as of; its end when empty.
    """
    view = claim.view
    facts = BookFacts(book, int(view.figures["entries"].value or 0), claim.head, as_of)
    chain = [
        say("claim.source.chain", device=device, counter=counter, hash=head)
        for device, (counter, head) in claim.chain.heads.items()
    ]
    parts = {
        PAPER: paper_pdf(claim_paper(view, facts, system, chain)),
        FIGURES: _json(_without_nan(twin(view))),
        ENTRIES: "".join(entry.as_json() + "\n" for entry in claim.entries).encode(),
    }
    manifest = {
        "what": WHAT,
        "form": FORM,
        "version": __version__,
        "subject": view.subject,
        "kind": view.kind,
        "read_on": view.as_of,
        "as_of": as_of,
        "entries": len(claim.entries),
        "book": {
            "name": book,
            "entries": claim.chain.count,
            "digest": claim.chain.digest,
            "heads": {device: list(head) for device, head in claim.chain.heads.items()},
        },
        "files": {
            name: {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}
            for name, data in parts.items()
        },
        "photos_elsewhere": [
            {"file": row.file, "sha256": row.sha256, "bytes": row.figures["bytes"].value}
            for row in view.photos
        ],
    }
    return ClaimFile({**parts, MANIFEST: _json(manifest)})


def _json(value: Any) -> bytes:
    text = json.dumps(value, ensure_ascii=False, indent=1, sort_keys=True, allow_nan=False)
    return (text + "\n").encode()


def _without_nan(value: Any) -> Any:
    """JSON holds neither NaN nor infinities: null in their place."""
    if isinstance(value, dict):
        return {key: _without_nan(each) for key, each in value.items()}
    if isinstance(value, (list, tuple)):
        return [_without_nan(each) for each in value]
    return None if isinstance(value, float) and not math.isfinite(value) else value


def claim_zip(made: ClaimFile) -> bytes:
    """All parts as one zip; the same parts give the same bytes."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in made.parts.items():
            about = zipfile.ZipInfo(name, EARLIEST)
            about.compress_type = zipfile.ZIP_DEFLATED
            about.external_attr = 0o644 << 16
            archive.writestr(about, data)
    return packed.getvalue()


def write_claim(made: ClaimFile, target: Path) -> None:
    """Write a file as a folder, or as a zip where the name ends so; never over anything.

    Raises
    ------
    BadInputError
        If something is at the target already.
    CannotReadError
        If it cannot be written; then nothing is left there.
    """
    if target.exists() or target.is_symlink():
        raise BadInputError([Fault("claim_there", str(target), column="--out")], "claim")
    scratch = None
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        scratch = Path(tempfile.mkdtemp(dir=target.parent, prefix=".claim-"))
        if target.suffix.lower() == ".zip":
            _write(scratch / "part", claim_zip(made))
            (scratch / "part").rename(target)
        else:
            inside = scratch / "part"
            inside.mkdir()
            for name, data in made.parts.items():
                _write(inside / name, data)
            inside.rename(target)
    except OSError as error:
        raise CannotReadError(str(target), error.strerror or str(error)) from error
    finally:
        if scratch is not None:
            shutil.rmtree(scratch, ignore_errors=True)


def _write(file: Path, data: bytes) -> None:
    with file.open("wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())
