"""Devices whose rows of a pilot stand some stations apart, and the corrections that mend it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

from rodhand.advice.verdict import Sentence
from rodhand.book.entry.press import Press
from rodhand.book.rig.two_views import DeviceOut, Move, PutRight
from rodhand.hole.station_out import StationOut, station_out
from rodhand.record.book_bores import Bore, BorePass
from rodhand.units import Figure, Standing

SHORT = 4
"""First signs of a device's key by which it is named. [1]"""
LONGEST_NAME = 12


def device_name(key: str) -> str:
    """A device's name: its key, or the first signs of a long one."""
    return key if len(key) <= LONGEST_NAME else key[:SHORT]


@dataclass(frozen=True)
class _Row:
    pitch: float | None
    heading: float | None
    count: int
    stations: float


def _logs(pilot: BorePass) -> dict[str, dict[int, _Row]]:
    """Device -> station as it stands -> what it says there, its last word where it said two."""
    logs: dict[str, dict[int, _Row]] = {}
    for reading in pilot.readings:
        if reading.station % 1:
            continue
        if not reading.voices:
            row = _Row(reading.pitch, reading.heading, reading.origin.counter, 0.0)
            logs.setdefault(reading.origin.device, {})[int(reading.station)] = row
        for voice in reversed(reading.voices):
            said = voice.values
            row = _Row(
                said.get("pitch"), said.get("heading"), voice.origin.counter, voice.stations
            )  # fmt: skip
            logs.setdefault(voice.origin.device, {})[int(reading.station)] = row
    return logs


def devices_out(bore: Bore, pilot: BorePass) -> Iterator[DeviceOut]:
    """Pairs of devices some stations apart; of three, the one that differs from the others."""
    logs = _logs(pilot)
    found: dict[tuple[str, str], StationOut] = {}
    for one, other in combinations(sorted(logs), 2):
        for pair in ((one, other), (other, one)):
            out = station_out(*({s: (row.pitch, row.heading) for s, row in logs[name].items()}
                                for name in pair))  # fmt: skip
            if out is None:
                break
            found[pair] = out
    against = {name: sum(one == name for one, _ in found) for name in logs}
    for (one, other), out in found.items():
        back = found.get((other, one))
        if one > other and back is not None:
            continue  # told already, the other way round
        most = max(against[one], against[other])
        moves = [
            _move(bore, pilot, name, logs[name], run)
            for name, run in ((one, out), (other, back))
            if run is not None and against[name] == most
        ]
        yield DeviceOut(
            _apart(out, one, other), _sure(bore, one, other, out),
            {one: _apart(out, "", other), other: _apart(_reversed(out), "", one)}, tuple(moves),
        )  # fmt: skip


def _reversed(out: StationOut) -> StationOut:
    return StationOut(
        -out.stations, out.first, out.last, out.compared, out.alike_moved, out.alike_numbered,
        out.odds,
    )  # fmt: skip


def _apart(out: StationOut, one: str, other: str) -> Sentence:
    way = "behind" if out.stations > 0 else "ahead"
    count = abs(out.stations)
    key = f"two.{'own_' if not one else ''}{way}{'' if count == 1 else '_many'}"
    return Sentence(
        key, {"one": device_name(one), "other": device_name(other), "count": f"{count}"}
    )


def _sure(bore: Bore, one: str, other: str, out: StationOut) -> Sentence:
    own = f"two.{bore.name}.{one}.{other}"
    counts = {"moved": out.alike_moved, "compared": out.compared, "numbered": out.alike_numbered}
    figures = {
        name: Figure(f"{own}.{name}", float(count), "count", Standing.COMPUTED)
        for name, count in counts.items()
    }
    return Sentence("two.sure" if out.is_nearly_sure else "two.likely", figures)


def _move(
    bore: Bore, pilot: BorePass, device: str, log: Mapping[int, _Row], run: StationOut
) -> Move:
    """The correction that puts a run right; a run stands as one earlier correction left it."""
    by = log[run.last].stations
    rows = [row for s, row in log.items() if run.first <= s <= run.last and row.stations == by]
    counts = [row.count for row in rows]
    payload = {
        "bore": bore.name, "pass": pilot.name, "device": device,
        "from_count": f"{min(counts)}", "to_count": f"{max(counts)}",
        "stations": f"{by + run.stations:g}",
    }  # fmt: skip
    first = min(s for s, row in log.items() if row in rows)
    values = {"device": device_name(device), "first": f"{first}", "last": f"{run.last}",
              "to": f"{first + run.stations}"}  # fmt: skip
    way = "on" if run.stations > 0 else "back"
    return Move(Sentence(f"two.move_{way}", values), Press(device, "station-shift", payload))


def put_right(each: BorePass) -> Iterator[PutRight]:
    """Corrections of stations in force in a pass."""
    for shift in each.shifts:
        moved = sum(
            voice.origin.device == shift.device and voice.stations == shift.stations
            for row in each.readings
            for voice in row.voices
        )
        way = "on" if shift.stations > 0 else "back"
        values = {"device": device_name(shift.device), "rows": f"{moved}",
                  "count": f"{abs(shift.stations):g}"}  # fmt: skip
        yield PutRight(shift.origin.entry, Sentence(f"two.moved_{way}", values))
