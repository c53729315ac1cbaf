"""The page of force and torque along the string of a bore."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.responses import Response
from markupsafe import Markup

from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.bore.forces import ForcesView, forces_view
from rodhand.book.opening import open_assessment
from rodhand.sheets.picture_forces import forces_svg
from rodhand.units import System
from rodhand.web.as_of import as_of_asked
from rodhand.web.asked import system_of
from rodhand.web.bore_pictures import ONE_AT_A_TIME, WIDTHS
from rodhand.web.desk import NotHereError, folder_of
from rodhand.web.pages import page_or_twin


def add_forces(app: FastAPI, desk: object) -> None:
    """Add the page; a desk without a book's folder gets none.

    Parameters
    ----------
    app : FastAPI
        The application. The pages of bores must come after: their names are paths.
    desk : object
        Its desk.
    """
    folder = folder_of(desk)
    if folder is None:
        return

    @app.get("/bore/{name:path}/forces")
    def forces(request: Request, name: str) -> Response:
        as_of = as_of_asked(request) or getattr(desk, "as_of", "")
        try:
            with ONE_AT_A_TIME:
                view = forces_view(open_assessment(folder, as_of), name)
        except NoSuchBoreError as error:
            raise NotHereError(name) from error
        system = system_of(request)
        return page_or_twin(request, "forces.html", view, lambda: {"drawn": _drawn(view, system)})


def _drawn(view: ForcesView, system: System) -> dict[str, list[tuple[str, Markup]]]:
    """Each pass's picture at three widths; the page's style shows the one that fits."""
    length = view.length.value or 1.0
    return {
        row.name: [
            (size, Markup(forces_svg(row, view.along, length, system, width)))
            for size, width in WIDTHS
        ]
        for row in view.passes
    }
