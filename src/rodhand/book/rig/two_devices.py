"""Two people at one rod: the values they told that differ, side by side, until one is picked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from rodhand.advice.verdict import Sentence
from rodhand.book.entry.press import Press
from rodhand.book.rig.devices_out import device_name, devices_out, put_right
from rodhand.book.rig.two_views import PickedBy, RodTold, Side, Teller, TwoDevices, Typed
from rodhand.book.work.hole_of import picked
from rodhand.record.alike import columns_of
from rodhand.record.book_bores import Bore, BorePass, Reading, Voice
from rodhand.record.kinds import KINDS
from rodhand.record.voices import LEFT_OUT
from rodhand.units import Figure, Standing

WHERE_IT_BENDS = frozenset({"pitch", "heading"})
COLUMNS = KINDS["reading"].columns()
NOT_SHOWN = frozenset({"thing", "station", "signs"})


def two_devices(bore: Bore) -> TwoDevices:
    """What the devices say of the rods of a bore, and where they contradict each other.

    Parameters
    ----------
    bore : Bore
        The bore as read back.

    Returns
    -------
    TwoDevices
        Empty where each rod was told of once.
    """
    told = [(each, row) for each in bore.passes for row in reversed(each.readings) if row.voices]
    pilot = bore.pass_of("pilot")
    counting = {} if pilot is None else _counting(pilot, bore.rig_pitch)
    agreed = sum(
        not row.open and not row.picks and len({v.origin.device for v in row.voices}) > 1
        for _, row in told
    )
    return TwoDevices(
        bore.name,
        tuple(
            _rod(bore, each, row, counting if each is pilot else {})
            for each, row in told
            if row.open
        ),
        tuple(_rod(bore, each, row, {}) for each, row in told if row.picks and not row.open),
        () if pilot is None else tuple(devices_out(bore, pilot)),
        tuple(shift for each in bore.passes for shift in put_right(each)),
        Figure(f"two.{bore.name}.confirmed", float(agreed), "count", Standing.COMPUTED),
    )


def _counting(pilot: BorePass, rig_pitch: float | None) -> dict[float, Reading]:
    """Station -> the reading that counts until somebody picks, where pitch or heading differ."""
    stations = {row.station for row in pilot.readings if WHERE_IT_BENDS & {*row.open}}
    if not stations:
        return {}
    rows = picked(pilot.readings, rig_pitch)
    return {row.station: row for row in rows if row.station in stations}


def _rod(
    bore: Bore, each: BorePass, row: Reading, counting: Mapping[float, Reading]
) -> RodTold:  # fmt: skip
    aside = {name for voice in row.voices for name in voice.aside}
    fields = tuple(name for name in (row.open or sorted(aside)) if name not in NOT_SHOWN)
    groups: dict[tuple[object, ...], list[Voice]] = {}
    for voice in row.voices:
        values = tuple(voice.values.get(name) for name in fields)
        if any(value is not None for value in values):
            groups.setdefault(values, []).append(voice)
    counts = counting.get(row.station)
    sides = []
    for values, voices in groups.items():
        state = _state(fields, values, voices, row, counts)
        others = [v.origin.entry for group in groups.values() if group is not voices for v in group]
        press = None if state == "picked" else _pick(bore, each, row, voices[0], others)
        typed = tuple(_typed(voices[0], fields))
        sides.append(Side(typed, tuple(map(_teller, voices)), state, press))
    return RodTold(
        each.name, f"{row.station:g}", Sentence(f"two.{_what_counts(row)}"), tuple(sides),
        tuple(PickedBy(p.origin.entry, _when(p.origin.happened.start), p.origin.by)
              for p in row.picks),
    )  # fmt: skip


def _what_counts(row: Reading) -> str:
    if not row.open:
        return "picked"
    if WHERE_IT_BENDS & {*row.open}:
        return "sharper"
    return "none_counts" if {*row.open} <= LEFT_OUT else "stricter"


def _state(
    fields: Sequence[str],
    values: tuple[object, ...],
    voices: Sequence[Voice],
    row: Reading,
    counts: Reading | None,
) -> str:
    if any(voice.aside for voice in voices):
        return "aside"
    if not row.open:
        return "picked"
    said = dict(zip(fields, values, strict=True))
    bends = [name for name in fields if name in WHERE_IT_BENDS]
    if counts is not None and bends and all(getattr(counts, n) == said[n] for n in bends):
        return "counts"
    return ""


def _pick(bore: Bore, each: BorePass, row: Reading, voice: Voice, others: Iterable[str]) -> Press:
    payload = {
        "bore": bore.name, "pass": each.name, "station": f"{row.station:g}",
        "entry": voice.origin.entry, "against": " ".join(others),
        "instead_of": " ".join(pick.origin.entry for pick in row.picks),
    }  # fmt: skip
    return Press(voice.origin.entry, "pick", {n: text for n, text in payload.items() if text})


def _typed(voice: Voice, fields: Sequence[str]) -> Iterator[Typed]:
    columns = columns_of(voice.typed)
    for name in fields:
        for column in columns.get(name, ()):
            yield name, voice.typed[column], COLUMNS[column.lower()][1]


def _teller(voice: Voice) -> Teller:
    origin = voice.origin
    when = _when(origin.happened.start)
    return Teller(origin.entry, when, origin.by, origin.device, device_name(origin.device))


def _when(moment: str) -> str:
    return moment[:16].replace("T", " ")
