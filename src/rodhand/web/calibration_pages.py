"""The page of what the owner's own breaks say."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import Response
from markupsafe import Markup

from rodhand.book.calibration import calibration_view
from rodhand.book.opening import open_assessment
from rodhand.sheets.calibration_drawing import calibration_svg
from rodhand.web.as_of import as_of_asked
from rodhand.web.asked import system_of
from rodhand.web.pages import page_or_twin


def add_calibration(app: FastAPI, desk: object) -> None:
    """Add the page; a desk without a book's folder gets none.

    Parameters
    ----------
    app : FastAPI
        The application.
    desk : object
        Its desk; the book's folder is its ``folder``.
    """
    folder = getattr(desk, "folder", None)
    if not isinstance(folder, Path):
        return

    @app.get("/calibration")
    def calibration(request: Request) -> Response:
        view = calibration_view(open_assessment(folder, as_of_asked(request)))
        system = system_of(request)
        return page_or_twin(
            request, "calibration.html", view,
            lambda: {"drawings": [
                Markup(calibration_svg(view, each, system)) for each in view.classes
            ]},
        )  # fmt: skip
