"""The page of the shoulders of a bore's joints."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.responses import Response
from markupsafe import Markup

from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.bore.joints_page import joints_view
from rodhand.book.bore.joints_views import JointsView
from rodhand.book.opening import open_assessment
from rodhand.sheets.picture_joints import joints_svg
from rodhand.units import System
from rodhand.web.as_of import as_of_asked
from rodhand.web.asked import system_of
from rodhand.web.bore_pictures import ONE_AT_A_TIME, WIDTHS
from rodhand.web.desk import NotHereError, folder_of
from rodhand.web.pages import page_or_twin


def add_joints(app: FastAPI, desk: object) -> None:
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

    @app.get("/bore/{name:path}/joints")
    def joints(request: Request, name: str) -> Response:
        as_of = as_of_asked(request) or getattr(desk, "as_of", "")
        try:
            with ONE_AT_A_TIME:
                view = joints_view(open_assessment(folder, as_of), name)
        except NoSuchBoreError as error:
            raise NotHereError(name) from error
        system = system_of(request)
        return page_or_twin(request, "joints.html", view, lambda: {"drawn": _drawn(view, system)})


def _drawn(view: JointsView, system: System) -> dict[str, list[tuple[str, Markup]]]:
    """Each pass's picture at three widths; the page's style shows the one that fits."""
    return {
        row.name: [(size, Markup(joints_svg(row, system, width))) for size, width in WIDTHS]
        for row in view.passes
    }
