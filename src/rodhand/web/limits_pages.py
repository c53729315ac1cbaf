"""The page of events past a limit: over-steers, over-torques and overloads told apart."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.responses import Response

from rodhand.book.bore.limit_events import limits_view
from rodhand.book.opening import open_assessment
from rodhand.web.as_of import as_of_asked
from rodhand.web.desk import folder_of
from rodhand.web.pages import page_or_twin


def add_limits(app: FastAPI, desk: object) -> None:
    """Add the page; a desk without a book's folder gets none.

    Parameters
    ----------
    app : FastAPI
        The application.
    desk : object
        Its desk.
    """
    folder = folder_of(desk)
    if folder is None:
        return

    @app.get("/limits")
    def limits(request: Request) -> Response:
        as_of = as_of_asked(request) or getattr(desk, "as_of", "")
        return page_or_twin(request, "limits.html", limits_view(open_assessment(folder, as_of)))
