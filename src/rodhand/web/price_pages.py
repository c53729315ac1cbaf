"""The page of what the end of the rod being drilled costs, and its one line for other pages."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.responses import Response

from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.rig.room_price import price_view
from rodhand.faults import BadInputError, Fault
from rodhand.web.asked import wants_json
from rodhand.web.desk import NotHereError, folder_of
from rodhand.web.pages import html, page_or_twin
from rodhand.words import render_fault

MOST_TO_DRILL = 400
"""Rods still to drill that may be asked for, at most (ours). [rods]"""


def add_price(app: FastAPI, desk: object) -> None:
    """Add the page; a desk without a book's folder gets none.

    Parameters
    ----------
    app : FastAPI
        The application. The pages of bores must come after: their names are paths.
    desk : object
        Its desk; the book's folder is its ``folder``.
    """
    folder = folder_of(desk)
    if folder is None:
        return

    @app.get("/bore/{name:path}/price")
    def price(request: Request, name: str) -> Response:
        typed = request.query_params.get("to_drill", "").strip()
        known = typed.isdecimal() and 1 <= int(typed) <= MOST_TO_DRILL
        told = ""
        if typed and not known:
            fault = Fault("price_to_drill", typed, column="to_drill")
            if wants_json(request):
                raise BadInputError([fault])
            told = render_fault(Fault("price_to_drill", typed))
        try:
            view = price_view(folder, name, int(typed) if known else None)
        except NoSuchBoreError as error:
            raise NotHereError(str(error)) from error
        if "line" in request.query_params and not wants_json(request):
            return html(request, "_price_line.html", view=view)
        more = {"typed": typed, "fault": told}
        if told:
            return html(request, "price.html", 400, view=view, invented=view.invented, **more)
        return page_or_twin(request, "price.html", view, lambda: more)
