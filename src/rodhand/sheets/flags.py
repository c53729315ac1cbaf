"""Tell what is doubtful in a file and was kept."""

from __future__ import annotations

from dataclasses import dataclass, field

from rodhand.faults import Fault
from rodhand.words import IN_FORCE, say

PLACED_AT_MOST = 10_000
"""Flags of one file; in a file with more, everything is doubtful."""


@dataclass(frozen=True)
class Flag(Fault):
    """Something doubtful at one place of a file that was kept; its text is under `flag`."""


@dataclass
class FlagList:
    """Flags found so far in one file."""

    flags: list[Flag] = field(default_factory=list)

    def add(
        self, code: str, found: str = "", line: int | None = None, column: str | None = None,
        **values: str,
    ) -> None:  # fmt: skip
        """Note one flag."""
        if len(self.flags) < PLACED_AT_MOST:
            self.flags.append(Flag(code, found, line, column, values))

    def in_order(self) -> tuple[Flag, ...]:
        """The flags of the whole file first, then by line."""
        return tuple(sorted(self.flags, key=lambda flag: flag.line or 0))


def told_flag(flag: Flag, language: str = IN_FORCE) -> str:
    """One line that tells where something doubtful stands and what was done with it.

    Parameters
    ----------
    flag : Flag
        A flag of a `Table` or `LogFile`.
    language : str, optional
        Language of the text.

    Returns
    -------
    str
        The line.
    """
    places = []
    if flag.line is not None:
        places.append(say("fault_line.line", language, line=flag.line))
    if flag.column is not None:
        places.append(say("fault_line.column", language, column=flag.column))
    what = say(f"flag.{flag.code}.what", language, **flag.values)
    key = "flag.told" if flag.found else "flag.told_bare"
    told = say(key, language, found=flag.found, what=what)
    return f"{', '.join(places)}: {told}" if places else told
