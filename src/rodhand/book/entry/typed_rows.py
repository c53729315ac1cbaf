"""Drafts of entries from what was typed: rows of a file, values of a form, options of a command."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rodhand.faults import BadInputError, Fault
from rodhand.record.entry import Draft

OF_THE_ENTRY = ("happened", "by")
"""Columns of a rows file that say when and by whom, and not what."""


def drafts_of_rows(
    kind: str,
    headings: Sequence[str],
    rows: Sequence[tuple[int, Sequence[str]]],
    happened: str,
    by: str,
    source: str,
    fields: Mapping[str, str] | None = None,
) -> list[Draft]:
    """Drafts of a file's rows, each with its line.

    Parameters
    ----------
    kind : str
        Kind of every row.
    headings : sequence of str
        Column names; ``happened`` and ``by`` may be among them.
    rows : sequence of (int, sequence of str)
        Line number and cells.
    happened, by : str
        For rows that say nothing of it themselves.
    source : str
        Name of the file.
    fields : mapping of str to str, optional
        Columns that are the same for every row and do not stand in the file, as the bore.

    Returns
    -------
    list of Draft
        One for each row.

    Raises
    ------
    BadInputError
        If a heading stands twice, or a row has more cells than there are headings.
    """
    names = [heading.strip() for heading in headings]
    common = dict(fields or {})
    folded = [*(name.casefold() for name in common), *(name.casefold() for name in names)]
    faults = [
        Fault("entry_heading_twice", name, 1, name)
        for place, name in enumerate(names, len(common))
        if name and folded[place] in folded[:place]
    ]
    faults += [
        Fault("entry_row_too_long", cell, line)
        for line, cells in rows
        for cell in cells[len(names) :]
        if cell
    ]
    faults += [
        Fault("entry_cell_without_heading", cell, line)
        for line, cells in rows
        for name, cell in zip(names, cells, strict=False)
        if cell and not name
    ]
    if faults:
        raise BadInputError(faults, source)
    drafts = []
    for line, cells in rows:
        typed = {name: cell for name, cell in zip(names, cells, strict=False) if name and cell}
        said = {name.casefold(): text for name, text in typed.items()}
        payload = {n: text for n, text in typed.items() if n.casefold() not in OF_THE_ENTRY}
        when, who = said.get("happened") or happened, said.get("by") or by
        drafts.append(Draft(kind, {**common, **payload}, when, "", who, line))
    return drafts


def drafts_of_values(kind: str, fields: Mapping[str, str], happened: str, by: str) -> list[Draft]:
    """The one draft of a command's or form's values."""
    return [Draft(kind, fields, happened, "", by)]


def fields_from_options(arguments: Sequence[str]) -> Mapping[str, str]:
    """Columns and values of ``--column value`` or ``--column=value``; hyphens are underscores.

    Raises
    ------
    BadInputError
        If a value has no column, a column no value, or a column stands twice.
    """
    fields: dict[str, str] = {}
    faults = []
    waiting = list(arguments)
    while waiting:
        option = waiting.pop(0)
        name, equals, value = option.partition("=")
        column = name[2:].replace("-", "_")
        if not name.startswith("--") or not column:
            faults.append(Fault("entry_option", option))
            continue
        if not equals and not waiting:
            faults.append(Fault("entry_option_value", option, column=column))
            continue
        text = value if equals else waiting.pop(0)
        if column in fields:
            faults.append(Fault("entry_heading_twice", text, column=column))
        fields[column] = text
    if faults:
        raise BadInputError(faults, "enter")
    return fields
