"""One entry of the journal, and the chain of hashes that ties a device's entries together."""

from __future__ import annotations

import hashlib
import json
import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from rodhand.record import moment
from rodhand.record.origin import Moment

LARGEST_WHOLE = 2**63 - 1
"""Largest whole number kept anywhere in the book; a store's integer holds no more."""

_encode = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing somebody said, kept for good.

    Parameters
    ----------
    id : str
        Unique, made on the device without asking anybody.
    happened : str
        When it was, as typed; see `rodhand.record.moment.read_moment`.
    zone : str
        Time zone name or offset of ``happened``.
    entered : str
        When it was typed by the device's clock, with offset.
    device : str
        Key of the device and book folder it was typed on.
    counter : int
        Counts the device's entries from 1.
    by : str
        Key of who said it; the name is kept beside the journal and can be removed.
    kind : str
        One of `rodhand.record.kinds.KINDS`.
    payload : mapping of str to str
        Column name (with its unit) to the text as typed.
    previous : str
        Hash of the device's entry before this one; empty for its first.
    hash : str
        Hash of all the rest.
    """

    id: str
    happened: str
    zone: str
    entered: str
    device: str
    counter: int
    by: str
    kind: str
    payload: Mapping[str, str]
    previous: str
    hash: str

    @property
    def moment(self) -> Moment:
        """When it was. Raises ValueError if ``happened`` cannot be read."""
        return moment.read_moment(self.happened, self.zone)

    def computed_hash(self) -> str:
        """What the hash must be if nothing was changed."""
        fields = {name: getattr(self, name) for name in _HASHED}
        return hash_of(**fields | {"payload": dict(self.payload)})

    def holds(self) -> bool:
        """Whether the entry is as it was made: sound counter, and a hash that fits."""
        try:
            return 0 < self.counter <= LARGEST_WHOLE and self.hash == self.computed_hash()
        except (TypeError, ValueError):  # no number, no mapping, or text that is no text
            return False

    def as_json(self) -> str:
        """The entry as one line of canonical JSON, hash included."""
        return _encode({name: getattr(self, name) for name in (*_HASHED, "hash")})


_HASHED = (
    "id", "happened", "zone", "entered", "device", "counter", "by", "kind", "payload", "previous",
)  # fmt: skip


def hash_of(**fields: Any) -> str:
    """SHA-256 of an entry's fields in canonical JSON: sorted keys, no blanks, UTF-8."""
    return hashlib.sha256(_encode(fields).encode("utf-8")).hexdigest()


def entry_from_json(line: str) -> Entry:
    """Read one line of canonical JSON back.

    Raises
    ------
    ValueError
        If the line is not one entry with exactly the entry's fields, each of its type.
    """
    fields = json.loads(line)
    if not isinstance(fields, dict) or set(fields) != {*_HASHED, "hash"}:
        raise ValueError("not an entry")
    payload, counter = fields["payload"], fields["counter"]
    texts = [value for name, value in fields.items() if name not in ("payload", "counter")]
    if not (
        isinstance(payload, dict)
        and all(isinstance(text, str) for text in (*texts, *payload.values()))
        and type(counter) is int
        and 0 < counter <= LARGEST_WHOLE
    ):
        raise ValueError("a field of the entry has the wrong type")
    return Entry(**fields)


@dataclass(frozen=True)
class Draft:
    """What somebody wants to enter, before it has an id, a device and a place in the chain.

    Parameters
    ----------
    kind : str
        Kind of entry.
    payload : mapping of str to str
        Column to text as typed.
    happened : str
        As typed; empty is now.
    zone : str
        Zone of ``happened``; empty is the device's.
    by : str
        Key of who says it.
    line : int or None
        Line of the file it came from, for faults.
    id, entered : str
        Made and stamped already on the device it was pressed on; made on writing when empty.
    """

    kind: str
    payload: Mapping[str, str]
    happened: str = ""
    zone: str = ""
    by: str = ""
    line: int | None = None
    id: str = ""
    entered: str = ""


@dataclass
class Chain:
    """The end of one device's chain; makes its next entries.

    Parameters
    ----------
    device : str
        Key of the device.
    counter : int
        Counter of its last entry; 0 for none.
    head : str
        Hash of its last entry; empty for none.
    """

    device: str
    counter: int = 0
    head: str = field(default="")

    def add(self, draft: Draft, entered: str = "", id: str = "") -> Entry:
        """Make the device's next entry.

        Parameters
        ----------
        draft : Draft
            What is said; taken as it is, nothing is checked.
        entered : str, optional
            The device's clock, ISO with offset; now when empty.
        id : str, optional
            A new random id when empty.

        Returns
        -------
        Entry
            The entry, which is the chain's new end.
        """
        entered = entered or moment.now()
        clock, offset = moment.split_stamp(entered)
        fields: dict[str, Any] = {
            "id": id or uuid.uuid4().hex,
            "happened": draft.happened.strip() or clock,
            "zone": draft.zone or offset,
            "entered": entered,
            "device": self.device,
            "counter": self.counter + 1,
            "by": draft.by,
            "kind": draft.kind,
            "payload": dict(draft.payload),
            "previous": self.head,
        }
        entry = Entry(**fields, hash=hash_of(**fields))
        self.counter, self.head = entry.counter, entry.hash
        return entry


def overall_digest(hashes: Iterable[str]) -> str:
    """One digest for a set of entries, the same in whatever order they arrived."""
    return hashlib.sha256("".join(sorted(hashes)).encode("ascii", "replace")).hexdigest()


def as_row(entry: Entry) -> dict[str, Any]:
    """The entry as a flat row: the payload as canonical JSON."""
    row = {name: getattr(entry, name) for name in (*_HASHED, "hash")}
    return row | {"payload": _encode(dict(entry.payload))}
