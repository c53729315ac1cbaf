"""`rodhand makeup JOINT`: the torque for a joint as new or worn."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal, cast

import typer

from rodhand.cli.exit_codes import ExitCode

if TYPE_CHECKING:
    from rodhand.book.makeup import MakeupAnswer
    from rodhand.units import System

CAUTIONS = ("gauge", "hands", "manuals")


def makeup(
    joint: Annotated[
        str, typer.Argument(help="Connection (NC38, 3-1/2 IF), rod type, or rod type file.")
    ],
    od_in: Annotated[float | None, typer.Option(help="Outside diameter as measured, in.")] = None,
    od_mm: Annotated[float | None, typer.Option(help="Outside diameter as measured, mm.")] = None,
    bore_in: Annotated[float | None, typer.Option(help="Bore as measured, in.")] = None,
    bore_mm: Annotated[float | None, typer.Option(help="Bore as measured, mm.")] = None,
    counterbore_in: Annotated[
        float | None, typer.Option(help="Counterbore as measured, in.")
    ] = None,
    counterbore_mm: Annotated[
        float | None, typer.Option(help="Counterbore as measured, mm.")
    ] = None,
    friction_factor: Annotated[
        float, typer.Option(help="Friction factor from the compound's sheet.")
    ] = 1.0,
    rs_uncapped: Annotated[
        bool, typer.Option("--rs-uncapped", help="Do not cap the seat radius, as older tables.")
    ] = False,
    maker_torque_ftlb: Annotated[
        float | None,
        typer.Option("--maker-torque-ftlb", help="The maker's make-up torque, ft-lb."),
    ] = None,
    maker_torque_nm: Annotated[
        float | None, typer.Option("--maker-torque-Nm", help="The maker's make-up torque, N m.")
    ] = None,
    units: Annotated[str, typer.Option(help="metric or us.")] = "metric",
    json_: Annotated[bool, typer.Option("--json", help="Base SI as JSON.")] = False,
) -> None:
    """Make-up torque, yields and weaker member of a joint, new or worn, with the compound in use.

    The maker's figure is shown first. Without it and without sizes no torque is given.
    """
    import json

    from rodhand.book import makeup as use_case
    from rodhand.steel.fields import FieldReader

    typed = {
        "od_in": od_in,
        "od_mm": od_mm,
        "bore_in": bore_in,
        "bore_mm": bore_mm,
        "counterbore_in": counterbore_in,
        "counterbore_mm": counterbore_mm,
        "friction_factor": friction_factor,
        "maker_torque_ftlb": maker_torque_ftlb,
        "maker_torque_Nm": maker_torque_nm,
        "units": units,
    }
    reader = FieldReader(typed, joint)
    od = reader.number("od", "size", 0.015, 0.5)
    bore = reader.number("bore", "size", 0.003, 0.4)
    counterbore = reader.number("counterbore", "size", 0.01, 0.45)
    maker_torque = reader.number("maker_torque", "torque", 20.0, 5e5)
    factor = reader.plain("friction_factor", 0.3, 3.0)
    system = cast("System", reader.choice("units", ("metric", "us"), "metric"))
    reader.finish()
    assert factor is not None  # finish() has raised otherwise
    answer = use_case.makeup(joint, od, bore, counterbore, factor, not rs_uncapped, maker_torque)
    if json_:
        print(json.dumps(as_json(answer), indent=2, ensure_ascii=False))
    else:
        print("\n".join(as_lines(answer, system)))
    if answer.do_not_run:
        raise typer.Exit(int(ExitCode.OVER_LIMIT))


def as_json(answer: MakeupAnswer) -> dict[str, object]:
    """The answer in base SI with units in the keys; unknown is null."""
    from rodhand.words import say

    computed = answer.computed
    band = None if computed is None else computed.band
    shares = {} if computed is None else computed.yield_shares
    return {
        "joint": answer.joint,
        "od_m": answer.od,
        "bore_m": answer.bore,
        "counterbore_m": answer.counterbore,
        "friction_factor": answer.friction_factor,
        "rs_capped": answer.capped,
        "makeup_torque_Nm": answer.torque,
        "makeup_from": "computed, oilfield formula" if answer.maker_torque is None else "maker",
        "maker_torque_Nm": answer.maker_torque,
        "computed_makeup_torque_Nm": None if computed is None else computed.makeup_torque,
        "torsional_yield_Nm": answer.torsional_yield,
        "maker_torsional_yield_Nm": answer.maker_yield,
        "computed_torsional_yield_Nm": None if computed is None else computed.torsional_yield,
        "tensile_yield_N": None if computed is None else computed.tensile_yield,
        "pull_after_makeup_N": None if computed is None else computed.pull_left,
        "weaker": None if computed is None else computed.weaker,
        "second_seat": None if computed is None else computed.second_seat,
        "makeup_band_Nm": None if band is None else {"low": band[0], "high": band[1]},
        "yield_share_if_factor": {f"{factor:g}": share for factor, share in shares.items()},
        "window_Nm": {"low": answer.wanted, "high": answer.highest},
        "do_not_run": answer.do_not_run,
        "source": answer.source,
        "provenance": answer.provenance,
        "warnings": _notes(answer, "metric"),
        "cautions": [say(f"makeup.caution.{code}") for code in CAUTIONS],
    }


def _notes(answer: MakeupAnswer, system: System) -> list[str]:
    from rodhand.steel.joint import FRICTION_FACTOR_BAND
    from rodhand.units import show
    from rodhand.words import say

    maker, difference = answer.maker_torque, answer.difference
    values = {
        "wanted": show(answer.wanted, "torque", system),
        "highest": show(answer.highest, "torque", system),
        "difference": show(None if difference is None else abs(difference), "share", system),
        "friction_factor": f"{answer.friction_factor:g}",
        "least": f"{FRICTION_FACTOR_BAND[0]:g}",
        "most": f"{FRICTION_FACTOR_BAND[1]:g}",
        "maker_with_factor": show(
            None if maker is None else maker * answer.friction_factor, "torque", system
        ),
    }
    return [say(f"makeup.note.{code}", **values) for code in answer.notes]


def as_lines(answer: MakeupAnswer, system: System) -> list[str]:
    """The answer as lines for a screen: what to set first, then why, then the cautions."""
    from rodhand.units import show
    from rodhand.words import say

    shown = {
        figure.key.removeprefix("makeup."): figure.shown(system) for figure in answer.figures()
    }
    sizes = {name: show(getattr(answer, name), "size", system) for name in _SIZES}
    lines = [say("makeup.joint", joint=answer.joint, **sizes), ""]
    shown["friction_factor"] = f"{answer.friction_factor:g}"
    lines += [say(f"makeup.{_set_key(answer)}", **shown)]
    if answer.computed is not None and answer.maker_torque is not None:
        lines.append(say("makeup.beside", **shown))
    if answer.highest is not None:
        lines.append(_highest_line(answer, shown))
    lines += _notes(answer, system)
    lines.append("")
    if answer.torsional_yield is not None:
        origin = "computed" if answer.maker_yield is None else "maker"
        lines.append(say(f"makeup.torsional_yield_{origin}", **shown))
    lines += _computed_lines(answer, system, shown)
    lines.append(say("makeup.source", source=answer.source, provenance=answer.provenance))
    return [*lines, "", *(say(f"makeup.caution.{code}") for code in CAUTIONS)]


_SIZES: tuple[Literal["od", "bore", "counterbore"], ...] = ("od", "bore", "counterbore")


def _set_key(answer: MakeupAnswer) -> str:
    if answer.do_not_run:
        return "set_nothing"
    return "set_computed" if answer.maker_torque is None else "set_maker"


def _highest_line(answer: MakeupAnswer, shown: dict[str, str]) -> str:
    from rodhand.words import say

    if answer.maker_yield is not None or answer.computed is None:
        return say("makeup.highest_rod", **shown)
    return say("makeup.highest_joint", weaker=say(f"makeup.{answer.computed.weaker}"), **shown)


def _computed_lines(answer: MakeupAnswer, system: System, shown: dict[str, str]) -> list[str]:
    from rodhand.steel.joint import FRICTION_FACTOR_BAND
    from rodhand.units import show
    from rodhand.words import say

    computed = answer.computed
    if computed is None:
        return []
    weaker = say(f"makeup.{computed.weaker}")
    shown = {**shown, "set_torque": show(computed.set_torque, "torque", system)}
    lines = [say("makeup.tensile_yield", weaker=weaker, **shown)]
    if computed.pull_left is not None:
        lines.append(say("makeup.pull_left", **shown))
    if computed.band is not None:
        low, high = (show(end, "torque", system) for end in computed.band)
        least, most = (f"{factor:g}" for factor in FRICTION_FACTOR_BAND)
        lines.append(say("makeup.band", low=low, high=high, least=least, most=most))
    if computed.yield_shares:
        lines.append(say("makeup.shares", weaker=weaker, **shown))
    for factor, share in computed.yield_shares.items():
        lines.append(say("makeup.share", factor=f"{factor:g}", share=show(share, "share", system)))
    return lines
