"""Make-up of the joint at hand: the window, the gauge, the jaws, compound yes or no."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import Response

from rodhand.book.rig.rig_makeup import makeup_at_hand, tell_compound
from rodhand.faults import BadInputError
from rodhand.web.pressing import address, of_rig, pressed, rig_page, typed_of

PAGE = "rig-makeup"
TEMPLATE = "rig_makeup.html"


def add_rig_makeup(app: FastAPI, folder: Path) -> None:
    """Add the page of make-up at a rig.

    Parameters
    ----------
    app : FastAPI
        The application.
    folder : Path
        The book's folder.
    """

    @app.get("/rig-makeup/{rig:path}")
    def joint(request: Request, rig: str) -> Response:
        return _page(request, folder, rig)

    @app.post("/rig-makeup/{rig:path}")
    async def compound(request: Request, rig: str) -> Response:
        typed = await typed_of(request)

        def keep() -> str:
            return tell_compound(
                folder, rig, typed.get("compound_on", ""), typed.get("station", ""),
                typed.get("by", ""), typed.get("happened", ""),
            )  # fmt: skip

        def again(error: BadInputError) -> Response:
            return _page(request, folder, rig, error)

        return await pressed(request, rig, keep, again, address(PAGE, rig))


def _page(request: Request, folder: Path, rig: str, error: BadInputError | None = None) -> Response:
    asked = request.query_params
    view = of_rig(lambda: makeup_at_hand(folder, rig, asked.get("bore", "")), rig)
    return rig_page(request, TEMPLATE, folder, view, view.at.rig, error)
