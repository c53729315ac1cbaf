"""Force and torque of a bore as its page shows them, against hand arithmetic on a level hole."""

from __future__ import annotations

import math

import numpy as np
import pytest

from book_builder import ROD_TYPE, YARD, Row, build_book, log_rows
from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.bore.forces import ForcesView, PassRow, forces_view
from rodhand.book.twin import twin
from rodhand.book.work.assess import assess
from rodhand.book.work.force_places import Limits, Loads, SteelBend, shares_of
from rodhand.book.work.force_work import strand_of
from rodhand.steel.rod_type import rod_type_from_fields
from rodhand.units import FOOT_POUND, Standing

DAY = "2025-06-01"
MAKEUP = 4200 * FOOT_POUND
RODS = 20
LENGTH = RODS * 3.048
SINGLE = {
    **ROD_TYPE, "makeup_ftlb": "2000", "shoulders": "single",
    "pitch_diameter_in": "1.875", "taper_in_per_ft": "1.5",
    "lead_in": "0.25", "pin_length_in": "2.25", "root_truncation_in": "0.038",
    "counterbore_mm": "53",
}  # fmt: skip


STRAIGHT = SteelBend((0.0,) * 3, (0.0,) * 3)


def bore(gauge: dict[str, str], pitches: list[str] | None = None, **about: str) -> list[Row]:
    """A level bore of 20 rods, every row with the same gauge readings."""
    rows = [
        {"station": str(n), "length_ft": "10", "pitch_pct": pitch, "rotating_min": "3",
         "rpm": "100", **gauge}
        for n, pitch in enumerate(pitches or ["0"] * RODS, 1)
    ]  # fmt: skip
    said: list[Row] = [("pass", {"bore": "A", "pass": "pilot", "what": "pilot", **about}, DAY)]
    return [
        ("bore", {"bore": "A", "rig": "Rig-40"}, DAY),
        *(said if about else []),
        *log_rows("A", rows, day=DAY),
    ]


def view_of(rows: list[Row], rod_type: dict[str, str] | None = None) -> ForcesView:
    yard = [("rod-type", rod_type or ROD_TYPE, "2025-01-01"), *YARD[1:]]
    return forces_view(assess(build_book([*yard, *rows], yard=False), "2025-06-06"), "a")


def pilot(rows: list[Row], rod_type: dict[str, str] | None = None) -> PassRow:
    return next(row for row in view_of(rows, rod_type).passes if row.name == "pilot")


def value(row: PassRow, name: str) -> float:
    found = row.figures[name].value
    assert found is not None
    return found


def free(station: int, motion: str, **shown: str) -> Row:
    payload = {"bore": "A", "station": str(station), "motion": motion, **shown}
    return ("free-reading", payload, DAY)


def test_torque_at_the_tool_is_the_gauge_less_the_string_s_own() -> None:
    row = pilot(bore({"torque_Nm": "1000"}))
    strand = strand_of(rod_type_from_fields(ROD_TYPE, "R-M"))
    own = 0.3 * strand.weight * LENGTH / 2 * strand.radius  # half the hole on the mean, mu 0.3
    assert value(row, "tool_torque") == pytest.approx(1000 - own, rel=0.02)
    low, high = row.figures["tool_torque"].low, row.figures["tool_torque"].high
    assert low is not None and high is not None and low < 1000 < high  # noqa: PT018
    assert row.figures["tool_force"].value is None


def test_friction_comes_back_from_free_readings() -> None:
    strand = strand_of(rod_type_from_fields(ROD_TYPE, "R-M"))
    rows = bore({"torque_Nm": "1000"})
    for station in (12, 14, 16, 18, 20):
        torque = 0.42 * strand.weight * station * 3.048 * strand.radius
        rows.append(free(station, "turning off bottom", torque_Nm=f"{torque:.2f}"))
    row = pilot(rows)
    assert value(row, "friction") == pytest.approx(0.42, rel=0.10)
    assert row.how.key == "forces.how.apart"
    assert sum(dot.free for dot in row.torque.dots) == 5


def test_margin_is_against_make_up_where_torque_governs() -> None:
    row = pilot(bore({"torque_Nm": "3000", "thrust_kN": "5"}))
    first = row.places[0]
    assert first.governs == "makeup"
    assert first.figures["margin"].value == pytest.approx(1 - 3000 / MAKEUP, abs=0.01)
    assert first.floors == ()
    last = row.places[-1].figures["torque"].value
    assert last is not None
    assert last < 3000  # friction between rig and place is taken off


def test_a_gauge_that_reads_high_is_put_right() -> None:
    rows = bore({"torque_Nm": "3000", "thrust_kN": "5"})
    looked = {"rig": "Rig-40", "gauge": "g", "shown_ftlb": "4700", "reference_ftlb": "4200"}
    row = pilot([*rows, ("comparison", looked, "2025-05-20")])
    torque = row.places[0].figures["torque"].value
    assert torque == pytest.approx(3000 * 4200 / 4700, rel=0.005)
    later = pilot([*rows, ("comparison", looked, "2025-06-04")])
    assert later.places[0].figures["torque"].value == pytest.approx(3000, rel=0.005)


def test_what_no_gauge_told_stays_unknown() -> None:
    torque_only = pilot(bore({"torque_Nm": "800"}))
    place = torque_only.places[0]
    assert place.figures["pull"].value is None
    assert "used_tube" in place.floors
    nothing = view_of(bore({})).passes
    assert [row.name for row in nothing] == ["pilot", "pullback"]
    for row in nothing:
        assert row.places == ()
        assert row.figures["tool_force"].value is None
        assert row.force.own_part
        assert row.torque.own_part
        assert row.how.key == "forces.how.none"


def test_thrust_is_minus_and_pull_is_plus() -> None:
    row = pilot(bore({"thrust_kN": "20"}))
    assert {dot.value for dot in row.force.dots} == {-20e3}
    assert row.places[0].figures["pull"].value == pytest.approx(-20e3, rel=0.02)
    back = bore({})
    rows = [{"station": str(n), "pull_kN": "30", "rotating_min": "6", "rpm": "80"}
            for n in range(1, RODS + 1)]  # fmt: skip
    pulled = view_of([*back, *log_rows("A", rows, "pullback", DAY)]).passes[-1]
    assert pulled.places[0].figures["pull"].value == pytest.approx(30e3, rel=0.02)


def test_bend_and_pressure_use_more_of_the_tube() -> None:
    gauge = {"torque_Nm": "500", "thrust_kN": "10"}
    straight = pilot(bore(gauge)).places[5].figures["used_tube"].value
    bent = pilot(bore(gauge, [str(3 * n) for n in range(RODS)])).places[5]
    used = bent.figures["used_tube"].value
    assert straight is not None
    assert used is not None
    # 3 % a rod: R = 101 m; E r / R x 1.11 stiff joints x 1.1 pilot over 931 MPa is 8 % (hand)
    by_hand = 206e9 * 0.0302 / 101.3 * 1.1 * 1.09 / 931e6
    assert used == pytest.approx(by_hand, rel=0.2)
    pressed = pilot(bore(gauge, mud_pressure_bar="100")).places[5].figures["used_tube"].value
    assert pressed is not None
    assert pressed > straight


def test_a_single_seat_has_its_envelope_and_its_opening() -> None:
    names = set(pilot(bore({"torque_Nm": "500", "pull_kN": "40"}), SINGLE).places[0].figures)
    assert {"used_envelope", "used_seat"} <= names
    untold = pilot(bore({"pull_kN": "40"}), {**SINGLE, "shoulders": "double"})
    assert "used_seat" not in untold.places[0].figures  # the joint's own yield is not entered
    keys = [each.key for each in view_of(bore({}), {**SINGLE, "shoulders": "double"}).warnings]
    assert "forces.warning.no_joint" in keys


def test_one_pull_for_the_pass_stands_whole_at_every_place() -> None:
    """60 kN over 1,188.9 mm2 of tube is 50.5 MPa, 5.4 % of 930.8 MPa; torque unknown: at least."""
    said: Row = ("pass", {"bore": "A", "pass": "pullback", "what": "pullback", "turns": "900",
                          "pull_kN": "60"}, DAY)  # fmt: skip
    back = view_of([*bore({}), said]).passes[-1]
    assert len(back.places) == RODS
    for place in back.places:
        assert place.figures["pull"].value == pytest.approx(60e3)
        used = place.figures["used_tube"].value
        assert used is not None
        assert 0.054 <= used < 0.09
        assert "used_tube" in place.floors
    assert "forces.note.pass_pull" in [note.key for note in back.notes]


def test_two_shoulders_are_counted_by_the_share_of_yield_as_assumed() -> None:
    """Preload by hand: 2,000 of 7,000 ft-lb, 827.37 MPa on 990.8 mm2 of pin: 234.2 kN. Level
    hole, 40 kN: the box side gives up 0.6350 of it, 25.4 kN: 0.1085 of the seat. Of the pin: arm
    stretched to 9,490.7 N m over 819.8 kN; (500 + 4.959e-3 x 40e3)/9,490.7 = 0.0736."""
    rod = {**SINGLE, "shoulders": "double", "joint_torsional_yield_ftlb": "7000"}
    gauge = {"torque_Nm": "500", "pull_kN": "40"}
    place = pilot(bore(gauge), rod).places[0].figures
    seat, envelope = place["used_seat"].value, place["used_envelope"].value
    assert seat is not None
    assert envelope is not None
    assert 0.0 < envelope < seat
    limits = Limits.of(rod_type_from_fields(rod, "R-M"))
    loads = Loads(np.full(1, 40e3), np.zeros(1), np.full(1, 500.0))
    straight = {s.check: s.best for s in shares_of(limits, loads, STRAIGHT, None)}
    assert straight["seat"] == pytest.approx(0.1085, rel=2e-3)
    assert straight["envelope"] == pytest.approx(0.0736, rel=5e-3)
    assert place["used_seat"].standing is Standing.ASSUMED
    assert place["used_tube"].standing is Standing.COMPUTED
    assert "forces.warning.by_yield" in [each.key for each in view_of(bore(gauge), rod).warnings]


def test_torque_line_of_two_shoulders_meets_the_maker_s_yield() -> None:
    """At the maker's 7,000 ft-lb without pull the weaker member yields: the whole envelope."""
    rod = {**SINGLE, "shoulders": "double", "joint_torsional_yield_ftlb": "7000"}
    limits = Limits.of(rod_type_from_fields(rod, "R-M"))
    loads = Loads(np.zeros(1), np.zeros(1), np.array([7000 * FOOT_POUND]))
    shares = {each.check: each.best for each in shares_of(limits, loads, STRAIGHT, None)}
    assert shares["envelope"] == pytest.approx(1.0)
    assert shares["makeup"] == pytest.approx(3.5)
    assert shares["seat"] == 0.0


def test_the_twin_holds_every_figure_once_and_no_bore_is_no_page() -> None:
    made = twin(view_of(bore({"torque_Nm": "500", "thrust_kN": "40"})))
    assert "forces.A.pilot.friction" in made["figures"]
    assert all(math.isfinite(each["value"]) for each in made["figures"].values() if each["value"])
    with pytest.raises(NoSuchBoreError):
        forces_view(assess(build_book([]), "2025-06-06"), "Z")
