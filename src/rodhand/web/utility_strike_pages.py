"""The screen of a utility strike: the rig's own words fill it; nothing is typed, nothing kept."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import Response

from rodhand.book.rig.utility_strike import strike_view
from rodhand.faults import CannotReadError
from rodhand.web.asked import wants_json
from rodhand.web.pages import html, page_or_twin
from rodhand.web.pressing import of_rig

TEMPLATE = "utility_strike.html"


def add_utility_strike(app: FastAPI, folder: Path) -> None:
    """Add the screen.

    Parameters
    ----------
    app : FastAPI
        The application.
    folder : Path
        The book's folder.

    Notes
    -----
    A book that cannot be read still gives a screen: it says to call the local emergency number.
    """

    @app.get("/rig-strike/{rig:path}")
    def strike(request: Request, rig: str) -> Response:
        bore = request.query_params.get("bore", "")
        try:
            view = of_rig(lambda: strike_view(folder, rig, bore), rig)
        except CannotReadError:
            if wants_json(request):
                raise
            return html(request, TEMPLATE, 503, strike=None, rig=rig)
        return page_or_twin(request, TEMPLATE, view, lambda: {"strike": view, "rig": view.rig})
