"""The make-up use case and its command."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from book_builder import entries_of
from rodhand.book.rig.makeup import makeup
from rodhand.book.work.tables import find_connection
from rodhand.cli.makeup import makeup as command
from rodhand.faults import BadInputError
from rodhand.record.journal import Journal
from rodhand.units import FOOT_POUND, INCH, POUND_FORCE, Standing
from rodhand.words import render_faults

OD, BORE = 4.75 * INCH, 2.6875 * INCH

app = typer.Typer(add_completion=False, pretty_exceptions_enable=False)
app.command()(command)


def run(*words: str) -> tuple[int, str]:
    result = CliRunner().invoke(app, list(words))
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result.exit_code, result.output


def read(*words: str) -> dict[str, object]:
    return json.loads(run(*words, "--json")[1])


def fault_codes(*words: str) -> list[str]:
    with pytest.raises(BadInputError) as caught:
        run(*words)
    assert render_faults(caught.value)
    return [fault.code for fault in caught.value.faults]


class TestFixture:
    """DEFINITIONS, make-up: NC38 4-3/4 x 2-11/16 in, computed outside the product."""

    @pytest.mark.parametrize(
        ("capped", "torque", "torsional_yield"), [(True, 10_843, 18_071), (False, 10_864, 18_107)]
    )
    def test_torque_and_yields(self, capped: bool, torque: float, torsional_yield: float) -> None:
        answer = makeup("NC38", OD, BORE, capped=capped)
        assert answer.torque is not None
        assert answer.computed is not None
        assert answer.torque / FOOT_POUND == pytest.approx(torque, abs=0.5)  # printed to 1 ft-lb
        assert answer.torsional_yield is not None
        assert answer.torsional_yield / FOOT_POUND == pytest.approx(torsional_yield, abs=0.5)
        assert answer.computed.tensile_yield / POUND_FORCE == pytest.approx(572_945, abs=0.5)
        assert answer.computed.weaker == "pin"

    def test_command_gives_the_same_in_si(self) -> None:
        told = read("NC38", "--od-in", "4.75", "--bore-in", "2.6875")
        assert told["makeup_torque_Nm"] == pytest.approx(10_843 * FOOT_POUND, abs=1.0)
        assert told["tensile_yield_N"] == pytest.approx(572_945 * POUND_FORCE, rel=1e-6)
        assert told["weaker"] == "pin"
        assert told["maker_torque_Nm"] is None

    def test_millimetres_and_inches_agree(self) -> None:
        metric = read("NC38", "--od-mm", "120.65", "--bore-mm", "68.2625")
        inches = read("NC38", "--od-in", "4.75", "--bore-in", "2.6875")
        assert metric["makeup_torque_Nm"] == pytest.approx(inches["makeup_torque_Nm"])

    def test_uncapped_switch(self) -> None:
        told = read("NC38", "--od-in", "4.75", "--bore-in", "2.6875", "--rs-uncapped")
        assert told["makeup_torque_Nm"] == pytest.approx(10_864 * FOOT_POUND, abs=1.0)

    def test_screen_in_us_units(self) -> None:
        code, text = run("nc 38", "--od-in", "4.75", "--bore-in", "2.6875", "--units", "us")
        assert code == 0
        assert "10,843\u00a0ft-lb" in text
        assert "N·m" not in text  # one screen, one system
        assert "govern" in text  # the caution stands beside the advice


class TestFrictionFactor:
    def test_multiplies_make_up_only(self) -> None:
        plain, slick = makeup("NC38", OD, BORE), makeup("NC38", OD, BORE, friction_factor=1.15)
        assert plain.torque is not None
        assert slick.torque == pytest.approx(1.15 * plain.torque)
        assert slick.torsional_yield == plain.torsional_yield

    def test_share_of_yield_when_the_factor_is_wrong(self) -> None:
        # Reference page on joints, section 1: 73, 66, 53 and 49 % of yield, derived there.
        computed = makeup("NC38", OD, BORE).computed
        assert computed is not None
        shares = [round(100 * share) for share in computed.yield_shares.values()]
        assert shares == [73, 66, 53, 49]

    @pytest.mark.parametrize(("factor", "warned"), [(0.79, True), (0.8, False), (1.26, True)])
    def test_outside_the_published_band_is_warned(self, factor: float, warned: bool) -> None:
        assert (
            "factor_outside" in makeup("NC38", OD, BORE, friction_factor=factor).notes
        ) is warned

    def test_so_high_that_nothing_is_left(self) -> None:
        # 0.6 x 1.4 of yield torque is past what a factor of 0.8 allows (0.82): empty window.
        assert makeup("NC38", OD, BORE, friction_factor=1.4).do_not_run


class TestMaker:
    def test_governs_and_the_computed_one_stands_beside(self) -> None:
        told = read("NC38", "--od-in", "4.75", "--bore-in", "2.6875", "--maker-torque-ftlb", "9900")
        assert told["makeup_torque_Nm"] == pytest.approx(9900 * FOOT_POUND)
        assert told["makeup_from"] == "maker"
        assert told["computed_makeup_torque_Nm"] == pytest.approx(10_843 * FOOT_POUND, abs=1.0)
        assert told["warnings"] == []  # 9.5 % apart

    def test_more_than_ten_percent_apart_is_told(self) -> None:
        assert "apart" in makeup("NC38", OD, BORE, maker_torque=9_700 * FOOT_POUND).notes

    def test_rod_type_needs_no_sizes(self) -> None:
        answer = makeup("demo-mid")
        assert answer.torque == pytest.approx(4200 * FOOT_POUND)  # scenario's invented figure
        assert answer.torsional_yield == pytest.approx(7000 * FOOT_POUND)
        assert {"invented", "apart", "second_seat_not_counted"} <= set(answer.notes)
        assert run("demo-mid")[0] == 0

    def test_trap_yield_torque_given_as_make_up(self) -> None:
        # A public sheet lists 18,200 ft-lb as NC38 working torque: that is the yield torque.
        code, text = run(
            "NC38", "--od-in", "4.75", "--bore-in", "2.6875", "--maker-torque-ftlb", "18200"
        )
        assert code == 1
        assert "Do not run this joint" in text
        told = read("NC38", "--od-in", "4.75", "--bore-in", "2.6875", "--maker-torque-Nm", "24676")
        assert told["makeup_torque_Nm"] is None
        assert told["do_not_run"] is True

    def test_worn_rod_joint(self) -> None:
        # The box's wall falls to a sixth: a third of the maker's yield is below his make-up.
        worn = makeup("demo-small", od=0.040)
        assert worn.do_not_run
        assert worn.torque is None
        assert not makeup("demo-small").do_not_run

    def test_standing_of_the_figures(self) -> None:
        figures = {figure.key: figure for figure in makeup("demo-mid").figures()}
        assert figures["makeup.torque"].standing is Standing.ASSUMED
        assert figures["makeup.pull_left"].value is None
        assert figures["makeup.tensile_yield"].standing is Standing.COMPUTED


class TestRefused:
    def test_no_sizes_no_torque(self) -> None:
        assert fault_codes("NC38") == ["makeup_no_sizes"]
        assert fault_codes("NC38", "--od-in", "4.75") == ["makeup_no_sizes"]

    def test_second_seat_without_its_sizes(self, tmp_path: Path) -> None:
        file = tmp_path / "rods.toml"
        sizes = """tube_od_in = 2.375\nwall_in = 0.28\nlength_ft = 10\njoint_od_in = 2.75
        joint_bore_in = 1.0\njoint_length_m = 0.18\nyield_ksi = 135\nlimit_radius_ft = 145
        shoulders = "double"\npitch_diameter_in = 1.875\ntaper_in_per_ft = 1.5\nlead_in = 0.25
        pin_length_in = 2.25\nroot_truncation_in = 0.038\ncounterbore_mm = 53\n"""
        file.write_text(sizes, encoding="utf-8")
        assert fault_codes(str(file)) == ["makeup_no_sizes"]
        file.write_text(sizes + "nose_od_mm = 40\nnose_id_mm = 26\n", encoding="utf-8")
        told = read(str(file))
        assert told["second_seat"] == "counted"
        assert told["makeup_torque_Nm"] == pytest.approx(
            0.6 * float(str(told["torsional_yield_Nm"]))
        )

    @pytest.mark.parametrize(
        ("words", "codes"),
        [
            (("NC99", "--od-in", "4", "--bore-in", "2"), ["makeup_joint_not_known"]),
            (("NC38", "--od-in", "4", "--bore-in", "2"), ["makeup_no_seat_left"]),
            (("NC38", "--od-in", "5", "--bore-in", "3.7"), ["makeup_no_pin_left"]),
            (
                ("NC38", "--od-in", "4", "--bore-in", "3.7"),
                ["makeup_no_seat_left", "makeup_no_pin_left"],
            ),
            (("NC38", "--od-in", "4.75", "--od-mm", "120"), ["field_doubled"]),
            (
                ("NC38", "--od-in", "120", "--bore-in", "nan", "--friction-factor", "0"),
                ["field_out_of_range", "field_not_a_number", "field_out_of_range"],
            ),
        ],
    )
    def test_every_fault_at_once(self, words: tuple[str, ...], codes: list[str]) -> None:
        assert fault_codes(*words) == codes


def test_a_third_system_of_units_is_bad_usage() -> None:
    assert run("demo-mid", "--units", "imperial")[0] == 2


@pytest.mark.parametrize("name", ["NC38", "nc38", "NC 38", "nc-38", "3-1/2 IF", "3 1/2-if"])
def test_names_are_read_as_people_write_them(name: str) -> None:
    connection = find_connection(name)
    assert connection is not None
    assert connection.name == "NC38"


def test_a_thread_of_no_table_is_not_guessed() -> None:
    assert find_connection("NC3") is None
    assert find_connection("3-1/2") is None


def test_memory_marked_sizes_are_said() -> None:
    assert "from_memory" in makeup("2-3/8 REG", 3.125 * INCH, 1 * INCH).notes
    assert "from_memory" not in makeup("NC38", OD, BORE).notes


class TestRigOfTheBook:
    """NC38 at factor 1 wants 10,843 ft-lb (`TestFixture`); the rig's compound multiplies it."""

    SIZES = ("NC38", "--od-in", "4.75", "--bore-in", "2.6875")

    @pytest.fixture
    def at(self, tmp_path: Path) -> tuple[str, ...]:
        rows = [
            ("rig", {"rig": "Rig-9", "max_torque_ftlb": "12000"}, "2025-01-01"),
            ("compound", {"rig": "Rig-9", "compound": "copper", "friction_factor": "1.15"},
             "2025-03-01"),
            ("compound", {"rig": "Rig-9", "compound": "zinc", "friction_factor": "0.9"},
             "2025-02-01"),
            ("compound", {"rig": "Rig-9", "compound": "later", "friction_factor": "0.8"},
             "2999-01-01"),
            ("rig", {"rig": "Rig-0"}, "2025-01-01"),
        ]  # fmt: skip
        with Journal.open(tmp_path / "book") as journal:
            journal.append(entries_of(rows))
        return "--book", str(tmp_path / "book"), "--rig"

    def test_the_compound_in_use_today_counts_and_the_rig_turns_too_little(
        self, at: tuple[str, ...]
    ) -> None:
        code, text = run(*self.SIZES, *at, "rig-9", "--units", "us")
        assert code == 1  # 1.15 x 10,843 = 12,469 ft-lb is above 12,000
        assert "copper since 2025-03-01, friction factor 1.15" in text
        assert "cannot make this joint up" in text
        told = read(*self.SIZES, *at, "Rig-9")
        assert told["rig_turns_less"] is True
        assert told["rig_max_torque_Nm"] == pytest.approx(12_000 * FOOT_POUND)
        # the joint's own window is not emptied by the rig
        assert told["makeup_torque_Nm"] == pytest.approx(1.15 * 10_843 * FOOT_POUND, abs=1.0)
        assert told["do_not_run"] is False

    def test_the_own_option_comes_first(self, at: tuple[str, ...]) -> None:
        code, text = run(*self.SIZES, *at, "Rig-9", "--friction-factor", "1.0", "--units", "us")
        assert code == 0
        assert "10,843\u00a0ft-lb" in text
        assert "counts before that of the book" in text

    def test_what_is_not_entered_is_said(self, at: tuple[str, ...]) -> None:
        code, text = run(*self.SIZES, *at, "Rig-0")
        assert code == 0
        assert "No compound is entered for Rig-0; friction factor 1." in text
        assert "is not entered" in text
        assert fault_codes(*self.SIZES, *at, "Rig-8") == ["makeup_rig_not_known"]
