"""Check a log file: read it, hand it to the use case, draw its picture."""

from __future__ import annotations

import math
import os
from dataclasses import replace
from pathlib import Path

from rodhand.advice.verdict import Sentence
from rodhand.book.bore.check import CheckedLog, check_log, check_survey
from rodhand.book.bore.check_view import check_view
from rodhand.book.work.bore_work import Front
from rodhand.book.work.heads import load_head
from rodhand.book.work.tables import load_rod_type
from rodhand.faults import BadInputError, CannotReadError, Fault
from rodhand.sheets.flags import told_flag
from rodhand.sheets.log import read_log
from rodhand.sheets.log_bore import bore_of_log
from rodhand.sheets.recipes import find_recipe
from rodhand.units import System


def check_file(
    path: Path,
    rod_type: str = "",
    head: str = "",
    bit_to_sensor: float | None = None,
    recipe: str = "",
    sheet: str = "",
) -> CheckedLog:
    """Check a rod-by-rod log or a plain survey.

    Parameters
    ----------
    path : Path
        CSV or XLSX file.
    rod_type : str
        Built-in name or TOML file; may be left out for a survey.
    head : str
        Built-in head or TOML file; empty for none.
    bit_to_sensor : float or None
        Distance from bit to sensor where no head is given. [m]
    recipe : str
        Recipe for foreign headings; empty for ours.
    sheet : str
        Sheet of a workbook; empty for the first.

    Returns
    -------
    CheckedLog
        The check.

    Raises
    ------
    BadInputError
        With every fault of the file or the options.
    CannotReadError
        If a file cannot be read.
    """
    if head and bit_to_sensor is not None:
        raise BadInputError([Fault("check_head_twice", head)], str(path))
    rods = load_rod_type(rod_type) if rod_type else None
    front = load_head(head) if head else Front(bit_to_sensor=bit_to_sensor)
    log = read_log(
        path,
        find_recipe(recipe) if recipe else None,
        rods.length if rods else None,
        sheet=sheet or None,
    )
    flags = tuple(Sentence("check.flag", {"flag": told_flag(flag)}) for flag in log.flags)
    if log.kind == "survey":
        return check_survey(
            log.si["md"],
            log.slope + math.pi / 2,
            log.direction,
            log.source,
            rods,
            log.heading_ref,
            flags,
        )
    if rods is None:
        raise BadInputError([Fault("check_rod_type_missing", "")], str(path))
    bore = replace(bore_of_log(log), name=log.source)
    return check_log(bore, rods, front, log.source, flags)


def write_picture(checked: CheckedLog, path: Path, system: System) -> None:
    """Write the picture of a checked log as SVG, whole or not at all.

    Raises
    ------
    BadInputError
        For a survey, which has no rods to draw.
    CannotReadError
        If the file cannot be written.
    """
    from rodhand.sheets.picture import bore_svg

    view = check_view(checked)
    if view is None:
        raise BadInputError([Fault("check_plot_survey", "")], checked.source)
    part = path.with_name(path.name + ".part")
    try:
        part.write_text(bore_svg(view, system), encoding="utf-8")
        os.replace(part, path)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise CannotReadError(str(path), error.strerror or str(error)) from error
