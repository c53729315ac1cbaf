"""Turning over seasons: by hand where all bores are alike, and the same on any chunks."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from fastapi.testclient import TestClient
from rig_day_book import RIG, tell

from rodhand.book.opening import open_assessment
from rodhand.book.order.turning import run, turning_view
from rodhand.book.order.turning_due import due_of
from rodhand.book.order.turning_memory import keep, kept, key_of
from rodhand.faults import BadInputError
from rodhand.units import Standing
from rodhand.wear.turning import POLICIES, SHARES, BoreToDrill, TurningCase, hazard
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

SLOPES = np.array([3.0, 4.7, 4.7, 4.7, 3.0])


def alike(places: tuple[float, ...], rods: int, row: int) -> TurningCase:
    """Bores all alike, 100 m and 10 h each, whose design damage by place is given."""
    design = np.outer(places, [1.0, 0.0, 0.0, 0.0, 0.0])
    bore = BoreToDrill(design, design / 2.5, 0.0, 100.0, 10.0)
    return TurningCase((bore,), rods, row, SLOPES, 0.0)


def test_metres_to_the_first_used_up_by_hand() -> None:
    """Four rods, the lead takes an eighth a bore and the others nothing.

    Same order: used up after 8 bores, 800 m. Lead rod or a row of one to the back: each leads
    every fourth bore, the first one its eighth time in bore 29. Two rods a row: it leads every
    second bore, its eighth time in bore 15. Planned is never worse than the even share.
    """
    found = run(alike((0.125, 0.0, 0.0, 0.0), 4, 2), 3)
    expected = {"as_it_lies": 800.0, "lead_moved": 2900.0, "rows_turned": 1500.0}
    for name, metres in expected.items():
        assert found.retire_metres[:, POLICIES.index(name)] == pytest.approx(metres)
    assert (found.retire_metres[:, POLICIES.index("planned")] >= 2500.0).all()


def test_shares_of_a_set_used_up_by_hand() -> None:
    """Four rods in two rows, the first two places take a quarter a bore, all bores alike, 100 m.

    Same order: two rods used up in bore 4, half the set at once and no more. Rows turned: row 1
    after bores 1, 3, 5, 7, row 2 after 2, 4, 6, 8: half the set at 700 m, all of it at 800 m, so
    within a quarter more than 700 m the whole set.
    """
    found = run(alike((0.25, 0.25, 0.0, 0.0), 4, 2), 2)
    turned, same = POLICIES.index("rows_turned"), POLICIES.index("as_it_lies")
    metres = dict(zip(SHARES, found.used_metres[0, turned], strict=True))
    assert (metres[0.0], metres[0.5], metres[0.75]) == (700.0, 700.0, 800.0)
    assert found.soon[0, turned] == 1.0
    assert found.soon[0, same] == 0.5


def test_buying_is_spread_by_rows_by_hand() -> None:
    """Two rows used up from 700 m on: one row each 350 m, which is three and a half bores."""
    case = alike((0.25, 0.25, 0.0, 0.0), 4, 2)
    due = due_of("R", run(case, 2), case, Standing.COMPUTED)
    assert due is not None
    assert due.told.key == "turning.due_at_once"
    told = [{name: each.value for name, each in row.figures.items()} for row in due.purchases]
    assert told == [
        {"at": 350.0, "bores": 3.5, "rods": 2.0, "used": 0.5},
        {"at": 700.0, "bores": 7.0, "rods": 2.0, "used": 1.0},
    ]


def test_page_says_that_it_works_and_then_tells_every_way(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing kept: the page says so and leads to itself worked out, in the language and units.

    A figure by every bar and one in the table below, of each way the page's twin tells.
    """
    monkeypatch.setenv("RODHAND_CACHE", str(tmp_path / "cache"))
    monkeypatch.setattr("rodhand.web.turning_pages.SEASONS_OF_PAGE", 2)
    tell(tmp_path / "b", RIG)
    client = TestClient(create_app(BookDesk(tmp_path / "b")), base_url="http://127.0.0.1:8420")
    first = client.get("/turning/Rig-40?units=us").text
    assert '<meta http-equiv="refresh" content="0; url=?units=us&amp;work=1">' in first
    assert "<progress" in first
    assert "data-key" not in first
    worked = client.get("/turning/Rig-40?units=us&work=1").text
    assert "<progress" not in worked
    page = client.get("/turning/Rig-40").text
    view = client.get("/turning/Rig-40.json").json()["view"]
    for row in view["rows"]:
        assert page.count(f'data-key="turning.Rig-40.{row["how"]}.retire"') == 2
    assert page.count("<svg xmlns") == 1
    assert client.get("/turning/Rig-41").status_code == 404


def test_chunks_and_processes_change_nothing() -> None:
    case = alike((0.05, 0.02, 0.01, 0.0), 4, 1)
    one, two = run(case, 60), run(case, 60, processes=2)
    assert one.digest == two.digest
    assert run(case, 60, seed=2).digest != one.digest


def test_hazard_is_the_slope_of_the_chance() -> None:
    """Against the difference of `rodhand.wear.chance.section_chance` over a small step."""
    from rodhand.wear.chance import section_chance

    damage, step = np.full((1, 5), 0.2), 1e-5
    for k, slope in enumerate(SLOPES):
        expected = section_chance(0.2, step, slope) / step
        assert hazard(damage, SLOPES)[0, k] == pytest.approx(expected, rel=1e-3)


def test_seasons_kept_are_taken_and_other_content_is_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Numbers read back are those kept; another set, seed or count has nothing kept."""
    monkeypatch.setenv("RODHAND_CACHE", str(tmp_path))
    case = alike((0.5, 0.0), 2, 1)
    key, found = key_of(case, 3, 1), run(case, 3)
    assert kept(key) is None
    keep(key, found)
    read = kept(key)
    assert read is not None
    assert read.digest == found.digest
    others = (key_of(case, 4, 1), key_of(case, 3, 2), key_of(alike((0.4, 0.0), 2, 1), 3, 1))
    assert [kept(each) for each in others] == [None] * 3
    (tmp_path / f"{key}.npz").write_bytes(b"spoiled")
    assert kept(key) is None


def test_rig_without_own_bores_gets_invented_ones(tmp_path: Path) -> None:
    tell(tmp_path / "b", RIG)
    view = turning_view(open_assessment(tmp_path / "b"), "Rig-40", 2)
    assert (view.state, view.own, len(view.rows)) == ("known", 0, 5)
    with pytest.raises(BadInputError):
        turning_view(open_assessment(tmp_path / "b"), "Rig-40", 0)
