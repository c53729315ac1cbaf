"""Pages of wear and of the register of gauges."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.responses import Response
from markupsafe import Markup

from rodhand.book.opening import open_assessment
from rodhand.book.work.gauge_register import gauges_view
from rodhand.book.yard.thing_page import NoSuchThingError
from rodhand.book.yard.wear_page import wear_of, wear_view
from rodhand.sheets.wear_drawing import wear_svg
from rodhand.web.as_of import as_of_asked
from rodhand.web.asked import system_of
from rodhand.web.desk import NotHereError, folder_of
from rodhand.web.pages import page_or_twin


def add_wear(app: FastAPI, desk: object) -> None:
    """Add the pages; a desk without a book's folder gets none.

    Parameters
    ----------
    app : FastAPI
        The application.
    desk : object
        Its desk; the book's folder is its ``folder``.
    """
    folder = folder_of(desk)
    if folder is None:
        return

    @app.get("/gauges")
    def gauges(request: Request) -> Response:
        view = gauges_view(open_assessment(folder, as_of_asked(request)))
        return page_or_twin(request, "gauges.html", view)

    @app.get("/wear")
    def wear(request: Request) -> Response:
        view = wear_view(open_assessment(folder, as_of_asked(request)))
        return page_or_twin(request, "wear.html", view)

    @app.get("/wear/{name:path}")
    def one(request: Request, name: str) -> Response:
        try:
            view = wear_of(open_assessment(folder, as_of_asked(request)), name)
        except NoSuchThingError as error:
            raise NotHereError(str(error)) from error
        system = system_of(request)
        return page_or_twin(
            request, "wear_thing.html", view,
            lambda: {"drawings": [Markup(wear_svg(row, system)) for row in view.rows]},
        )  # fmt: skip
