"""The pages of what would narrow a band most, of a rod and of a bore."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.responses import Response

from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.opening import open_assessment
from rodhand.book.yard.narrow_page import narrow_page_of_bore, narrow_page_of_thing
from rodhand.book.yard.thing_page import NoSuchThingError
from rodhand.web.as_of import as_of_asked
from rodhand.web.desk import NotHereError, folder_of
from rodhand.web.pages import page_or_twin


def add_narrow(app: FastAPI, desk: object) -> None:
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

    @app.get("/narrow/thing/{name:path}")
    def of_thing(request: Request, name: str) -> Response:
        try:
            view = narrow_page_of_thing(open_assessment(folder, as_of_asked(request)), name)
        except NoSuchThingError as error:
            raise NotHereError(str(error)) from error
        return page_or_twin(request, "narrow.html", view)

    @app.get("/narrow/bore/{name:path}")
    def of_bore(request: Request, name: str) -> Response:
        try:
            view = narrow_page_of_bore(open_assessment(folder, as_of_asked(request)), name)
        except NoSuchBoreError as error:
            raise NotHereError(str(error)) from error
        return page_or_twin(request, "narrow.html", view)
