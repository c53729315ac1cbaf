"""When things happened and when they were typed: timeline, and what was in the book before."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_page import life_figure
from rodhand.book.claim.views import DatedLine, KnownThen
from rodhand.book.entry.history import history_of, typed_in_words
from rodhand.book.tasks.standings import standing_of_thing
from rodhand.book.work.assess import Assessment
from rodhand.book.work.days import day_of
from rodhand.book.yard.thing_page import thing_verdicts
from rodhand.record.entry import Entry
from rodhand.record.marks import fold
from rodhand.record.order import known_by, moments_of, struck_entries, typed_days
from rodhand.units import Figure, Standing

BEFORE, SAME_DAY, AFTER = "before", "same day", "after"
OF_A_BORE = ("pass", "event", "makeup", "remark", "slip", "load")
OF_A_RIG = ("comparison", "compound")


def entries_known(assessment: Assessment) -> list[Entry]:
    """The entries the book was read from, struck ones too, in the order they were typed."""
    known = known_by(assessment.entries, assessment.book.as_of or None)
    return sorted(known, key=lambda each: (each.entered, each.device, each.counter))


def stamps_of(entries: Iterable[Entry]) -> dict[str, str]:
    """Id of each entry to when it was typed, to the minute, as its device's clock had it."""
    return {entry.id: entry.entered[:16].replace("T", " ") for entry in entries}


def known_on(typed: str, day: str) -> str:
    """Whether something typed on one ISO day was in the book before another; '' if unknown."""
    if not typed or not day:
        return ""
    return BEFORE if typed < day else SAME_DAY if typed == day else AFTER


def bores_of_things(assessment: Assessment, keys: Iterable[str]) -> set[str]:
    """Bores that count for some things."""
    histories = (assessment.histories.get(key) for key in keys)
    return {did.bore for history in histories if history for did in history.bores}


def timeline_of(
    assessment: Assessment, keys: Sequence[str], bores: Sequence[str], day: str
) -> tuple[DatedLine, ...]:
    """Every entry about some things and bores, oldest first, with both dates.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    keys : sequence of str
        Things that broke or were lost.
    bores : sequence of str
        Bores it happened in; their work is told entry by entry, their readings pass by pass.
    day : str
        ISO day of it; empty when unknown.

    Returns
    -------
    tuple of DatedLine
        Earlier bores are one line each, and one more where their readings were typed on that day
        or later.
    """
    entries = entries_known(assessment)
    struck = struck_entries(entries, [])
    happened = {k: day_of(moment.start) for k, moment in moments_of(entries).items()}
    typed, stamps = typed_days(entries), stamps_of(entries)
    ours = _entries_about(assessment, entries, keys, bores)
    ids = {entry.id for entry in ours}
    ours += [e for e in entries if e.kind == "strike" and e.payload.get("entry") in ids]

    def line(entry: Entry, text: Sentence, kind: str) -> DatedLine:
        known, when = known_on(typed[entry.id], day), happened[entry.id]
        late = bool(day) and "" < when < day and known in (SAME_DAY, AFTER)
        return DatedLine(
            entry.id, when, stamps[entry.id], known, late, kind, text, entry.id in struck, entry.by
        )

    lines = [line(e, _told(assessment, e, keys, bores), e.kind) for e in ours]
    groups = _reading_groups(
        entries, set(bores), bores_of_things(assessment, keys), typed, struck, day
    )
    for first, text in groups:
        lines.append(line(first, text, "reading"))
    return tuple(sorted(lines, key=lambda each: (each.happened, each.entered, each.entry)))


def _entries_about(
    assessment: Assessment, entries: Sequence[Entry], keys: Sequence[str], bores: Sequence[str]
) -> list[Entry]:
    things = [assessment.book.things[key] for key in keys]
    ids = {line.entry for thing in things for line in history_of(assessment, thing)}
    here = {fold(name) for name in bores}
    went = {fold(name) for name in bores_of_things(assessment, keys)} | here
    rigs = {fold(assessment.book.bores[b].rig) for b in bores if b in assessment.book.bores}
    return [
        entry
        for entry in entries
        if entry.id in ids
        or (entry.kind in OF_A_BORE and fold(entry.payload.get("bore", "")) in here)
        or (entry.kind == "bore" and fold(entry.payload.get("bore", "")) in went)
        or (entry.kind in OF_A_RIG and fold(entry.payload.get("rig", "")) in rigs)
        or (entry.kind == "break" and fold(entry.payload.get("bore", "")) in here)
    ]


def _told(
    assessment: Assessment, entry: Entry, keys: Sequence[str], bores: Sequence[str]
) -> Sentence:
    """What was typed; of a bore also where the things stood in it.

    Of bores it did not happen in only the name stands here: their places and clients are nobody's
    business who reads of this one.
    """
    typed = typed_in_words(entry)
    if entry.kind == "bore":
        name = fold(entry.payload.get("bore", ""))
        if name not in {fold(bore) for bore in bores}:
            typed = entry.payload.get("bore", "")
        for key in keys:
            history = assessment.histories.get(key)
            for did in history.bores if history else ():
                if fold(did.bore) == name:
                    values: dict[str, str | Figure] = {
                        "typed": typed,
                        "thing": assessment.book.things[key].name,
                        "known": str(did.known),
                        "place": ", ".join(map(str, did.places[:3]))
                        + ("…" if len(did.places) > 3 else ""),
                    }
                    return Sentence("claim.line.bore", values)
    return Sentence("history.line", {"kind": entry.kind, "typed": typed})


def _reading_groups(
    entries: Sequence[Entry],
    here: set[str],
    went: set[str],
    typed: Mapping[str, str],
    struck: set[str],
    day: str,
) -> list[tuple[Entry, Sentence]]:
    """Readings that are not struck, by bore, pass and day typed: first entry and what they are."""
    names = {fold(name): name for name in (*went, *here)}
    groups: dict[tuple[str, str, str], list[Entry]] = {}
    for entry in entries:
        bore = names.get(fold(entry.payload.get("bore", ""))) if entry.kind == "reading" else None
        if bore is None or entry.id in struck:
            continue
        when = typed[entry.id]
        if bore in here or (day and when >= day):
            groups.setdefault((bore, entry.payload.get("pass", "pilot"), when), []).append(entry)
    found = []
    for number, ((bore, name, _), rows) in enumerate(groups.items()):
        count = Figure(f"claim.readings.{number}", float(len(rows)), "count", Standing.MEASURED)
        values: dict[str, str | Figure] = {
            "count": count,
            "bore": bore,
            "pass": name,
            "first": rows[0].payload.get("station", ""),
            "last": rows[-1].payload.get("station", ""),
        }
        found.append((rows[0], Sentence("claim.line.readings", values)))
    return found


def known_then(before: Assessment, key: str, day: str, own: str) -> KnownThen | None:
    """What the book of an earlier day gave for a thing; None when it did not hold the thing yet."""
    thing = before.book.things.get(key)
    if thing is None:
        return None
    figures = {
        "entries": Figure(
            f"{own}.entries", float(before.book.entry_count), "count", Standing.MEASURED
        )
    }
    history = before.histories.get(key)
    if history is not None:
        life = history.life.worst
        standing = Standing.ASSUMED if life.assumed > 0.5 else Standing.COMPUTED
        figures["life_used"] = life_figure(f"{own}.life_used", life, standing)
        figures["design"] = Figure(f"{own}.design", life.design, "life", standing)
    return KnownThen(
        day,
        standing_of_thing(before, key)[0],
        thing_verdicts(before, thing, own),
        figures,
    )
