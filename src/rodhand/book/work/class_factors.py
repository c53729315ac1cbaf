"""Which kept calibration holds on a day, and what it says of each section of a rod."""

from __future__ import annotations

import math

from rodhand.record.book import Book
from rodhand.record.book_looks import ClassCalibration
from rodhand.record.choices import CALIBRATED_CLASSES
from rodhand.steel.rod_type import RodType
from rodhand.wear.life_used import MODEL, PRINTED_CLASSES, ClassFactor
from rodhand.wear.sections import CurveSet, section_curves

CLASS_OF = ("thread", "upset", "tube", "upset", "thread")
"""Class of each section, in the order of `rodhand.wear.sections.SECTIONS`."""


def class_names(rod_type: RodType, curves: CurveSet) -> tuple[str, ...]:
    """Class of each of a rod's sections; upset ends on another curve than the tube are welded."""
    own = section_curves(rod_type, curves)
    return tuple(
        "weld" if name == "upset" and curve.slope != curves.tube.slope else name
        for name, curve in zip(CLASS_OF, own, strict=True)
    )


def why_not_used(kept: ClassCalibration, today: str, invented: bool) -> str:
    """Why a kept calibration does not count on a day: ``model``, ``later``, ``unusable`` or ''."""
    if kept.model != MODEL:
        return "model"
    if not invented and kept.origin.happened.start[:10] > today[:10]:
        return "later"
    told = [each for name in CALIBRATED_CLASSES if (each := kept.of_class(name)) is not None]
    sound = all(0.0 < f < math.inf and 0.0 <= s < math.inf for f, s in told)
    return "" if told and sound else "unusable"


def calibration_in_force(book: Book, today: str, invented: bool) -> ClassCalibration | None:
    """The last kept calibration that counts on an ISO day; None without one.

    Parameters
    ----------
    book : Book
        The facts; a struck calibration is not among them.
    today : str
        ISO day.
    invented : bool
        An invented book is read as of its own last week: whatever was kept since holds at once.

    Notes
    -----
    One made under another model of life used is passed over: its factors belong to other sums.
    """
    usable = [each for each in book.class_calibrations if not why_not_used(each, today, invented)]
    return usable[-1] if usable else None


def class_factors(
    kept: ClassCalibration | None, rod_type: RodType, curves: CurveSet
) -> tuple[ClassFactor, ...]:
    """What is held of the class of each section of a rod type."""
    if kept is None:
        return PRINTED_CLASSES
    told = [kept.of_class(name) for name in class_names(rod_type, curves)]
    return tuple(ClassFactor() if each is None else ClassFactor(*each) for each in told)
