"""Over-steer, over-torque and overload told apart, against hand arithmetic."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from test_shoulders import DAY, FULL, SEATED, rows_of, worked

import rodhand.book.work.overloads as made_overloads
from book_builder import YARD, Row, log_rows
from rodhand.book.bore.bore_page import bore_view
from rodhand.book.bore.limit_events import limit_events, limit_facts, limits_view
from rodhand.book.tasks.standings import standing_of_thing
from rodhand.book.tasks.week import tasks_of
from rodhand.book.twin import twin
from rodhand.book.work.assess import Assessment
from rodhand.book.work.happenings import over_steers, spikes
from rodhand.book.work.overloads import Overload, overloads
from rodhand.book.work.tight_makeups import tight_makeups
from rodhand.record.journal import Journal
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk
from rodhand.words import LANGUAGES, say

sys.path.insert(0, str(Path(__file__).parents[1] / "web"))
from web_reading import DIGIT_WITH_UNIT, differences, read

KN, FTLB = 1e3, 1.3558179
LOAD: Row = ("load", {"rig": "Rig-40", "things": "M1-01..M1-40", "how": "by row"}, "2025-05-01")
BORE: Row = ("bore", {"bore": "A", "rig": "Rig-40"}, DAY)


def level(pitches: list[float] | None = None, **gauge: str) -> list[Row]:
    """Ten rods of 10 ft, level unless pitches are given, with the same gauge on each row."""
    rows = [{"station": str(n), "length_ft": "10", "pitch_pct": str(pitch), "rpm": "100",
             "rotating_min": "3", **gauge}
            for n, pitch in enumerate(pitches or [0.0] * 10, 1)]  # fmt: skip
    return [LOAD, BORE, *log_rows("A", rows)]


def back(**said: str) -> Row:
    return ("pass", {"bore": "A", "pass": "pullback", "what": "pullback", "turns": "900", **said},
            DAY)  # fmt: skip


def one(assessment: Assessment) -> Overload:
    (found,) = overloads(assessment)
    return found


def kinds(assessment: Assessment) -> list[str]:
    return [event.kind for event in limit_events(assessment)]


def thing(assessment: Assessment, name: str) -> str:
    return next(key for key, each in assessment.book.things.items() if each.name == name)


def test_a_bend_past_the_makers_limit_alone_is_an_over_steer_and_no_overload() -> None:
    """10 % in 10 ft: R = 30.6 m, limit 44.2 m, yield at 6.67 m (E r/Sy, hand)."""
    bent = worked(level([0, 0, 0, 10, 10, 10, 10, 10, 10, 10]))
    assert over_steers(bent)
    assert overloads(bent) == ()
    assert kinds(bent) == ["over_steer"]


def test_a_bend_near_yield_is_an_overload_too() -> None:
    """40 % in 10 ft: atan 0.4 = 0.3805 rad, R = 8.01 m; 206e9 x 0.0301625 / 930.8e6 = 6.675 m;
    6.675/8.01 = 0.833 of yield, inside 1.5 times the yield radius."""
    bent = worked(level([0, 0, 0, 0, 40, 40, 40, 40, 40, 40]))
    found = one(bent)
    assert (found.cause, found.verdict, found.station) == ("bend", "over", 5)
    assert found.share == pytest.approx(0.833, rel=5e-3)
    assert kinds(bent) == ["overload", "over_steer"]
    assert standing_of_thing(bent, thing(bent, "M1-03"))[0] == "set aside"


def test_pull_past_the_tube_s_yield_is_an_overload_at_every_place() -> None:
    """1,200 kN over 1,188.9 mm2 is 1,009.3 MPa, 1.0844 of 930.8 MPa; level, torque unknown."""
    pulled = worked([*level(), back(pull_kN="1200")])
    found = {each.cause: each for each in overloads(pulled)}
    assert set(found) == {"tube", "joint"}
    # and what bend the readings of a level hole leave open, a few percent
    assert 1.0843 <= found["tube"].share < 1.16
    assert found["tube"].pass_name == "pullback"
    assert len(found["tube"].things) == 10
    # made up to 0.6, below T4: the shoulder opens and the pin alone carries it, 827.37e6 x
    # 990.8e-6 = 819.8 kN
    assert found["joint"].share == pytest.approx(1200 / 819.8, rel=5e-3)
    gentle = worked([*level(), back(pull_kN="600")])
    assert overloads(gentle) == ()


def test_a_torque_past_make_up_is_an_over_torque_and_past_yield_an_overload_as_well() -> None:
    over = worked(level(torque_Nm=f"{5000 * FTLB:.0f}"))
    assert spikes(over)
    assert overloads(over) == ()
    assert set(kinds(over)) == {"over_torque"}
    past = worked(level(torque_Nm=f"{7500 * FTLB:.0f}"))
    causes = {each.cause for each in overloads(past)}
    assert causes == {"torque"}
    assert overloads(past)[0].share == pytest.approx(7500 / 7000, rel=1e-3)
    assert {"overload", "over_torque"} == set(kinds(past))


@pytest.mark.parametrize(("share", "tight"), [(1.0, False), (1.04, False), (1.2, True)])
def test_joints_made_up_past_make_up_torque(share: float, tight: bool) -> None:
    found = tight_makeups(worked(rows_of({3: share, 4: 0.95})))
    assert bool(found) is tight
    if tight:
        (each,) = found
        assert each.stations == (3,)
        assert each.share == pytest.approx(1.2, rel=1e-3)
        assert len(each.things) == 2  # both members of that joint


def test_a_gauge_that_reads_high_takes_the_over_torque_away_and_a_low_one_makes_it() -> None:
    def with_gauge(share: float, shown: str, true: str) -> Assessment:
        looks: list[Row] = [
            ("comparison", {"rig": "Rig-40", "gauge": "make-up gauge", "shown_ftlb": each,
                            "reference_ftlb": real}, day)
            for each, real, day in (("4200", "4200", "2025-05-01"), (shown, true, "2025-06-03"))
        ]  # fmt: skip
        return worked([*rows_of({3: share}), *looks])

    assert tight_makeups(with_gauge(1.1, "4700", "4200")) == ()  # 1.1 x 0.894 = 0.983
    (low,) = tight_makeups(with_gauge(1.0, "4200", "4700"))
    assert low.share == pytest.approx(4700 / 4200, rel=1e-3)
    assert FULL == 4200.0


def test_what_the_crew_tells_without_a_number_has_its_kind() -> None:
    told = worked(
        [
            *level(),
            ("event", {"bore": "A", "station": "6", "what": "jerk"}, DAY),
            ("event", {"bore": "A", "station": "7", "what": "torque spike"}, DAY),
        ]
    )
    assert kinds(told) == ["overload", "over_torque"]
    facts = [fact.key for fact in limit_facts(told, thing(told, "M1-02"))]
    assert facts == ["thing.limit.overload", "thing.limit.over_torque"]


def test_a_measured_bow_proves_an_overload() -> None:
    look: Row = ("check", {"things": "M1-07", "item": "straightness", "found": "bow"}, "2025-06-03")
    bowed = worked([*level(), look])
    (event,) = limit_events(bowed)
    assert event.kind == "overload"
    assert event.verdict.what.key == "verdict.overload.what_bow"
    radius = event.verdict.why.values["radius"]
    assert not isinstance(radius, str)
    assert radius.value == pytest.approx(6.675, abs=0.005)  # E r/Sy, hand


def test_the_quick_look_misses_no_overload(monkeypatch: pytest.MonkeyPatch) -> None:
    cases = [level(torque_Nm="6000", thrust_kN="300"), [*level(), back(pull_kN="900")],
             [*level([-20, -10, 0, 0, 0, 0, 0, 0, 0, 0], torque_Nm="9000", thrust_kN="40")],
             [*level(thrust_kN="1300")], [*level(torque_Nm="2000", thrust_kN="20")]]  # fmt: skip
    for rows in cases:
        assessment = worked(rows)
        quick = [(each.cause, each.station) for each in overloads(assessment)]
        overloads.cache_clear()
        with monkeypatch.context() as patch:
            patch.setattr(made_overloads, "_may_yield", lambda *_: True)
            whole = [(each.cause, each.station) for each in overloads(assessment)]
        overloads.cache_clear()
        assert quick == whole


def test_standing_week_and_bore_tell_an_overload() -> None:
    pulled = worked([*level(), back(pull_kN="1200")])
    key = thing(pulled, "M1-02")
    standing, reasons = standing_of_thing(pulled, key)
    assert standing == "set aside"
    assert "overload" in [reason.code for reason in reasons]
    assert tasks_of(pulled)[0].verdict.what.key == "verdict.overload.what"
    keys = [verdict.what.key for verdict in bore_view(pulled, "A").verdicts]
    assert keys.count("verdict.overload.what") == 2
    looked: Row = ("check", {"things": "M1-02", "item": "full-look", "found": "ok"}, "2025-06-04")
    after = worked([*level(), back(pull_kN="1200"), looked])
    rows = limits_view(after).groups[0].rows
    assert "M1-02" in rows[0].things
    assert "M1-02" not in rows[0].left


CODES = (
    "over_torque", "under_torque", "shoulder_open", "over_steer", "head_bend", "overload",
    "made_up_over", "jerk", "torque_spike", "weep", "pressure_drop", "break", "no_torque",
    "fished", "worked_elsewhere", "still_away",
)  # fmt: skip


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("code", CODES)
def test_every_happening_has_its_words(code: str, language: str) -> None:
    assert say(f"rod_verdict.reason.{code}", language)
    assert say(f"verdict.happened.{code}.do", language)


ROWS: list[Row] = [
    ("rod-type", SEATED, "2025-01-01"),
    *YARD[1:],
    *level([0, 0, 0, 10, 10, 10, 10, 10, 10, 10], torque_Nm="6500", thrust_kN="10"),
    back(pull_kN="1200"),
    ("event", {"bore": "A", "station": "6", "what": "jerk"}, DAY),
]


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    folder = tmp_path_factory.mktemp("limits") / "book"
    with Journal.open(folder) as journal:
        for kind, payload, *day in ROWS:
            happened = day[0] if day else DAY
            journal.write(kind, payload, happened, "p1", "+00:00", f"{happened}T12:00:00+00:00")
    return TestClient(create_app(BookDesk(folder, "2025-06-06")), base_url="http://127.0.0.1:8420")


@pytest.mark.parametrize("system", ["metric", "us"])
def test_page_and_twin_tell_one_thing(client: TestClient, system: str) -> None:
    client.cookies.set("units", system)
    page = read(client.get("/limits").text)
    figures = client.get("/limits.json").json()["figures"]
    assert len(page.figures) > 8
    assert differences(page, figures, system) == []
    assert not DIGIT_WITH_UNIT.search(page.text)


def test_the_page_has_all_three_and_is_linked(client: TestClient) -> None:
    text = client.get("/limits").text
    for kind in ("overload", "over_torque", "over_steer"):
        assert f'id="{kind}"' in text
    assert "None on record" not in text
    for path in ("/", "/bore/A"):
        assert '/limits"' in client.get(path).text
    rod = client.get("/thing/M1-02").text
    for kind in ("Overload on record", "Over-torque on record", "Over-steer on record"):
        assert kind in rod
    spanish = client.get("/limits", headers={"Accept-Language": "es"}).text
    assert "Sobrecarga" in spanish
    assert client.get("/check/M1-02").status_code == 200


def test_an_empty_book_has_none_of_the_three() -> None:
    view = limits_view(worked(level()))
    assert [len(group.rows) for group in view.groups] == [0, 0, 0]
    assert twin(view)["figures"]
