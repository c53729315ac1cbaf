"""A file beside the book is written whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from rodhand.record.database import told_plainly


def write_whole(file: Path, text: str) -> None:
    """Write a file so that it is there whole or not at all.

    Raises
    ------
    CannotReadError
        If it cannot be written; a file that was there before is then as it was.
    """
    with told_plainly(file):
        handle, part = tempfile.mkstemp(dir=file.parent, prefix=".part-")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="") as stream:
                stream.write(text)
            os.replace(part, file)
        except BaseException:
            Path(part).unlink(missing_ok=True)
            raise
