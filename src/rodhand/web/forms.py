"""Forms for entries, made from the record's own table of kinds.

A form's fields are named after the fact: ``v.joint_od`` for what was typed and ``u.joint_od``
for its unit, so a form that comes back with faults shows exactly what was typed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rodhand.book.entry.entry_page import Field, Kind
from rodhand.faults import BadInputError, Fault
from rodhand.units import System
from rodhand.words import IN_FORCE, has, render_fault, say

US_SUFFIXES = ("ft", "in", "ftlb", "lb", "ksi", "psi", "ft_per_min", "lb_per_ft")
METRIC_SUFFIXES = ("m", "mm", "Nm", "kN", "kg", "MPa", "bar", "m_per_min", "kg_per_m")


@dataclass(frozen=True)
class FormField:
    """One field as it is shown.

    Parameters
    ----------
    name, label, type, value : str
        Name of the fact, its words, its type in the record, what was typed.
    required : bool
        Whether the entry means nothing without it.
    choices : sequence of str
        What may be chosen; empty for free text.
    units : sequence of str
        Unit suffixes to choose from; empty where there is no unit.
    unit : str
        The chosen suffix.
    faults : sequence of str
        What is wrong with it, in words.
    """

    name: str
    label: str
    type: str
    value: str
    required: bool
    choices: Sequence[str]
    units: Sequence[str]
    unit: str
    faults: Sequence[str]


@dataclass(frozen=True)
class Form:
    """A form of one kind of entry; ``faults`` are those that belong to no field."""

    kind: str
    label: str
    fields: Sequence[FormField]
    happened: str
    by: str
    faults: Sequence[str]
    happened_faults: Sequence[str] = ()


def field_label(name: str, language: str = IN_FORCE) -> str:
    """Words for a field, or its name with blanks where the catalogue has none."""
    key = f"field.{name}"
    return say(key, language) if has(key, language) else name.replace("_", " ")


def kind_label(name: str, language: str = IN_FORCE) -> str:
    """Words for a kind of entry, or its name where the catalogue has none."""
    key = f"kind.{name}"
    return say(key, language) if has(key, language) else name.replace("-", " ")


def _suffixes(field: Field, system: System) -> list[str]:
    """Unit suffixes, those of the person's own system first."""
    own = US_SUFFIXES if system == "us" else METRIC_SUFFIXES
    suffixes = [suffix for suffix in field.columns().values() if suffix]
    return sorted(suffixes, key=lambda suffix: suffix not in own)


def payload_of(kind: Kind, typed: Mapping[str, str]) -> dict[str, str]:
    """What was typed into the form, by the record's column names; empty fields are left out."""
    payload = {}
    for field in kind.fields:
        value = typed.get(f"v.{field.name}", "").strip()
        if not value:
            continue
        unit = typed.get(f"u.{field.name}", "")
        columns = {suffix: column for column, suffix in field.columns().items()}
        payload[columns.get(unit, next(iter(columns.values())))] = value
    return payload


def build_form(
    kind: Kind,
    typed: Mapping[str, str],
    system: System,
    error: BadInputError | None = None,
    language: str = IN_FORCE,
) -> Form:
    """The form of a kind with what was typed so far and every fault beside its field."""
    left = list(error.faults) if error else []
    fields = []
    for field in kind.fields:
        columns = {column.casefold() for column in field.columns()} | {field.name.casefold()}
        here = [fault for fault in left if columns & _columns_of(fault)]
        left = [fault for fault in left if fault not in here]
        fields.append(_form_field(field, typed, system, here, language))
    when = [fault for fault in left if fault.column == "happened"]
    rest = [fault for fault in left if fault not in when]
    return Form(
        kind.name,
        kind_label(kind.name, language),
        fields,
        typed.get("happened", ""),
        typed.get("by", ""),
        [render_fault(fault, language) for fault in rest],
        [_told(fault, language) for fault in when],
    )


def _columns_of(fault: Fault) -> set[str]:
    """Columns a fault is about; a missing quantity names the columns of all its units."""
    return {column.casefold() for column in (fault.column or "").split(" / ")}


def _told(fault: Fault, language: str) -> str:
    # Beside its field a fault needs no line and no column.
    if fault.code == "entry_missing":
        return render_fault(Fault("page_missing"), language)
    return render_fault(Fault(fault.code, fault.found, values=_values(fault)), language)


def _values(fault: Fault) -> dict[str, str]:
    return {"column": fault.column or "", **fault.values}


def _form_field(
    field: Field,
    typed: Mapping[str, str],
    system: System,
    faults: Sequence[Fault],
    language: str,
) -> FormField:
    units = _suffixes(field, system)
    return FormField(
        field.name,
        field_label(field.name, language),
        field.type,
        typed.get(f"v.{field.name}", ""),
        field.required,
        field.choices,
        units,
        typed.get(f"u.{field.name}", units[0] if units else ""),
        [_told(fault, language) for fault in faults],
    )
