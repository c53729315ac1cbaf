"""Pullback in two touches, rods set aside on the way, and the rows for tomorrow."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import Response

from rodhand.book.rig.pullback import end_pullback, pullback_view, set_aside, start_pullback
from rodhand.faults import BadInputError, Fault
from rodhand.web.pressing import address, of_rig, pressed, rig_page, typed_of

PAGE = "rig-pullback"
TEMPLATE = "pullback.html"


def add_pullback(app: FastAPI, folder: Path) -> None:
    """Add the page of a rig's pullback.

    Parameters
    ----------
    app : FastAPI
        The application.
    folder : Path
        The book's folder.
    """

    @app.get("/rig-pullback/{rig:path}")
    def pullback(request: Request, rig: str) -> Response:
        return _page(request, folder, rig)

    @app.post("/rig-pullback/{rig:path}")
    async def press(request: Request, rig: str) -> Response:
        typed = await typed_of(request)
        reason = typed.get("reason", "")

        def again(error: BadInputError) -> Response:
            return _page(request, folder, rig, error, reason)

        to = address(PAGE, rig)
        place = "aside" if "thing" in typed else ""
        return await pressed(
            request, rig, lambda: _keep(folder, rig, typed), again, to, place, reason=reason
        )


def _keep(folder: Path, rig: str, typed: dict[str, str]) -> str:
    """Keep what one press of the page says."""
    by, happened = typed.get("by", ""), typed.get("happened", "")
    bore = typed.get("bore", "")
    if "behind" in typed:
        return start_pullback(folder, rig, typed["behind"], by, happened, bore)
    if "thing" in typed:
        reason = typed.get("reason", "")
        return set_aside(folder, rig, typed["thing"], reason, by, happened, bore)
    if "end" in typed:
        return end_pullback(folder, rig, by, happened, bore)
    raise BadInputError([Fault("load_what", column="what")], PAGE)


def _page(
    request: Request,
    folder: Path,
    rig: str,
    error: BadInputError | None = None,
    reason: str = "",
) -> Response:
    asked = request.query_params
    view = of_rig(lambda: pullback_view(folder, rig, asked.get("bore", "")), rig)
    chosen = reason or asked.get("reason", "")
    return rig_page(request, TEMPLATE, folder, view, view.at.rig, error, reason=chosen)
