"""The page of changed rules: what they moved, what is kept, and the settings that hold."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.responses import RedirectResponse, Response

from rodhand.book.opening import open_assessment
from rodhand.book.tasks.moved_page import moved_view
from rodhand.book.tasks.rule_snapshot import mark_seen
from rodhand.web.desk import folder_of
from rodhand.web.pages import page_or_twin

SEE_OTHER = 303


def add_moved(app: FastAPI, desk: object) -> None:
    """Add the page of changed rules; a desk without a folder gets none.

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

    @app.get("/moved")
    def moved(request: Request) -> Response:
        return page_or_twin(request, "moved.html", moved_view(folder, open_assessment(folder)))

    @app.post("/moved/seen")
    def seen() -> Response:
        mark_seen(folder)
        return RedirectResponse("/moved", SEE_OTHER)
