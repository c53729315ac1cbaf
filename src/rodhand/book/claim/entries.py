"""Which entries a file of a break or loss rests on."""

from __future__ import annotations

from collections.abc import Collection

from rodhand.book.claim.dated import entries_known
from rodhand.book.work.assess import Assessment
from rodhand.record.entry import Entry
from rodhand.record.marks import MarksError, expand_marks, fold

THINGS_IN = ("thing", "things", "rod", "tail_rods", "mark")
"""Columns that name things one by one."""
OF_THE_BOOK = ("setting", "clock")
"""Kinds that may bear on any other entry."""


def entries_it_rests_on(
    assessment: Assessment,
    keys: Collection[str],
    bores: Collection[str],
    told: Collection[str],
) -> tuple[str, ...]:
    """Ids of every entry about some things and bores, struck ones too, in the order typed.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    keys : collection of str
        Things that broke or were lost, their sisters, and what was down the hole.
    bores : collection of str
        Bores they went through, and those it happened in.
    told : collection of str
        Ids of entries told one by one.

    Returns
    -------
    tuple of str
        Entries that name only other bores or only other things are left out; rod types, rigs,
        gauges, settings, clocks and strikes of what is in are kept.
    """
    book = assessment.book
    here = {fold(name) for name in bores}
    sets = {fold(each.set) for key in keys for each in book.things[key].sets}
    names = {fold(mark.text) for key in keys for mark in book.things[key].marks}
    names |= {fold(book.things[key].name) for key in keys} | {fold(key) for key in keys} | sets
    rigs = {fold(book.bores[name].rig) for name in bores if name in book.bores}
    rigs |= {fold(book.things[key].rig) for key in keys}
    types = {fold(book.things[key].rod_type) for key in keys}
    types |= {fold(book.sets[s].rod_type) for s in book.sets if fold(s) in sets}
    types |= {fold(book.rigs[rig].rod_type) for rig in book.rigs if fold(rig) in rigs}
    entries = entries_known(assessment)
    kept = {
        entry.id
        for entry in entries
        if entry.id in told or _is_in(entry, here, names, sets, rigs, types)
    }
    for entry in entries:  # a strike of a strike comes after it
        if entry.kind == "strike" and entry.payload.get("entry") in kept:
            kept.add(entry.id)
    return tuple(entry.id for entry in entries if entry.id in kept)


def _is_in(
    entry: Entry,
    bores: Collection[str],
    names: Collection[str],
    sets: Collection[str],
    rigs: Collection[str],
    types: Collection[str],
) -> bool:
    said = {column: fold(text) for column, text in entry.payload.items()}
    if entry.kind == "strike":
        return False
    if entry.kind in OF_THE_BOOK:
        return True
    if entry.kind == "rod-type":
        return said.get("name", "") in types
    if said.get("bore"):
        return said["bore"] in bores
    if said.get("set") and entry.kind in ("set", "past"):
        return said["set"] in sets
    if said.get("rig") and entry.kind in ("rig", "comparison", "compound", "load"):
        return said["rig"] in rigs
    return any(_names(said.get(column, "")) & set(names) for column in THINGS_IN)


def _names(typed: str) -> set[str]:
    try:
        return {fold(mark) for mark in expand_marks(typed)} if typed else set()
    except MarksError:
        return {fold(typed)}
