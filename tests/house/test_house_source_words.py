"""Every source named in a table has its words in both languages."""

from __future__ import annotations

import pytest

from rodhand.book.source_words import source_key
from rodhand.book.work.tables import data_rows
from rodhand.words import catalogue

TABLES = ("rules.csv", "event_checks.csv", "yard_work.csv", "shift_checks.csv")


@pytest.mark.parametrize("table", TABLES)
def test_sources_of_a_table(table: str) -> None:
    for row in data_rows(table):
        text = row.get("source", "")
        if text:
            key = f"source_text.{source_key(text)}"
            assert catalogue("en").get(key) == text
            assert key in catalogue("es")
