"""The bore under way at the end of the demo book: taken whole, and with one bend over its limit."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

from rodhand.demo.season import write_season
from rodhand.demo.under_way import BORE, PITCHES, RIG, under_way
from rodhand.record.journal import Journal


def test_what_is_under_way_is_taken_without_a_problem(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        write_season(journal, further=under_way())
        book = journal.book()
    assert book.problems == ()
    assert len(book.bores[BORE].passes[0].readings) == len(PITCHES)
    assert (len(book.booked), len(book.utilities), book.bores[BORE].rig) == (6, 2, RIG)


def test_only_its_last_rod_turns_past_the_limit() -> None:
    # A change of 7.4 % over 6 ft against the radius of 100 ft of these rods: 6 / 100 rad allowed.
    slopes = [math.atan(float(each) / 100.0) for each in PITCHES]
    turned = [abs(b - a) for a, b in pairwise(slopes)]
    assert all(each < 6.0 / 100.0 for each in turned[:-1])
    assert turned[-1] > 1.15 * 6.0 / 100.0
