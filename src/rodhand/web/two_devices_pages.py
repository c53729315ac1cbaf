"""Values told twice of one rod: side by side, picked in one press; a device out of step."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.entry.pressed import take_back
from rodhand.book.rig.two_press import press_two, two_devices_of
from rodhand.faults import BadInputError
from rodhand.web.asked import wants_json
from rodhand.web.desk import NotHereError
from rodhand.web.errors import bad_input
from rodhand.web.pages import html, page_or_twin
from rodhand.web.pressing import SEE_OTHER, address, faults_told, typed_of


def add_two_devices(app: FastAPI, folder: Path) -> None:
    """Add the page of what several devices say of a bore.

    Parameters
    ----------
    app : FastAPI
        The application.
    folder : Path
        The book's folder.
    """

    @app.get("/two/{bore:path}")
    def two(request: Request, bore: str) -> Response:
        return _page(request, folder, bore)

    @app.post("/two/{bore:path}")
    async def press(request: Request, bore: str) -> Response:
        typed = await typed_of(request)
        by, undone = typed.get("by", ""), typed.get("take_back", "")
        try:
            if undone:
                await run_in_threadpool(take_back, folder, undone, by)
            else:
                await run_in_threadpool(press_two, folder, bore, typed.get("what", ""), by)
        except NoSuchBoreError as error:
            raise NotHereError(bore) from error
        except BadInputError as error:
            if wants_json(request):
                return bad_input(request, error)
            return await run_in_threadpool(_page, request, folder, bore, error)
        if wants_json(request):
            return JSONResponse({}, 201)
        back = typed.get("back", "")
        own = back if back.startswith(("/rig-rod/", "/bore/")) else address("two", bore)
        return RedirectResponse(own, SEE_OTHER)


def _page(
    request: Request, folder: Path, bore: str, error: BadInputError | None = None
) -> Response:
    try:
        view = two_devices_of(folder, bore)
    except NoSuchBoreError as missing:
        raise NotHereError(bore) from missing
    if wants_json(request):
        return page_or_twin(request, "two.html", view)
    return html(
        request, "two.html", 400 if error else 200, view=view, faults=faults_told(error)
    )  # fmt: skip
