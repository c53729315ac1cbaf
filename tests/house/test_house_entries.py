"""Every kind of entry and every column is told in docs/entries.md, and nothing else is."""

from __future__ import annotations

import re

import pytest

from house import ROOT
from rodhand.record.kind import Kind
from rodhand.record.kinds import KINDS

PAGE = (ROOT / "docs" / "entries.md").read_text(encoding="utf-8")
CODE = re.compile(r"`([^`]+)`")
ROWS = {
    found[1]: found[2].split("|")
    for found in re.finditer(r"^\| `([a-z-]+)` \|(.*)\|$", PAGE, re.MULTILINE)
}


def columns_told(cell: str, kind: Kind) -> set[str]:
    """Names of the fields whose columns a cell of the table names."""
    known = kind.columns()
    return {known[column.lower()][0].name for column in CODE.findall(cell)}


def test_the_page_tells_every_kind() -> None:
    assert set(ROWS) == set(KINDS)


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.name)
def test_the_page_tells_every_column(kind: Kind) -> None:
    must, may = ROWS[kind.name][:2]
    needed = {field.name for field in kind.fields if field.required}
    assert columns_told(must, kind) == needed
    assert columns_told(may, kind) == {field.name for field in kind.fields} - needed
