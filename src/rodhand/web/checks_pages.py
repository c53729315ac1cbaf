"""The page of checks due."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.responses import Response

from rodhand.book.opening import open_assessment
from rodhand.book.yard.checks_page import checks_due_view
from rodhand.web.as_of import as_of_asked
from rodhand.web.desk import folder_of
from rodhand.web.pages import page_or_twin


def add_checks(app: FastAPI, desk: object) -> None:
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

    @app.get("/checks-due")
    def checks_due(request: Request) -> Response:
        view = checks_due_view(open_assessment(folder, as_of_asked(request)))
        return page_or_twin(request, "checks_due.html", view)
