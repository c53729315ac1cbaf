"""Keep what the owner's breaks say of the classes, as one dated entry; and what is kept now."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

from rodhand.advice.verdict import Sentence
from rodhand.book.entry.keeping import Entered, enter
from rodhand.book.opening import open_assessment
from rodhand.book.owner.calibration import CalibrationView, calibration_view
from rodhand.book.work.assess import Assessment
from rodhand.book.work.class_factors import calibration_in_force, why_not_used
from rodhand.book.work.days import day_of
from rodhand.faults import BadInputError, Fault
from rodhand.record.book_looks import ClassCalibration
from rodhand.record.choices import CALIBRATED_CLASSES, CLASS_CALIBRATION
from rodhand.record.entry import Draft
from rodhand.units import Figure, Standing
from rodhand.wear.life_used import MODEL, NINETY_PERCENT

C, M = Standing.COMPUTED, Standing.MEASURED


@dataclass(frozen=True)
class KeptClass:
    """One class of a kept calibration: figures life (with its band), breaks, survivors."""

    code: str
    figures: dict[str, Figure]


@dataclass(frozen=True)
class KeptRow:
    """One kept calibration.

    Parameters
    ----------
    entry, day, by, why : str
        Its entry, ISO day, who kept it and the reason.
    not_used : Sentence or None
        Why it does not count now; None for the one that does.
    classes : tuple of KeptClass
        What it holds.
    figures : dict of str to Figure
        model, rods and entries it was worked out from.
    digest : str
        Digest of these entries.
    """

    entry: str
    day: str
    by: str
    why: str
    not_used: Sentence | None
    classes: tuple[KeptClass, ...]
    figures: dict[str, Figure]
    digest: str


@dataclass(frozen=True)
class CalibrationPage(CalibrationView):
    """What the breaks say, what is kept of it, and whether there is enough to keep."""

    kept: tuple[KeptRow, ...] = ()
    can_keep: bool = False


def calibration_page(assessment: Assessment) -> CalibrationPage:
    """The page of the owner's own breaks."""
    view = calibration_view(assessment)
    enough = any(not each.too_few for each in view.classes)
    return CalibrationPage(**vars(view), kept=kept_rows(assessment), can_keep=enough)


def kept_rows(assessment: Assessment) -> tuple[KeptRow, ...]:
    """Every calibration kept in a book, the newest first; a struck one is not among them."""
    numbered = list(enumerate(assessment.book.class_calibrations, 1))
    return tuple(_row(each, number, assessment) for number, each in reversed(numbered))


def _row(kept: ClassCalibration, number: int, assessment: Assessment) -> KeptRow:
    key = f"calibration.kept.{number}"
    figures = {
        name: _count(f"{key}.{name}", getattr(kept, name)) for name in ("model", "rods", "entries")
    }
    return KeptRow(
        kept.origin.entry, day_of(kept.origin.happened.start), kept.origin.by, kept.why,
        _not_used(kept, key, assessment), _classes(kept, key), figures, kept.digest,
    )  # fmt: skip


def _count(key: str, value: int | None) -> Figure:
    return Figure(key, None if value is None else float(value), "count", M)


def _not_used(kept: ClassCalibration, key: str, assessment: Assessment) -> Sentence | None:
    if kept is calibration_in_force(assessment.book, assessment.today, assessment.invented):
        return None
    why = why_not_used(kept, assessment.today, assessment.invented) or "replaced"
    models: dict[str, str | Figure] = {
        "model": _count(f"{key}.made_under", kept.model),
        "now": _count(f"{key}.model_now", MODEL),
    }
    return Sentence(f"calibration.not_used.{why}", models if why == "model" else {})


def _classes(kept: ClassCalibration, key: str) -> tuple[KeptClass, ...]:
    rows = []
    for name in CALIBRATED_CLASSES:
        told = kept.of_class(name)
        if told is None or told[0] <= 0.0:
            continue
        life, reach = 1.0 / told[0], math.exp(NINETY_PERCENT * told[1])
        figures = {
            "life": Figure(f"{key}.{name}.life", life, "ratio", C, life / reach, life * reach),
            "breaks": _count(f"{key}.{name}.breaks", getattr(kept, f"{name}_breaks")),
            "survivors": _count(f"{key}.{name}.survivors", getattr(kept, f"{name}_survivors")),
        }
        rows.append(KeptClass(name, figures))
    return tuple(rows)


def keep_calibration(folder: Path, why: str, by: str) -> Entered:
    """Keep what a book's breaks say of its classes from now on.

    Parameters
    ----------
    folder : Path
        The book's folder.
    why, by : str
        The reason, and the name of who keeps it.

    Returns
    -------
    Entered
        One entry of kind ``class-calibration``; a strike of it undoes all of it.

    Raises
    ------
    BadInputError
        If the reason or the name is missing, or no class has breaks enough.
    CannotReadError
        If the book cannot be read or written.

    Notes
    -----
    Only classes with breaks enough go in. They are worked out on the printed classes, whatever is
    kept already, so nothing is counted twice.
    """
    faults = [
        Fault("calibration_who_and_why", "", column=column)
        for column, text in (("why", why), ("by", by))
        if not text.strip()
    ]
    assessment = open_assessment(folder)
    view = calibration_view(assessment)
    told: dict[str, str] = {}
    for each in view.classes:
        if not each.too_few:
            told[f"{each.code}_factor"] = f"{each.factor:.6g}"
            told[f"{each.code}_sigma"] = f"{each.sigma:.6g}"
            told[f"{each.code}_breaks"] = _whole(each.figures["breaks"])
            told[f"{each.code}_survivors"] = _whole(each.figures["survivors"])
    if not told:
        faults.append(Fault("calibration_too_few", ""))
    if faults:
        raise BadInputError(faults, "calibration")
    told |= {
        "rods": _whole(view.figures["rods"]),
        "entries": f"{assessment.book.entry_count}",
        "digest": assessment.book.head,
        "model": f"{MODEL}",
        "why": why.strip(),
    }
    day = assessment.today if assessment.invented else ""
    return enter(folder, [Draft(CLASS_CALIBRATION, told, day, "", by.strip())], "calibration")


def _whole(figure: Figure) -> str:
    return f"{figure.value or 0.0:.0f}"
