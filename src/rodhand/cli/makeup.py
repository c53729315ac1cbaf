"""`rodhand makeup JOINT`: the torque for a joint as new or worn."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, BookFolder
from rodhand.cli.exit_codes import ExitCode
from rodhand.units import System, show
from rodhand.words import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rodhand.book.rig.makeup_answer import MakeupAnswer
    from rodhand.book.rig.makeup_rig import RigForMakeup
    from rodhand.book.yard.minimum_od import MinimumOd

CAUTIONS = ("gauge", "hands", "manuals")


def makeup(
    joint: Annotated[str, typer.Argument(help=say("makeup.help.joint"))],
    od_in: Annotated[float | None, typer.Option(help=say("makeup.help.od"))] = None,
    od_mm: Annotated[float | None, typer.Option(help=say("makeup.help.od"))] = None,
    bore_in: Annotated[float | None, typer.Option(help=say("makeup.help.bore"))] = None,
    bore_mm: Annotated[float | None, typer.Option(help=say("makeup.help.bore"))] = None,
    counterbore_in: Annotated[
        float | None, typer.Option(help=say("makeup.help.counterbore"))
    ] = None,
    counterbore_mm: Annotated[
        float | None, typer.Option(help=say("makeup.help.counterbore"))
    ] = None,
    friction_factor: Annotated[
        float | None, typer.Option(help=say("makeup.help.friction_factor"))
    ] = None,
    rs_uncapped: Annotated[
        bool, typer.Option("--rs-uncapped", help=say("makeup.help.rs_uncapped"))
    ] = False,
    maker_torque_ftlb: Annotated[
        float | None, typer.Option("--maker-torque-ftlb", help=say("makeup.help.maker_torque"))
    ] = None,
    maker_torque_nm: Annotated[
        float | None, typer.Option("--maker-torque-Nm", help=say("makeup.help.maker_torque"))
    ] = None,
    minimum_od: Annotated[
        bool, typer.Option("--minimum-od", help=say("makeup.help.minimum_od"))
    ] = False,
    rig: Annotated[str, typer.Option("--rig", help=say("makeup.help.rig"))] = "",
    book: BookFolder = DEFAULT_BOOK,
    units: Annotated[
        Literal["metric", "us"], typer.Option(help=say("makeup.help.units"))
    ] = "metric",
    json_: Annotated[bool, typer.Option("--json", help=say("makeup.help.json"))] = False,
) -> None:
    """Make-up torque, yields and weaker member of a joint, new or worn, with the compound in use.

    The maker's figure is shown first. Without it and without sizes no torque is given. With a rig
    of the book its compound's friction factor counts, and a rig that turns less is told.
    """
    import json

    from rodhand.book.rig.makeup import makeup_from_fields
    from rodhand.book.rig.makeup_rig import rig_for_makeup
    from rodhand.book.yard.minimum_od import minimum_ods

    at_rig = rig_for_makeup(book, rig) if rig else None
    own_factor = friction_factor is not None
    if at_rig is not None and not own_factor:
        friction_factor = at_rig.friction_factor
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
    }
    answer = makeup_from_fields(joint, typed, not rs_uncapped)
    rows = minimum_ods(joint) if minimum_od else ()
    if json_:
        told: dict[str, object] = as_json(answer)
        if at_rig is not None:
            told |= rig_json(answer, at_rig)
        more = {"minimum_od_m_oilfield": {row.oilfield_class: row.od for row in rows}}
        print(json.dumps(told | (more if rows else {}), indent=2, ensure_ascii=False))
    else:
        lines = [] if at_rig is None else [*rig_lines(answer, at_rig, own_factor, units), ""]
        print("\n".join([*lines, *as_lines(answer, units), *minimum_od_lines(rows, units)]))
    if answer.do_not_run or (at_rig is not None and at_rig.turns_less(answer.wanted)):
        raise typer.Exit(int(ExitCode.OVER_LIMIT))


def rig_lines(
    answer: MakeupAnswer, at_rig: RigForMakeup, own_factor: bool, system: System
) -> list[str]:
    """The rig's compound and whether it turns hard enough; the joint's own torque stays."""
    values = {
        "rig": at_rig.rig,
        "compound": at_rig.compound,
        "since": at_rig.since or say("number.unknown"),
        "friction_factor": f"{answer.friction_factor:g}",
        "max_torque": show(at_rig.max_torque, "torque", system),
        "wanted": show(answer.wanted, "torque", system),
    }
    if not at_rig.compound:
        compound = "no_compound"
    elif own_factor:
        compound = "own_factor"
    else:
        compound = "no_factor" if at_rig.friction_factor is None else "compound"
    if at_rig.max_torque is None:
        turns = "turns_unknown"
    else:
        turns = "turns_less" if at_rig.turns_less(answer.wanted) else "turns"
    return [say(f"makeup.rig.{key}", **values) for key in (compound, turns)]


def rig_json(answer: MakeupAnswer, at_rig: RigForMakeup) -> dict[str, object]:
    """The rig's part in base SI; unknown is null."""
    return {
        "rig": at_rig.rig,
        "compound": at_rig.compound,
        "compound_since": at_rig.since,
        "compound_friction_factor": at_rig.friction_factor,
        "rig_max_torque_Nm": at_rig.max_torque,
        "rig_turns_less": at_rig.turns_less(answer.wanted),
    }


def minimum_od_lines(rows: Sequence[MinimumOd], system: System) -> list[str]:
    """The oilfield minimum joint OD as lines; empty when it was not asked for."""
    return [
        say(
            "makeup.minimum_od",
            oilfield_class=row.oilfield_class,
            od=show(row.od, "size", system) if row.od else say("makeup.minimum_od_none"),
            new=show(row.new_od, "size", system),
        )
        for row in rows
    ]


def as_json(answer: MakeupAnswer) -> dict[str, object]:
    """The answer in base SI with units in the keys; unknown is null."""
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
        "makeup_from": "computed" if answer.maker_torque is None else "maker",
        "maker_torque_Nm": answer.maker_torque,
        "computed_label": say("makeup.computed_label"),
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
    maker, difference = answer.maker_torque, answer.difference
    values = {
        "wanted": show(answer.wanted, "torque", system),
        "highest": show(answer.highest, "torque", system),
        "difference": show(None if difference is None else abs(difference), "share", system),
        "friction_factor": f"{answer.friction_factor:g}",
        "least": f"{answer.factor_band[0]:g}",
        "most": f"{answer.factor_band[1]:g}",
        "maker_with_factor": show(
            None if maker is None else maker * answer.friction_factor, "torque", system
        ),
    }
    return [say(f"makeup.note.{code}", **values) for code in answer.notes]


def as_lines(answer: MakeupAnswer, system: System) -> list[str]:
    """The answer as lines for a screen: what to set first, then why, then the cautions."""
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
    if answer.maker_yield is not None or answer.computed is None:
        return say("makeup.highest_rod", **shown)
    return say("makeup.highest_joint", weaker=say(f"makeup.{answer.computed.weaker}"), **shown)


def _computed_lines(answer: MakeupAnswer, system: System, shown: dict[str, str]) -> list[str]:
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
        least, most = (f"{factor:g}" for factor in answer.factor_band)
        lines.append(say("makeup.band", low=low, high=high, least=least, most=most))
    if computed.yield_shares:
        lines.append(say("makeup.shares", weaker=weaker, **shown))
    for factor, share in computed.yield_shares.items():
        lines.append(say("makeup.share", factor=f"{factor:g}", share=show(share, "share", system)))
    return lines
