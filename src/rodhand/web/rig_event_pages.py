"""Events in one press: kept at once, then which rods and what to look at."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import Response

from rodhand.book.rig.rig_events import add_details, events_view, press_event
from rodhand.faults import BadInputError
from rodhand.web.asked import system_of
from rodhand.web.pressing import address, of_rig, pressed, rig_page, typed_of

PAGE = "rig-events"
TEMPLATE = "rig_events.html"


def add_rig_events(app: FastAPI, folder: Path) -> None:
    """Add the page of events of a rig.

    Parameters
    ----------
    app : FastAPI
        The application.
    folder : Path
        The book's folder.
    """

    @app.get("/rig-events/{rig:path}")
    def events(request: Request, rig: str) -> Response:
        return _page(request, folder, rig)

    @app.post("/rig-events/{rig:path}")
    async def press(request: Request, rig: str) -> Response:
        typed = await typed_of(request)
        entry, by = typed.get("entry", ""), typed.get("by", "")

        def keep() -> str:
            if entry:
                names = ("station", "note", f"torque_{'ftlb' if _us(request) else 'Nm'}")
                return add_details(folder, entry, {n: typed.get(n, "") for n in names}, by)
            return press_event(
                folder, rig, typed.get("what", ""), typed.get("bore", ""),
                typed.get("station", ""), by, typed.get("happened", ""),
            )  # fmt: skip

        def again(error: BadInputError) -> Response:
            return _page(request, folder, rig, error, entry)

        bore = typed.get("bore", "")
        return await pressed(request, rig, keep, again, address(PAGE, rig), bore=bore)


def _us(request: Request) -> bool:
    return system_of(request) == "us"


def _page(
    request: Request,
    folder: Path,
    rig: str,
    error: BadInputError | None = None,
    entry: str = "",
) -> Response:
    asked = request.query_params
    chosen = entry or asked.get("entry", "")
    view = of_rig(lambda: events_view(folder, rig, asked.get("bore", ""), chosen), rig)
    unit = "ftlb" if _us(request) else "Nm"
    return rig_page(request, TEMPLATE, folder, view, view.at.rig, error, unit=unit)
