"""One press: the kind and payload of the entry it keeps, the same on a page and on a device."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rodhand.record.entry import Draft


@dataclass(frozen=True)
class Press:
    """What one press keeps.

    Parameters
    ----------
    name : str
        Which button: an event, an answer, a tool, a state, a rod.
    kind : str
        Kind of entry.
    payload : mapping of str to str
        Column to text. The station in it is the one at hand when the page was made; a device that
        counted on puts its own.
    """

    name: str
    kind: str
    payload: Mapping[str, str]

    def draft(self, happened: str = "", by: str = "") -> Draft:
        """The entry to be kept; now when no time is given."""
        return Draft(self.kind, self.payload, happened, "", by)
