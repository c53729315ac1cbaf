"""The season in a journal: whole, chained, and read back without a problem."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodhand.demo.season import as_of, chained, write_season
from rodhand.record.journal import Journal


@pytest.mark.parametrize("planted", [True, False])
def test_written_once_and_read_back(tmp_path: Path, planted: bool) -> None:
    with Journal.open(tmp_path / "book") as journal:
        count = write_season(journal, 7, planted)
        assert count == len(journal.entries())
        assert write_season(journal, 7, planted) == 0
        book = journal.book(as_of())
    assert book.problems == ()
    assert sum(1 for thing in book.things.values() if thing.what == "rod") == 240
    assert len(book.bores) >= 120
    assert book.bores["B-2"].front_length == 0.0
    rows = book.bores["B-2"].pass_of("pilot")
    assert rows is not None
    assert len(rows.readings) == (37 if planted else 36)
    assert bool(book.breaks) is planted


def test_each_device_has_its_own_chain() -> None:
    heads: dict[str, tuple[int, str]] = {}
    for entry in chained():
        counter, head = heads.get(entry.device, (0, ""))
        assert (entry.counter, entry.previous) == (counter + 1, head)
        assert entry.hash == entry.computed_hash()
        heads[entry.device] = (entry.counter, entry.hash)
    assert {"office", "yard", "cab-12", "cab-12b", "cab-40", "cab-100"} == set(heads)
