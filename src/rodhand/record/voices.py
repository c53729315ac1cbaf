"""Several entries about one rod: one reading told by many, or values that contradict each other.

Entries of one bore, pass and station are joined field by field. What only one of them says adds to
the reading; what two say alike is one value told twice; values that differ all stay, until a
person picks. Nothing is dropped: each entry is one of the reading's voices.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rodhand.record.alike import alike, columns_of
from rodhand.record.book_bores import Pick, Reading, Voice
from rodhand.record.order import Said
from rodhand.record.origin import Origin

NOT_OF_A_READING = ("bore", "pass")
NO_VALUE = ("station", "signs", "anew")
"""Where a row stands and what its sheet looked like: no value to agree upon."""
TOLD_TOGETHER = "remark"
STRICTER: Mapping[str, Callable[[Iterable[Any]], Any]] = {
    "length": min, "md": min, "thrust": max, "pull": max,
}  # fmt: skip
"""Which of two values counts until one is picked: a shorter rod bends sharper, more force wears
more. Pitch, heading, turns and torque are weighed where they are used."""
LEFT_OUT = frozenset({"depth", "offset", "hole_diameter", "rod", "thing"})
"""Of these no value counts until one is picked: not knowing is the stricter."""


def picks_in_force(picks: Iterable[Said]) -> tuple[Pick, ...]:
    """What was picked against what; a pick that another one names as replaced does not count.

    Parameters
    ----------
    picks : iterable of Said
        Entries of kind ``pick``, none struck, in the order of facts.

    Returns
    -------
    tuple of Pick
        In the same order.
    """
    picks = tuple(picks)
    replaced = {each for pick in picks for each in pick.values.get("instead_of", "").split()}
    return tuple(
        Pick(pick.origin, pick.values["entry"], tuple(pick.values["against"].split()))
        for pick in picks
        if pick.entry.id not in replaced
    )


def joined(rows: Sequence[Said], picked: Sequence[Pick], shifted: Mapping[str, float]) -> Reading:
    """One reading of everything said of a station.

    Parameters
    ----------
    rows : sequence of Said
        Entries of one bore, pass and station.
    picked : sequence of Pick
        Those of the bore in force, from `picks_in_force`.
    shifted : mapping of str to float
        By how much the station of an entry was put right. [1]

    Returns
    -------
    Reading
        On one device the later entry comes first; between devices nothing but their keys decides
        which comes first, so the same entries in any order of arrival give the same reading.
    """
    rows = sorted(rows, key=lambda each: (-each.entry.counter, each.entry.device, each.entry.id))
    if len(rows) == 1 and not shifted:
        return _alone(rows[0])
    here = {row.entry.id for row in rows}
    picks = tuple(pick for pick in picked if pick.entry in here and here & {*pick.against})
    aside = _set_aside(rows, picks)
    voices = tuple(
        Voice(row.origin, _shown(row.entry.payload), _kept(row.values),
              tuple(sorted(aside.get(row.entry.id, ()))), shifted.get(row.entry.id, 0.0))
        for row in rows
    )  # fmt: skip
    parts = [_without(row, aside.get(row.entry.id, frozenset())) for row in rows]
    groups: list[_Part] = []
    for part in parts:
        into = next((group for group in groups if group.agrees(part)), None)
        if into is None:
            groups.append(part)
        else:
            into.take(part)
    open_fields = _open_fields(parts)
    if open_fields:
        common = _common(parts, open_fields)
        groups = [group.filled(common, open_fields) for group in groups]
    first, *others = groups
    return Reading(
        rows[0].origin, typed=first.shown(), alternatives=tuple(o.as_reading() for o in others),
        voices=voices, open=open_fields, picks=picks, **first.kept(),
    )  # fmt: skip


@dataclass
class _Part:
    """What is said alike by some of the entries."""

    origin: Origin
    values: dict[str, Any]
    typed: dict[str, str]

    def agrees(self, other: _Part) -> bool:
        return not any(
            name in self.values and not _alike(name, self, other) for name in other.values
        )

    def take(self, other: _Part) -> None:
        """Add what is not said yet; columns stay those of the first to say a field."""
        columns = columns_of(other.typed)
        for name, value in other.values.items():
            if name == TOLD_TOGETHER and name in self.values:
                self._also(str(value))
            elif name not in self.values:
                self.values[name] = value
                self.typed |= {c: other.typed[c] for c in columns.get(name, ())}

    def _also(self, remark: str) -> None:
        said = str(self.values[TOLD_TOGETHER])
        if remark not in said.split("; "):
            self.values[TOLD_TOGETHER] = self.typed[TOLD_TOGETHER] = f"{said}; {remark}"

    def filled(self, common: _Part, open_fields: Sequence[str]) -> _Part:
        """With what nobody contradicts, and the stricter of what is weighed here."""
        part = _Part(self.origin, dict(self.values), dict(self.typed))
        for name in open_fields:
            if name in LEFT_OUT or name in STRICTER:
                part.values.pop(name, None)
                for column in columns_of(part.typed).get(name, ()):
                    del part.typed[column]
        part.values.pop(TOLD_TOGETHER, None)
        part.typed.pop(TOLD_TOGETHER, None)
        part.take(common)
        return part

    def kept(self) -> dict[str, Any]:
        return _kept(self.values)

    def shown(self) -> dict[str, str]:
        return _shown(self.typed)

    def as_reading(self) -> Reading:
        return Reading(self.origin, typed=self.shown(), **self.kept())


def _alone(said: Said) -> Reading:
    return Reading(said.origin, typed=_shown(said.entry.payload), **_kept(said.values))


def _kept(values: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in values.items() if name not in NOT_OF_A_READING}


def _shown(typed: Mapping[str, str]) -> dict[str, str]:
    return {column: text for column, text in typed.items() if column not in NOT_OF_A_READING}


def _without(said: Said, aside: frozenset[str]) -> _Part:
    """An entry without the fields on which another value was picked."""
    gone = {column for name in aside for column in columns_of(said.entry.payload).get(name, ())}
    values = {name: value for name, value in said.values.items() if name not in aside}
    typed = {column: text for column, text in said.entry.payload.items() if column not in gone}
    return _Part(said.origin, values, typed)


def _as_said(said: Said) -> _Part:
    return _without(said, frozenset())


def _set_aside(rows: Sequence[Said], picks: Sequence[Pick]) -> dict[str, frozenset[str]]:
    """Fields of each entry on which another was picked; picks that contradict pick nothing."""
    known = {row.entry.id: row for row in rows}
    found: dict[str, frozenset[str]] = {}
    pairs = {(pick.entry, other) for pick in picks for other in pick.against}
    for winner, loser in sorted(pairs):
        if (loser, winner) in pairs or winner not in known or loser not in known:
            continue
        one, other = _as_said(known[winner]), _as_said(known[loser])
        differ = {n for n in other.values if n in one.values and not _alike(n, one, other)}
        if "rod" in differ:
            differ.add("thing")
        found[loser] = found.get(loser, frozenset()) | differ
    return found if len(found) < len(rows) else {}


def _open_fields(parts: Sequence[_Part]) -> tuple[str, ...]:
    """Fields on which two of the entries contradict each other."""
    found = set()
    for place, one in enumerate(parts):
        for other in parts[place + 1 :]:
            shared = one.values.keys() & other.values.keys()
            found |= {name for name in shared if not _alike(name, one, other)}
    return tuple(sorted(found))


def _common(parts: Sequence[_Part], open_fields: Sequence[str]) -> _Part:
    """What nobody contradicts, and of some contradicted fields the stricter value."""
    common = _Part(parts[0].origin, {}, {})
    for part in parts:
        sure = {n: v for n, v in part.values.items() if n not in open_fields}
        common.take(_Part(part.origin, sure, part.typed))
    for name in open_fields:
        if name in STRICTER:
            said = [part for part in parts if name in part.values]
            value = STRICTER[name](part.values[name] for part in said)
            one = next(part for part in said if part.values[name] == value)
            common.take(_Part(one.origin, {name: value}, one.typed))
    return common


def _alike(name: str, one: _Part, other: _Part) -> bool:
    """Whether two entries say the same of a field they both tell of."""
    if name in NO_VALUE or name == TOLD_TOGETHER:
        return True
    return alike(name, one.values[name], one.typed, other.values[name], other.typed)
