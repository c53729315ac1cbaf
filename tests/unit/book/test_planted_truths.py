"""Planted truths are found, and nothing else is; the rates on 20 seeds are in benchmarks."""

from __future__ import annotations

import pytest
from found_truths import FINDERS, false_findings, score, worked

from rodhand.book.bore.office import office_view
from rodhand.book.tasks.week import this_week
from rodhand.book.twin import twin
from rodhand.book.work.opened_joints import opened_joints
from rodhand.book.work.shoulder_work import made_of
from rodhand.book.yard.thing_page import thing_view
from rodhand.book.yard.yard import yard_view
from rodhand.demo.season import DEFAULT_SEED

AT_MOST_FALSE = 2
"""False findings allowed on a season with nothing planted."""


@pytest.mark.parametrize("key", FINDERS)
def test_planted_truth_is_found(key: str) -> None:
    assert score(DEFAULT_SEED).found[key]


def test_nothing_is_found_that_has_no_cause() -> None:
    assert score(DEFAULT_SEED).false == ()


def test_the_count_of_false_findings_can_fail() -> None:
    """Without the truth file's causes every planted finding would be a false one."""
    found = false_findings(worked(DEFAULT_SEED, True), {})
    assert {"M1-22 scrap", "verdict.under_torque.what: M1-01"} & set(found)
    assert len(found) > 40


def test_a_season_with_nothing_planted_is_quiet() -> None:
    result = score(3, planted=False)
    assert result.found == {}
    assert len(result.false) <= AT_MOST_FALSE


def test_the_page_of_the_broken_rod_names_no_cause() -> None:
    from rodhand.book.telling import tell

    view = thing_view(worked(DEFAULT_SEED, True), "M1-22")
    told = [tell(fact, "metric") for fact in view.facts]
    told += [tell(part, "metric") for v in view.verdicts for part in (v.what, v.why, v.do)]
    assert told
    assert not any(word in text for text in told for word in ("because", "caused", "cause of"))


def test_the_shoulders_of_the_low_pressure_shift_opened_and_no_others() -> None:
    """14 joints at 30 % of make-up on B-3 open; the season's gauge that read 12 % high leaves
    its joints at 89 %, and none of those opens."""
    season = worked(DEFAULT_SEED, True)
    opened = {
        bore: tuple(joint.place for joint in joints)
        for bore in season.works
        if (joints := opened_joints(season, bore))
    }
    assert opened == {"B-3": tuple(range(24, 38))}
    off = [made for work in season.works.values() if work.bore.rig == "Rig-40"
           for each in made_of(work, tuple(season.book.comparisons))
           for made in each[:, 0] if 0.85 < made < 0.92]  # fmt: skip
    assert len(off) > 100


def test_every_view_of_the_season_has_one_figure_per_key() -> None:
    """`twin` refuses two figures under one key."""
    season = worked(DEFAULT_SEED, True)
    for view in (this_week(season), yard_view(season), office_view(season)):
        assert twin(view)["figures"]
