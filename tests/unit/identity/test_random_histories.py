"""What must hold of any history of a rig, on a few dozen made up by seed.

`benchmarks/histories.py` runs the same on as many as asked for.
"""

from __future__ import annotations

import random
from dataclasses import replace

import history_properties
import pytest
from history_properties import (
    Findings,
    add_a_slip,
    arrival_differs,
    findings_of,
    narrowed,
    turns_lost,
)
from random_histories import RandomHistory, random_history, worked

from rodhand.record.reading_back import read_book

SEEDS = range(40)


def findings(seed: int) -> Findings:
    dice = random.Random(seed)
    return findings_of(random_history(dice), dice)


@pytest.mark.parametrize("first", range(0, len(SEEDS), 10))
def test_everything_holds(first: int) -> None:
    found = {seed: findings(seed).faults for seed in SEEDS[first : first + 10]}
    assert {seed: faults for seed, faults in found.items() if faults} == {}


def a_history(seed: int) -> RandomHistory:
    return random_history(random.Random(seed))


def test_a_narrower_band_would_be_found() -> None:
    """The check can fail: a history that says more narrows the bands of the one that says less."""
    dice = random.Random(11)
    for seed in range(20):
        sure = a_history(seed)
        unsure = add_a_slip(sure, dice)
        if unsure is not None and narrowed(worked(unsure), worked(sure)):
            return
    pytest.fail("twenty slips widened nothing")


def test_lost_turns_would_be_found() -> None:
    known = worked(a_history(1))
    name = next(iter(known.who))
    who = known.who[name]
    fewer = replace(who, groups=who.groups[:-1])
    with pytest.raises(ValueError, match="groups hold places"):
        turns_lost(replace(known, who={**known.who, name: fewer}))


def test_another_book_would_be_found(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(history_properties, "read_book", lambda some: read_book(some[:-1]))
    assert arrival_differs(a_history(2), random.Random(3)) == ["another book"]
