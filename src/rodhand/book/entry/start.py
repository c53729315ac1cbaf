"""Starting a book: one form's values become the entries of a rod type, a rig, a set and its box.

No rod is marked and nothing is guessed in silence: hours nobody knows are entered as not known, an
order nobody knows as unknown, and what stems from an invented rod type says so in its note.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping, Sequence
from datetime import date
from functools import cache
from pathlib import Path

from rodhand.book.entry.keeping import Entered, enter
from rodhand.book.work.tables import data_text
from rodhand.faults import BadInputError, Fault
from rodhand.record.database import FILE_NAME
from rodhand.record.entry import Draft
from rodhand.record.kept_open import journal_of
from rodhand.record.kind import Field, Kind
from rodhand.record.kinds import KINDS
from rodhand.record.validate import read_payload
from rodhand.words import say

ROD_FIELDS = (
    "tube_od", "wall", "length", "joint_od", "joint_bore", "joint_length",
    "limit_radius", "limit", "limit_length", "makeup", "build", "yield",
)  # fmt: skip
"""What a crew is asked of its rods; the rest of a rod type can be entered later."""
FIELDS_OF = {
    "rig": ("pilot_rpm", "pull_rpm", "box_rows", "rods_per_row"),
    "set": ("count", "bought"),
    "past": ("rotating_time", "ground", "order"),
}
NAMES = ("rod_type", "set", "rig")
YIELD_KSI = "135"
"""Yield strength entered where nobody gives one: common practice, no source. It decides no life
used, only from which bend on a rod is taken for bent for good. [ksi]"""
INVENTED = "invented"


def _field(kind: str, name: str) -> Field:
    """A field of the record; on this form only the names and the count must be filled in."""
    field = next(each for each in KINDS[kind].fields if each.name == name)
    needed = name in ("tube_od", "wall", "length", "joint_od", "joint_bore", "joint_length")
    return Field(
        field.name, field.type, name in (*NAMES, "count") or needed, field.dimension,
        field.choices, field.column,
    )  # fmt: skip


PARTS: Mapping[str, tuple[Field, ...]] = {
    "rods": (
        Field("rod_type", "name", required=True),
        *(_field("rod-type", name) for name in ROD_FIELDS),
    ),
    "box": (
        _field("set", "set"),
        _field("set", "count"),
        _field("rig", "rig"),
        _field("rig", "box_rows"),
        _field("rig", "rods_per_row"),
        _field("set", "bought"),
    ),
    "before": tuple(_field("past", name) for name in FIELDS_OF["past"]),
    "turning": (_field("rig", "pilot_rpm"), _field("rig", "pull_rpm")),
}
"""The form's parts in order, each with its fields."""
START = Kind("start", tuple(field for part in PARTS.values() for field in part))
"""The whole form, as a kind of its own."""


def needs_start(folder: Path) -> bool:
    """Whether a folder holds no book yet, or one without an entry.

    Raises
    ------
    CannotReadError
        If there is a book that cannot be read.
    """
    if not (folder / FILE_NAME).exists():
        return True
    return not journal_of(folder).entries()


@cache
def examples() -> Mapping[str, Mapping[str, str]]:
    """The invented rod types that come with the program: name to columns as typed."""
    wanted = {c for name in ROD_FIELDS for c in _field("rod-type", name).columns()}
    table = tomllib.loads(data_text("rod_types.toml"))
    return {
        name: {column: f"{value}" for column, value in fields.items() if column in wanted}
        for name, fields in table.items()
    }


def start(
    folder: Path, typed: Mapping[str, str], like: str = "", happened: str = "", by: str = ""
) -> Entered:
    """Enter a rod type, a rig, a set without marks, its past and its box, all or nothing.

    Parameters
    ----------
    folder : Path
        The book's folder; a folder without a book gets one.
    typed : mapping of str to str
        Columns of `START` to the text as typed.
    like : str
        Name of the invented rod type whose figures the form began with; empty for none.
    happened : str
        Day the book begins for this set: its rods lay so and had turned so much; today if empty.
    by : str
        Key of who says it.

    Returns
    -------
    Entered
        The entries.

    Raises
    ------
    BadInputError
        With every fault, under the columns of the form; then nothing is kept.
    CannotReadError
        If the book cannot be read or written; then nothing is kept.
    """
    known = _known_rod_types(folder)
    day = happened or date.today().isoformat()
    drafts = [Draft(kind, payload, day, "", by) for kind, payload in entries_of(typed, like, known)]
    faults = list(_faults(drafts, typed))
    if faults:
        raise BadInputError(faults, START.name)
    try:
        return enter(folder, drafts, START.name)
    except BadInputError as error:
        raise BadInputError([_on_form(fault) for fault in error.faults], START.name) from error


def _known_rod_types(folder: Path) -> Sequence[str]:
    if needs_start(folder):
        return ()
    return [name.casefold() for name in journal_of(folder).book().rod_types]


def entries_of(
    typed: Mapping[str, str], like: str, known: Sequence[str] = ()
) -> list[tuple[str, dict[str, str]]]:
    """Kinds and columns of everything the form says, in the order the book reads them.

    Parameters
    ----------
    typed : mapping of str to str
        Columns of `START` to the text as typed.
    like : str
        Name of the invented rod type the form began with.
    known : sequence of str
        Rod types the book has, in lower case: one named without sizes is used as it stands.

    Returns
    -------
    list of (str, dict of str to str)
        Rod type (unless the book has it), rig, set, past and load by row.
    """
    given = {column: text.strip() for column, text in typed.items() if text.strip()}
    names = {name: given[name] for name in NAMES if name in given}
    rod_type = _part(given, ROD_FIELDS, "rod-type")
    found: list[tuple[str, dict[str, str]]] = []
    if rod_type or names.get("rod_type", "").casefold() not in known:
        found.append(("rod-type", _rod_type(names.get("rod_type", ""), rod_type, like)))
    of_rig = _part(given, FIELDS_OF["rig"], "rig")
    rig = {**_only(names, "rig", "rod_type"), **of_rig, **_row_length(given)}
    found.append(("rig", rig))
    of_set = _part(given, FIELDS_OF["set"], "set")
    found.append(("set", {**_only(names, "set", "rod_type", "rig"), **of_set}))
    of_past = _part(given, FIELDS_OF["past"], "past")
    if not any(column.startswith("rotating") for column in of_past):
        of_past["hours"] = "unknown"
    found.append(("past", {**_only(names, "set"), **of_past}))
    load = {**_only(names, "rig"), "things": names.get("set", ""), "how": "by row"}
    found.append(("load", load))
    return found


def _only(names: Mapping[str, str], *wanted: str) -> dict[str, str]:
    return {name: names[name] for name in wanted if name in names}


def _part(given: Mapping[str, str], fields: Sequence[str], kind: str) -> dict[str, str]:
    """What was given of some fields of a kind, by column."""
    columns = {column for name in fields for column in _field(kind, name).columns()}
    return {column: text for column, text in given.items() if column in columns}


def _rod_type(name: str, given: dict[str, str], like: str) -> dict[str, str]:
    """A rod type's columns, with what is assumed or invented of it in its note."""
    if not given and name.casefold() in examples():
        like = name.casefold()
        given = dict(examples()[like])
    made = {"name": name, **given}
    notes = [_invented(given, like)]
    if "yield_ksi" not in given and "yield_MPa" not in given:
        made["yield_ksi"] = YIELD_KSI
        notes.append(say("start.yield_assumed"))
    made.setdefault("build", "unknown")
    if "limit_pct" in given and not any(c.startswith("limit_length") for c in given):
        # A limit said without a length is one over a rod.
        length = next((c for c in given if c.startswith("length_")), "")
        made |= {f"limit_{length}": given[length]} if length else {}
    note = "; ".join(filter(None, notes))
    return {**made, "note": note} if note else made


def _invented(given: Mapping[str, str], like: str) -> str:
    """Note of a rod type that began with an invented one: what still stands as there."""
    example = examples().get(like, {})
    kept = [column for column in example if given.get(column) == example[column]]
    if not kept:
        return ""
    if len(kept) == len(example) == len(given):
        return say("start.invented_all", like=like)
    return say("start.invented_some", like=like, columns=", ".join(kept))


def _row_length(given: Mapping[str, str]) -> dict[str, str]:
    """Rods in a full row, shared evenly where only the rows were counted."""
    count, rows = given.get("count", ""), given.get("box_rows", "")
    if "rods_per_row" in given or not (count.isdecimal() and rows.isdecimal() and int(rows)):
        return {}
    return {"rods_per_row": f"{math.ceil(int(count) / int(rows))}"}


def _faults(drafts: Sequence[Draft], typed: Mapping[str, str]) -> list[Fault]:
    """Everything wrong with the form by itself, each fault once and under the form's column."""
    found: dict[tuple[str, str | None], Fault] = {}
    for draft in drafts:
        for fault in read_payload(draft.kind, draft.payload).faults:
            told = _on_form(fault)
            if told.column != "things":  # the load names the set: told there
                found.setdefault((told.code, told.column), told)
    if typed.get("count", "").strip() == "0":
        fault = Fault("start_no_rods", "0", column="count")
        found["start_no_rods", "count"] = fault
    return list(found.values())


def _on_form(fault: Fault) -> Fault:
    """A fault of an entry under the column of the form it came from."""
    column = "rod_type" if fault.column == "name" else fault.column
    return Fault(fault.code, fault.found, None, column, fault.values)
