"""Exit codes of every command; scripts rely on them."""

from __future__ import annotations

from enum import IntEnum


class ExitCode(IntEnum):
    """What a command's exit code says."""

    DONE = 0
    OVER_LIMIT = 1
    """Done, and a maker's or head limit is over or likely over."""
    BAD_INPUT = 2
    CANNOT_READ = 3
    """Something cannot be read or written."""
