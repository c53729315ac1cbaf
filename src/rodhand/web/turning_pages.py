"""The page of what turning the rods over would give, with its drawing; until it is worked out, a
page that says so and asks for it."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.responses import Response
from markupsafe import Markup

from rodhand.book.opening import open_assessment
from rodhand.book.order.turning import turning_view
from rodhand.sheets.turning_drawing import turning_svg
from rodhand.web.as_of import as_of_asked
from rodhand.web.asked import system_of, wants_json
from rodhand.web.desk import folder_of
from rodhand.web.pages import html, page_or_twin
from rodhand.web.pressing import of_rig

SEASONS_OF_PAGE = 100
"""Seasons worked out for a page; `rodhand turning` takes as many as wanted."""


def add_turning(app: FastAPI, desk: object) -> None:
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

    @app.get("/turning/{rig:path}")
    def turning(request: Request, rig: str) -> Response:
        assessment = open_assessment(folder, as_of_asked(request))
        at_once = not wants_json(request) and "work" not in request.query_params
        view = of_rig(
            lambda: turning_view(assessment, rig, SEASONS_OF_PAGE, only_kept=at_once), rig
        )
        if view.state == "to work":
            worked = request.url.include_query_params(work="1").query
            return html(request, "turning_wait.html", view=view, invented=view.invented,
                        worked=f"?{worked}", seasons=SEASONS_OF_PAGE)  # fmt: skip
        system = system_of(request)
        return page_or_twin(
            request, "turning.html", view,
            lambda: {"drawing": Markup(turning_svg(view, system)) if view.rows else ""},
        )  # fmt: skip
