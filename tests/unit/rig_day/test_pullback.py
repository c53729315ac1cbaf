"""Pullback in two touches: the pass, rods set aside, where each lands, and what follows."""

from __future__ import annotations

from pathlib import Path

import pytest
from rig_day_book import BORE, RIG, kept, tell

from rodhand.book.entry.pressed import take_back
from rodhand.book.rig.pullback import (
    end_pullback,
    pullback_view,
    set_aside,
    start_pullback,
)
from rodhand.book.work.assess import assess
from rodhand.faults import BadInputError
from rodhand.record.journal import Journal
from rodhand.wear.life_used import rod_life

BEGUN = len((*RIG, *BORE))


def test_two_touches_make_one_pass(folder: Path) -> None:
    assert pullback_view(folder, "Rig-40").state == "before"
    start_pullback(folder, "Rig-40", "RM-8")
    view = pullback_view(folder, "Rig-40")
    assert (view.state, view.behind, view.at.station) == ("under way", "RM-8", None)
    end_pullback(folder, "Rig-40")
    assert pullback_view(folder, "Rig-40").state == "ended"
    assert kept(folder, BEGUN) == [
        ("pass", {"bore": "B1", "pass": "pullback", "what": "pullback", "tool": "RM-8"}),
        ("pass", {"bore": "B1", "pass": "pullback", "what": "pullback", "from_station": "7",
                  "to_station": "0"}),
    ]  # fmt: skip


def test_the_two_touches_give_the_life_a_whole_pullback_gives(folder: Path, tmp_path: Path) -> None:
    """The same pass written by hand as one entry, at the rig's habit, is the second method."""
    start_pullback(folder, "Rig-40", "RM-8")
    end_pullback(folder, "Rig-40")
    other = tmp_path / "other"
    tell(other, (*RIG, *BORE, ("pass", {"bore": "B1", "pass": "pullback", "what": "pullback",
                                        "from_station": "7", "to_station": "0"})))  # fmt: skip
    used = []
    for each in (folder, other):
        with Journal.open(each, write=False) as journal:
            assessment = assess(journal.book(), "2025-12-01")
        used.append(
            [rod_life(h.contributions, h.slopes).worst.best for h in assessment.histories.values()]
        )
        assert [p.recorded for p in assessment.works["B1"].passes] == [True, True]
    assert used[0] == pytest.approx(used[1])
    assert max(used[0]) > 0.0


def test_the_product_alone_may_hang_on_the_string(folder: Path) -> None:
    start_pullback(folder, "Rig-40", "product")
    assert kept(folder)[-1][1] == {
        "bore": "B1", "pass": "pullback", "what": "pullback", "product": "yes",
    }  # fmt: skip
    assert pullback_view(folder, "Rig-40").behind == "product"


@pytest.mark.parametrize(
    ("more", "tools"),
    [
        ([("thing", {"thing": "RM-9", "what": "reamer", "rig": "Rig-41"})], ("RM-8",)),
        ([("thing", {"thing": "RM-9", "what": "reamer"})], ("RM-8", "RM-9")),
        ([("whereabouts", {"things": "RM-8", "where": "lost in hole"})], ()),
    ],
)
def test_the_tool_comes_from_the_rigs_own_things(
    folder: Path, more: list[tuple[str, dict[str, str]]], tools: tuple[str, ...]
) -> None:
    tell(folder, [("rig", {"rig": "Rig-41"}), *more])
    # What went away on a day is away from the next one.
    assert pullback_view(folder, "Rig-40").tools == tools


@pytest.mark.parametrize("behind", ["RM-77", "", "HD-1"])
def test_another_tool_is_refused(folder: Path, behind: str) -> None:
    with pytest.raises(BadInputError, match="pull_tool"):
        start_pullback(folder, "Rig-40", behind)
    assert len(kept(folder)) == BEGUN


def test_touches_in_the_wrong_order_keep_nothing(folder: Path) -> None:
    with pytest.raises(BadInputError, match="pull_not_begun"):
        end_pullback(folder, "Rig-40")
    start_pullback(folder, "Rig-40", "RM-8")
    with pytest.raises(BadInputError, match="pull_under_way"):
        start_pullback(folder, "Rig-40", "RM-8")
    assert len(kept(folder)) == BEGUN + 1


def test_a_second_pullback_has_its_own_name(folder: Path) -> None:
    for _ in range(2):
        start_pullback(folder, "Rig-40", "RM-8")
        end_pullback(folder, "Rig-40")
    assert [payload["pass"] for _, payload in kept(folder, BEGUN)] == [
        "pullback", "pullback", "pullback 2", "pullback 2",
    ]  # fmt: skip


def test_without_the_pilots_rods_it_cannot_end(tmp_path: Path) -> None:
    tell(tmp_path, (*RIG, BORE[0]))
    start_pullback(tmp_path, "Rig-40", "RM-8")
    with pytest.raises(BadInputError, match="pull_no_rods"):
        end_pullback(tmp_path, "Rig-40")


def test_rods_come_out_last_one_first_and_are_set_aside_with_a_reason(folder: Path) -> None:
    start_pullback(folder, "Rig-40", "RM-8")
    assert [rod.name for rod in pullback_view(folder, "Rig-40").rods] == [
        f"M-0{n}" for n in range(7, 0, -1)
    ]
    entry = set_aside(folder, "Rig-40", "M-05", "bent")
    assert kept(folder)[-1] == (
        "standing",
        {"things": "M-05", "standing": "set aside", "why": "bent, seen at the pullback of B1"},
    )
    aside = {rod.name: rod.reason for rod in pullback_view(folder, "Rig-40").rods if rod.entry}
    assert list(aside) == ["M-05"]
    take_back(folder, entry)
    assert not any(rod.entry for rod in pullback_view(folder, "Rig-40").rods)
    for thing, reason, code in (
        ("M-05", "", "pull_reason"), ("M-05", "bored", "pull_reason"), ("M-99", "bent", "thing_"),
    ):  # fmt: skip
        with pytest.raises(BadInputError, match=code):
            set_aside(folder, "Rig-40", thing, reason)


def test_a_rod_set_aside_before_the_pullback_is_no_new_one(folder: Path) -> None:
    word = {"things": "M-02", "standing": "set aside", "why": "nick"}
    tell(folder, [("standing", word)], "2025-09-10")
    start_pullback(folder, "Rig-40", "RM-8")
    assert not any(rod.entry for rod in pullback_view(folder, "Rig-40").rods)


def test_each_rod_lands_one_place_forward_behind_what_stays_out(folder: Path) -> None:
    word = {"things": "M-11", "standing": "set aside", "why": "nick"}
    tell(folder, [("standing", word)], "2025-09-10")
    start_pullback(folder, "Rig-40", "RM-8")
    set_aside(folder, "Rig-40", "M-03", "galled")
    end_pullback(folder, "Rig-40")
    tomorrow = pullback_view(folder, "Rig-40").tomorrow
    assert tomorrow is not None
    # Twelve rods in rows of four, by hand: 3 and 11 stay out, what lies behind them closes up.
    assert [[rod.name for rod in row.rods] for row in tomorrow.rows] == [
        ["M-01", "M-02", "M-04", "M-05"],
        ["M-06", "M-07", "M-08", "M-09"],
        ["M-10", "M-12"],
    ]
    was = {rod.name: rod.before for row in tomorrow.rows for rod in row.rods}
    assert (was["M-02"], was["M-05"], was["M-12"]) == (None, (2, 1), (3, 4))
    assert dict(tomorrow.aside) == {
        "M-03": "galled, seen at the pullback of B1", "M-11": "nick",
    }  # fmt: skip


def test_an_order_nobody_knows_gives_no_places(tmp_path: Path) -> None:
    loose = [*RIG[:-1], ("load", {"rig": "Rig-40", "things": "S1", "how": "set only"})]
    tell(tmp_path, (*loose, *BORE))
    start_pullback(tmp_path, "Rig-40", "RM-8")
    end_pullback(tmp_path, "Rig-40")
    view = pullback_view(tmp_path, "Rig-40")
    assert (view.tomorrow, len(view.rods)) == (None, 12)
