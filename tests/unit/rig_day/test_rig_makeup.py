"""Make-up at hand: a window or nothing, the gauge from the rig's own table alone."""

from __future__ import annotations

from pathlib import Path

import pytest
from rig_day_book import BORE, RIG, kept, tell

from book_builder import ROD_TYPE
from rodhand.book.rig.gauge_table import gauge_shows
from rodhand.book.rig.rig_makeup import MakeupAtHand, makeup_at_hand, tell_compound
from rodhand.book.yard.rod_verdict import verdict_view
from rodhand.faults import BadInputError
from rodhand.record.journal import Journal
from rodhand.units import Figure

FOOT_POUND = 1.3558179483  # N m, from the international foot and the pound of force
MAKERS = 4200 * FOOT_POUND


def keys(view: MakeupAtHand) -> list[str]:
    return [each.key.removeprefix("rig_makeup.") for each in view.lead]


def point(bar: float, torque: float, gear: str = "low", **more: str) -> tuple[str, dict[str, str]]:
    return ("gauge-table", {"rig": "Rig-40", "gear": gear, "pressure_bar": f"{bar:g}",
                            "torque_Nm": f"{torque:g}", **more})  # fmt: skip


def shown(folder: Path, torque: float) -> list[tuple[str, float | None, str]]:
    with Journal.open(folder, write=False) as journal:
        found = gauge_shows(journal.book(), "rig-40", torque)
    return [
        (each.gear, None if each.pressure is None else round(each.pressure / 1e5, 6), each.why)
        for each in found
    ]


def test_the_makers_figure_is_set_with_its_window(folder: Path) -> None:
    view = makeup_at_hand(folder, "Rig-40")
    assert keys(view) == ["set_maker", "low", "highest_unknown"]
    assert view.figures["torque"].value == pytest.approx(MAKERS)
    assert view.figures["low"].value == pytest.approx(0.8 * MAKERS)
    assert view.figures["highest"].value is None
    assert view.gauge == ()


def test_a_yield_torque_closes_the_window(tmp_path: Path) -> None:
    typed = {**ROD_TYPE, "joint_torsional_yield_ftlb": "7000"}
    tell(tmp_path, (("rod-type", typed), *RIG[1:], *BORE))
    view = makeup_at_hand(tmp_path, "Rig-40")
    assert keys(view) == ["set_maker", "low", "highest"]
    assert view.figures["highest"].value == pytest.approx(7000 * FOOT_POUND)


def test_an_empty_window_means_do_not_run(tmp_path: Path) -> None:
    typed = {**ROD_TYPE, "joint_torsional_yield_ftlb": "7000", "makeup_ftlb": "7100"}
    with pytest.raises(BadInputError):
        tell(tmp_path / "a", (("rod-type", typed), *RIG[1:], *BORE))  # refused when entered
    # A joint worn down to its counterbore carries nothing.
    sizes = {**SIZES, "joint_torsional_yield_ftlb": "4300"}
    tell(tmp_path / "b", (("rod-type", {**ROD_TYPE, **sizes}), *RIG[1:], *BORE))
    assert makeup_at_hand(tmp_path / "b", "Rig-40").run
    worn = {"things": "M-07", "end": "pin", "item": "joint-od", "found": "worn",
            "reading_in": "2.21", "gauge_error_in": "0.02"}  # fmt: skip
    tell(tmp_path / "b", [("check", worn)])
    view = makeup_at_hand(tmp_path / "b", "Rig-40")
    assert keys(view)[0] == "nothing"
    assert not view.run
    assert view.figures["torque"].value is None


def test_without_a_figure_and_sizes_no_torque_is_printed(tmp_path: Path) -> None:
    bare = {key: text for key, text in ROD_TYPE.items() if key != "makeup_ftlb"}
    tell(tmp_path, (("rod-type", bare), *RIG[1:], *BORE, point(100, 4000)))
    view = makeup_at_hand(tmp_path, "Rig-40")
    assert keys(view)[0] == "nothing"
    assert "measure" in keys(view)
    assert all(figure.value is None for figure in view.figures.values())
    assert view.gauge == ()


def test_a_measured_joint_counts_before_a_new_one(folder: Path) -> None:
    look = {"end": "box", "item": "joint-od", "found": "sound"}
    tell(folder, [("check", {**look, "things": "M-02", "reading_in": "2.5"}),
                  ("check", {**look, "things": "M-08", "reading_in": "2.70",
                             "second_reading_in": "2.69"})])  # fmt: skip
    view = makeup_at_hand(folder, "Rig-40")  # the joint between rods 7 and 8
    assert keys(view)[-2:] == ["measured", "worn_not_known"]
    assert view.lead[-2].figures()[0].value == pytest.approx(2.69 * 0.0254)


SIZES = {"pitch_diameter_in": "2.0", "lead_in": "0.25", "pin_length_in": "2.5",
         "counterbore_in": "2.2", "root_truncation_in": "0.02", "taper_in_per_ft": "2",
         "half_angle_deg": "30", "shoulders": "single"}  # fmt: skip


def test_wear_lowers_the_makers_figure_as_on_the_verdict_page(tmp_path: Path) -> None:
    tell(tmp_path, (("rod-type", {**ROD_TYPE, **SIZES}), *RIG[1:], *BORE))
    worn = {"things": "M-07", "end": "pin", "item": "joint-od", "found": "worn",
            "reading_in": "2.60", "gauge_error_in": "0.01"}  # fmt: skip
    tell(tmp_path, [("check", worn)])
    view = makeup_at_hand(tmp_path, "Rig-40")
    assert keys(view)[0] == "set_worn"
    most = verdict_view(tmp_path, "M-07").makeup[0].values["most"]
    assert isinstance(most, Figure)
    assert view.figures["torque"].value == pytest.approx(most.value)
    assert (view.figures["torque"].value or 0.0) < MAKERS


def test_a_worn_joint_of_unknown_thread_is_told(folder: Path) -> None:
    look = {"end": "box", "item": "joint-od", "found": "sound", "things": "M-08"}
    tell(folder, [("check", {**look, "reading_in": "2.60"})])
    assert keys(makeup_at_hand(folder, "Rig-40"))[-1] == "worn_not_known"


@pytest.mark.parametrize(
    ("torque", "bar", "why"),
    [(4000, 100, ""), (5000, 125, ""), (6000, 150, ""), (3999, None, "outside"),
     (6001, None, "outside")],
)  # fmt: skip
def test_the_gauge_is_read_between_rows_and_never_beyond(
    folder: Path, torque: float, bar: float | None, why: str
) -> None:
    assert shown(folder, torque) == []
    tell(folder, [point(100, 4000), point(150, 6000)])
    assert shown(folder, torque) == [("low", bar, why)]


def test_each_gear_and_circuit_has_its_own_table(folder: Path) -> None:
    tell(folder, [point(100, 4000), point(150, 6000), point(200, 5000, "high"),
                  point(60, 5000, circuit="break-out")])  # fmt: skip
    assert shown(folder, 5000) == [("low", 125, ""), ("high", 200, ""), ("low", 60, "")]


def test_a_row_entered_again_replaces_the_one_before(folder: Path) -> None:
    tell(folder, [point(100, 4000), point(150, 6000)])
    tell(folder, [point(150, 5000)], "2025-10-01")
    assert shown(folder, 4500) == [("low", 125, "")]


def test_a_table_that_does_not_rise_gives_no_reading(folder: Path) -> None:
    tell(folder, [point(100, 4000), point(150, 3900)])
    assert shown(folder, 4000) == [("low", None, "disorder")]


def test_rows_from_before_a_gauge_was_found_off_are_not_used(folder: Path) -> None:
    tell(folder, [point(100, 4000), point(150, 6000)], "2025-09-01")
    off = {"rig": "Rig-40", "gauge": "G1", "shown_Nm": "5000", "reference_Nm": "4000"}
    tell(folder, [("comparison", off)], "2025-09-05")
    assert shown(folder, 5000) == [("low", None, "off")]
    tell(folder, [point(110, 4000), point(165, 6000)], "2025-09-06")
    assert shown(folder, 5000) == [("low", 137.5, "")]


def test_compound_is_said_in_one_press_and_of_this_joint(folder: Path) -> None:
    assert makeup_at_hand(folder, "Rig-40").said.compound_on == ""
    tell_compound(folder, "Rig-40", "no")
    assert makeup_at_hand(folder, "Rig-40").said.compound_on == "no"
    tell_compound(folder, "Rig-40", "yes")
    view = makeup_at_hand(folder, "Rig-40")
    assert view.said.compound_on == "yes"
    assert kept(folder)[-1] == (
        "makeup",
        {"bore": "B1", "pass": "pilot", "from_station": "7", "to_station": "7",
         "compound_on": "yes"},
    )  # fmt: skip
    tell(folder, [("reading", {"bore": "B1", "station": "8", "pitch_pct": "-2"})])
    assert makeup_at_hand(folder, "Rig-40").said.compound_on == ""  # the next joint
    with pytest.raises(BadInputError, match="entry_choice"):
        tell_compound(folder, "Rig-40", "perhaps")


def test_jaws_stay_clear_of_the_shoulder_on_the_thick_joint(folder: Path) -> None:
    jaws = makeup_at_hand(folder, "Rig-40").jaws
    told = {name: figure.value for name, figure in zip(("clear", "long"), jaws.figures(),
                                                       strict=True)}  # fmt: skip
    assert told == {"clear": 0.013, "long": 0.18}  # the rule's 13 mm, the rod type's 0.18 m
    tell(folder, [("setting", {"setting": "rule.jaw-bite.limit", "value": "200"})])
    assert makeup_at_hand(folder, "Rig-40").jaws.key == "rig_makeup.jaws_no_room"


def test_a_rig_that_turns_less_is_told(tmp_path: Path) -> None:
    weak = ("rig", {"rig": "Rig-40", "rod_type": "R-M", "max_torque_ftlb": "3000"})
    tell(tmp_path, (RIG[0], weak, *RIG[2:], *BORE))
    assert len(makeup_at_hand(tmp_path, "Rig-40").notes) == 1
