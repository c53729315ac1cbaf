"""The page of a bore's rods in their clearance."""

from __future__ import annotations

import math
from collections.abc import Mapping

from fastapi import FastAPI, Request
from fastapi.responses import Response
from markupsafe import Markup

from rodhand.book.bore.bend_page import bend_view
from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.opening import open_assessment
from rodhand.faults import BadInputError, Fault
from rodhand.sheets.bend_drawing import bend_svg
from rodhand.units import to_si
from rodhand.web.asked import system_of, wants_json
from rodhand.web.desk import NotHereError, folder_of
from rodhand.web.pages import page_or_twin
from rodhand.web.pressing import faults_told


def add_bend(app: FastAPI, desk: object) -> None:
    """Add the page; a desk without a book's folder gets none.

    Parameters
    ----------
    app : FastAPI
        The application. The pages of bores must come after: their names are paths.
    desk : object
        Its desk; the book's folder is its ``folder``.
    """
    folder = folder_of(desk)
    if folder is None:
        return

    @app.get("/bore/{name:path}/bend")
    def bend(request: Request, name: str) -> Response:
        asked = request.query_params
        free = bow = wrong = None
        us = system_of(request) == "us"
        try:
            free = _asked(asked, "free_length", "length", ("m", "ft"))
            bow = _asked(asked, "bow", "size", ("mm", "in"))
        except BadInputError as error:
            if wants_json(request):
                raise
            wrong = error
        try:
            view = bend_view(
                open_assessment(folder), name, asked.get("pass") or None, free, bow or 0.0
            )
        except NoSuchBoreError as error:
            raise NotHereError(str(error)) from error
        page = page_or_twin(
            request, "bend.html", view,
            lambda: {
                "drawing": Markup(bend_svg(view)), "faults": faults_told(wrong),
                "length": "ft" if us else "m", "size": "in" if us else "mm",
            },
        )  # fmt: skip
        page.status_code = 400 if wrong else 200
        return page


def _asked(
    asked: Mapping[str, str], name: str, dimension: str, units: tuple[str, ...]
) -> float | None:
    """A number of the address, in the unit its name ends in; None when there is none. [m]"""
    for unit in units:
        found = _above_zero(asked.get(f"{name}_{unit}", ""), f"{name}_{unit}", dimension, unit)
        if found is not None:
            return found
    return None


def _above_zero(text: str, column: str, dimension: str, unit: str) -> float | None:
    """A typed number above zero in base SI; None when blank. [m]"""
    if not text.strip():
        return None
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = math.nan
    if not (math.isfinite(value) and 0.0 <= value < 1e6) or (
        column.startswith("free_length") and value == 0
    ):
        raise BadInputError([Fault("not_a_number", text, column=column)])
    return to_si(value, dimension, unit)
