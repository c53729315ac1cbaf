"""Prove that no entry was changed, left out or slipped in since it was made."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rodhand.record.entry import Entry, overall_digest
from rodhand.record.order import known_by


@dataclass(frozen=True)
class Broken:
    """One place where a device's chain does not hold.

    Parameters
    ----------
    code : {"changed", "missing", "not_linked", "forked"}
        The entry's hash does not fit it; entries before it are missing; it does not follow the
        one before; two entries claim its place.
    device : str
        The device.
    counter : int
        The entry's counter.
    entry : str
        The entry's id.
    """

    code: str
    device: str
    counter: int
    entry: str


@dataclass(frozen=True)
class Verification:
    """What a check of all hashes found.

    Parameters
    ----------
    count : int
        Number of entries.
    heads : mapping
        Device to the counter and hash of its last entry.
    digest : str
        One digest for all entries, the same in whatever order they arrived.
    broken : tuple of Broken
        By device and counter; empty when every chain holds.
    """

    count: int
    heads: Mapping[str, tuple[int, str]]
    digest: str
    broken: tuple[Broken, ...]


def verify_entries(entries: Iterable[Entry]) -> Verification:
    """Recompute every hash and follow every device's chain.

    Parameters
    ----------
    entries : iterable of Entry
        In any order.

    Returns
    -------
    Verification
        Count, heads, digest and what does not hold.

    Notes
    -----
    Entries cut off the end of a chain leave no trace in it: compare count and digest with those
    of a backup or a printed paper.
    """
    chains: dict[str, list[Entry]] = defaultdict(list)
    hashes = []
    for entry in entries:
        chains[entry.device].append(entry)
        hashes.append(entry.hash)
    broken: list[Broken] = []
    heads = {}
    for device in sorted(chains):
        chain = sorted(chains[device], key=lambda each: (each.counter, each.id))
        broken += _broken(chain)
        heads[device] = (chain[-1].counter, chain[-1].hash)
    return Verification(len(hashes), heads, overall_digest(hashes), tuple(broken))


def verify_known(entries: Iterable[Entry], as_of: str = "") -> Verification:
    """Verify every device's chain up to the last of its entries that was known by a day.

    An entry in between whose stamp is later (the device's clock was fast that day) is followed
    with the others: leaving it out would look like a gap.

    Parameters
    ----------
    entries : iterable of Entry
        In any order.
    as_of : str
        ISO day of the device that typed an entry; all entries when empty.

    Returns
    -------
    Verification
        As `verify_entries`; whatever is typed after the day changes nothing of it.
    """
    everything = tuple(entries)
    last: dict[str, int] = {}
    for entry in known_by(everything, as_of or None):
        last[entry.device] = max(last.get(entry.device, 0), entry.counter)
    return verify_entries(each for each in everything if each.counter <= last.get(each.device, 0))


def _broken(chain: list[Entry]) -> list[Broken]:
    found = []
    counter, head = 0, ""
    for entry in chain:
        codes = []
        if not entry.holds():
            codes.append("changed")
        if entry.counter == counter:
            codes.append("forked")
        elif entry.counter > counter + 1:
            codes.append("missing")
        elif entry.previous != head:
            codes.append("not_linked")
        found += [Broken(code, entry.device, entry.counter, entry.id) for code in codes]
        counter, head = entry.counter, entry.hash
    return found
