"""Who is on: chosen and kept on the device, and written into what is entered there."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import Response

from rodhand.book.entry.outbox import book_id
from rodhand.book.rig.who_is_on import who_is_on
from rodhand.web.asked import wants_json
from rodhand.web.pages import html, page_or_twin

TEMPLATE = "who_is_on.html"


def add_who_is_on(app: FastAPI, folder: Path) -> None:
    """Add the page on which a device is told who is on; the device keeps it, the book does not.

    Parameters
    ----------
    app : FastAPI
        The application.
    folder : Path
        The book's folder.
    """

    @app.get("/rig-on")
    def on(request: Request) -> Response:
        view = who_is_on(folder)
        if wants_json(request):
            return page_or_twin(request, TEMPLATE, view)
        return html(request, TEMPLATE, view=view, book=book_id(folder))
