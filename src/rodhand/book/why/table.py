"""Every line of one rod's life used, all bores together, for a file that works it out again."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.book.why.lines import passes_of
from rodhand.book.why.rod import section_life
from rodhand.book.work.assess import Assessment
from rodhand.book.yard.thing_page import NoSuchThingError
from rodhand.wear.counted_damage import Line
from rodhand.wear.sections import SECTIONS


@dataclass(frozen=True)
class TableRow:
    """One stretch of hole, or a sum without lines: place or order in doubt, work outside.

    Parameters
    ----------
    bore, pass_name : str
        Name of the bore or of the work outside; the pass is empty for a sum.
    station : float or None
        Station of the stretch.
    line : Line or None
        Its inputs; None for a sum.
    harder : float
        By how much its turns cost more than by their bend alone. [-]
    damage : float
        On the design curve, before the class's factor. [-]
    factor : float
        Of the class. [-]
    turns_are : str
        Standing of the turns; empty for a sum.
    entry, turns_entry : str
        Entries the bend and the turns rest on; empty where there are none.
    """

    bore: str
    pass_name: str
    station: float | None
    line: Line | None
    harder: float
    damage: float
    factor: float
    turns_are: str = ""
    entry: str = ""
    turns_entry: str = ""


@dataclass(frozen=True)
class WhyTable:
    """A rod's governing section and all its rows; their sum is its design value."""

    name: str
    section: str
    rows: tuple[TableRow, ...]

    @property
    def design(self) -> float:
        """Life used on the design curve. [-]"""
        return sum(row.damage * row.factor for row in self.rows)


def why_table(assessment: Assessment, name: str, section_name: str = "") -> WhyTable | None:
    """Every line of one section of a rod.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    name : str
        Mark or key of the rod.
    section_name : str
        The section; the one that has used most when empty.

    Returns
    -------
    WhyTable or None
        None for a thing that carries no life used.

    Raises
    ------
    NoSuchThingError
        If nothing carries that mark or key.
    NoSuchNumberError
        If there is no such section.
    """
    thing = assessment.book.thing_named(name)
    if thing is None:
        raise NoSuchThingError(name)
    history = assessment.histories.get(thing.key)
    if history is None:
        return None
    named = section_life(history, section_name).section
    section = SECTIONS.index(named)
    factor = history.classes[section].factor
    rows: list[TableRow] = []
    for did in history.bores:
        if did.in_doubt:
            design = sum(float(each.design[section]) for each in history.counting(did))
            rows.append(TableRow(did.bore, "", None, None, 1.0, design, factor))
        for each in passes_of(assessment, thing.key, history, did, section, f"why.{thing.name}"):
            rows += [
                TableRow(
                    did.bore,
                    each.name,
                    row.station,
                    row.line,
                    row.harder,
                    row.harder * row.line.damage,
                    factor,
                    row.figures["turns"].standing.value,
                    row.entry,
                    row.turns_entry,
                )
                for row in each.lines
            ] or [TableRow(did.bore, each.name, None, None, 1.0, each.design, factor)]
    for outside, part in zip(history.outside, history.past, strict=True):
        design = float(part.design[section])
        rows.append(TableRow(outside.source, "", None, None, 1.0, design, factor))
    return WhyTable(thing.name, str(named), tuple(rows))
