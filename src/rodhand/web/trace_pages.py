"""The page of one traced end: what it met, what may have spoiled it, and where to walk."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.responses import Response
from markupsafe import Markup

from rodhand.book.opening import open_assessment
from rodhand.book.yard.thing_page import NoSuchThingError
from rodhand.book.yard.trace import trace_view
from rodhand.sheets.trace_drawing import trace_svg
from rodhand.web.as_of import as_of_asked
from rodhand.web.desk import NotHereError, folder_of
from rodhand.web.pages import page_or_twin


def add_trace(app: FastAPI, desk: object) -> None:
    """Add the page; a desk without a book's folder gets none.

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

    @app.get("/trace/{name:path}/{end}")
    def trace(request: Request, name: str, end: str) -> Response:
        try:
            view = trace_view(open_assessment(folder, as_of_asked(request)), name, end)
        except NoSuchThingError as error:
            raise NotHereError(str(error)) from error
        return page_or_twin(
            request, "trace.html", view, lambda: {"drawing": Markup(trace_svg(view))}
        )
