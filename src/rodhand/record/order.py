"""Which entries count, and in what order: strikes, the date of the paper, clocks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from rodhand.faults import Fault
from rodhand.record.choices import AT_SENDING
from rodhand.record.entry import Entry
from rodhand.record.marks import fold
from rodhand.record.moment import UNKNOWN, order_text, read_moment, set_right
from rodhand.record.origin import Moment, Origin, Problem
from rodhand.record.validate import read_payload

SortKey = tuple[str, int, str, str]
READ_OFF = 3600.0
"""A time this near to the device's stamp of typing may come from the device (ours). [s]"""


@dataclass(frozen=True, order=True)
class ClockMeasured:
    """One measurement of a device's clock: when by its own entry, where and how fast it was. [s]

    One made ``at_sending`` holds from there on only; any other also for what was typed before
    the first one.
    """

    when: str
    counter: int
    on: str
    fast_by: float
    at_sending: bool = False


Clock = Sequence[ClockMeasured]


@dataclass(frozen=True, slots=True)
class Said:
    """One entry that counts: what it says in SI, and its place in the order of facts."""

    entry: Entry
    values: dict[str, Any]
    origin: Origin
    key: SortKey

    def problem(self, code: str, column: str = "", found: str = "", **values: str) -> Problem:
        """A problem of this entry."""
        named = tuple(sorted(values.items()))
        return Problem(code, self.entry.id, self.entry.kind, column, found, named)


@dataclass
class Heard:
    """All entries that count, by kind and in the order of facts, and what cannot be used.

    ``clocks`` are the measured errors of the devices, ``devices`` those that typed an entry;
    ``struck`` the entries that no longer count and ``aimed_at`` all that a strike names.
    """

    by_kind: dict[str, list[Said]] = field(default_factory=lambda: defaultdict(list))
    problems: list[Problem] = field(default_factory=list)
    clocks: Mapping[str, Clock] = field(default_factory=dict)
    devices: frozenset[str] = frozenset()
    struck: frozenset[str] = frozenset()
    aimed_at: frozenset[str] = frozenset()


def known_by(entries: Iterable[Entry], as_of: str | None) -> list[Entry]:
    """Each entry once, without those entered after a day.

    Parameters
    ----------
    entries : iterable of Entry
        In any order, possibly doubled.
    as_of : str or None
        ISO date (or date and time) of the device that typed the entry; a paper printed again
        for a day knows what was in the book at that day's end, not what happened by then.

    Returns
    -------
    list of Entry
        In no particular order.
    """
    unique = {entry.id: entry for entry in entries}
    if not as_of:
        return list(unique.values())
    return [entry for entry in unique.values() if entry.entered[: len(as_of)] <= as_of]


def listen(entries: Sequence[Entry]) -> Heard:
    """Put the entries that are not struck in the order of facts.

    Facts come by when they happened (less the clock's error), then by their device's counter;
    device and id only decide what nothing else can. When an entry was typed never counts.
    """
    heard = Heard()
    struck = struck_entries(entries, heard.problems)
    unstruck = [entry for entry in entries if entry.id not in struck and entry.kind != "strike"]
    heard.struck = frozenset(struck)
    heard.aimed_at = frozenset(
        entry.payload.get("entry", "") for entry in entries if entry.kind == "strike"
    )
    heard.clocks = _clock_errors(unstruck)
    heard.devices = frozenset(fold(entry.device) for entry in entries)
    said = []
    for entry in unstruck:
        each, problems, usable = hear(entry, heard)
        heard.problems += problems
        if usable:
            said.append(each)
    said.sort(key=lambda each: each.key)
    for each in said:
        heard.by_kind[each.entry.kind].append(each)
    return heard


def hear(entry: Entry, heard: Heard) -> tuple[Said, list[Problem], bool]:
    """What one entry says, what is wrong with it, and whether it can be used all the same."""
    read = read_payload(entry.kind, entry.payload)
    typed, fault = _moment(entry)
    moment = _as_it_was(entry, typed, heard.clocks)
    at = order_text(moment)
    origin = Origin(entry.id, moment, entry.by, entry.device, entry.counter, at)
    said = Said(entry, dict(read.values), origin, (at, entry.counter, entry.device, entry.id))
    problems = [_as_problem(said, told) for told in (*read.faults, *fault)]
    if entry.kind == "clock" and fold(str(read.values.get("device", ""))) not in heard.devices:
        problems.append(said.problem("device_unknown", "device", entry.payload.get("device", "")))
    return said, problems, not read.faults


def moments_of(entries: Sequence[Entry]) -> Mapping[str, Moment]:
    """When each entry happened, by id: local, without the measured error of the device's clock."""
    struck = struck_entries(entries, [])
    clocks = _clock_errors([entry for entry in entries if entry.id not in struck])
    return {entry.id: _as_it_was(entry, _moment(entry)[0], clocks) for entry in entries}


def typed_days(entries: Sequence[Entry]) -> Mapping[str, str]:
    """ISO day each entry was typed on, by id: the device's clock less its measured error."""
    struck = struck_entries(entries, [])
    clocks = _clock_errors([entry for entry in entries if entry.id not in struck])
    found = {}
    for entry in entries:
        stamp = Moment(entry.entered[:19], entry.entered[:19], "minute")
        fast_by = _fast_by(clocks.get(fold(entry.device)), entry, stamp.start)
        try:
            found[entry.id] = set_right(stamp, fast_by).start[:10]
        except ValueError:  # a stamp no device of ours wrote
            found[entry.id] = ""
    return found


def _as_it_was(entry: Entry, typed: Moment, clocks: Mapping[str, Clock]) -> Moment:
    """A typed moment without its device's error, where it was read off that device."""
    fast_by = _fast_by(clocks.get(fold(entry.device)), entry, typed.start)
    return set_right(typed, fast_by) if _was_read_off(entry, typed, fast_by) else typed


def _was_read_off(entry: Entry, typed: Moment, fast_by: float) -> bool:
    """Whether a time came from the clock of the device it was typed on. [s]

    A wrist watch and a paper know nothing of that clock. A time read off the device is close to
    the device's own stamp of typing, and closer to it than to the true time of typing.
    """
    if typed.precision != "minute" or not fast_by:
        return False
    stamp = Moment(entry.entered[:19], entry.entered[:19], "minute", entry.entered[19:])
    try:
        there = datetime.fromisoformat(order_text(stamp))
        lag = (there - datetime.fromisoformat(order_text(typed))).total_seconds()
    except ValueError:  # a stamp no device of ours wrote
        return False
    return abs(lag) <= READ_OFF and abs(lag) <= abs(lag - fast_by)


def _moment(entry: Entry) -> tuple[Moment, tuple[Fault, ...]]:
    try:
        return read_moment(entry.happened, entry.zone), ()
    except ValueError:
        return UNKNOWN, (Fault("entry_happened", entry.happened[:60], column="happened"),)


def _as_problem(said: Said, fault: Fault) -> Problem:
    return said.problem(fault.code, fault.column or "", fault.found, **fault.values)


def struck_entries(entries: Sequence[Entry], problems: list[Problem]) -> set[str]:
    """Ids that a strike which is not itself struck takes out; unknown targets go to ``problems``.

    Worked from the strikes nobody struck inward, so that a struck strike restores. Strikes that
    strike each other in a circle, which only a forged entry can, strike nothing.
    """
    known = {entry.id: entry for entry in entries}
    strikers: dict[str, list[str]] = defaultdict(list)
    for entry in sorted(entries, key=lambda each: each.id):
        if entry.kind != "strike":
            continue
        target = entry.payload.get("entry", "")
        strikers[target].append(entry.id)
        if target not in known:
            problems.append(Problem("strike_unknown", entry.id, "strike", "entry", target[:60]))
    struck: set[str] = set()
    open_count = {target: len(ids) for target, ids in strikers.items()}
    ready = [strike for ids in strikers.values() for strike in ids if strike not in open_count]
    while ready:
        strike = ready.pop()
        target = known[strike].payload.get("entry", "")
        if strike not in struck:
            struck.add(target)
        open_count[target] -= 1
        if not open_count[target] and target in known and known[target].kind == "strike":
            ready.append(target)
    return struck


def _clock_errors(entries: Sequence[Entry]) -> Mapping[str, Clock]:
    """Device -> its measured clock errors, oldest first."""
    clocks: dict[str, list[ClockMeasured]] = defaultdict(list)
    for entry in entries:
        if entry.kind != "clock":
            continue
        read = read_payload("clock", entry.payload)
        if not read.faults:
            device, fast_by = str(read.values["device"]), read.values["fast_by"]
            assert isinstance(fast_by, float)
            when = _moment(entry)[0].start
            at_sending = read.values.get("how") == AT_SENDING
            clocks[fold(device)].append(
                ClockMeasured(when, entry.counter, fold(entry.device), fast_by, at_sending)
            )
    for errors in clocks.values():
        errors.sort()
    return clocks


def _fast_by(clock: Clock | None, entry: Entry, start: str) -> float:
    """The last error measured before an entry; before the first measurement, the first one.

    Measurements typed on the device itself are told before and after by its counter, because a
    clock that is years off cannot be trusted to say; those typed elsewhere by their time. One
    made as the device sent does not reach back: had the clock been off before, it would have been
    measured then.
    """
    if not clock:
        return 0.0
    own = sorted((m for m in clock if m.on == fold(entry.device)), key=lambda m: m.counter)
    before = [measured.fast_by for measured in own if measured.counter <= entry.counter]
    if before:
        return before[-1]
    if own and not own[0].at_sending:
        return own[0].fast_by
    elsewhere = [measured for measured in clock if measured.on != fold(entry.device)]
    before = [measured.fast_by for measured in elsewhere if measured.when <= start]
    return before[-1] if before else elsewhere[0].fast_by if elsewhere else 0.0
