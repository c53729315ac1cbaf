"""The page of a bore's way back to a wanted depth and pitch."""

from __future__ import annotations

import math
from pathlib import Path
from urllib.parse import urlencode

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.rig.drilled_anew import keep_drilled_anew
from rodhand.book.rig.way_ahead import way_view
from rodhand.faults import BadInputError, Fault
from rodhand.units import to_si
from rodhand.web.asked import system_of, wants_json
from rodhand.web.desk import NotHereError, folder_of
from rodhand.web.pages import page_or_twin
from rodhand.web.pressing import SEE_OTHER, address, typed_of


def add_way(app: FastAPI, desk: object) -> None:
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

    _add_anew(app, folder)

    @app.get("/bore/{name:path}/way")
    def way(request: Request, name: str) -> Response:
        unit = "ft" if system_of(request) == "us" else "m"
        asked = request.query_params
        typed = {each: asked.get(each, "").strip() for each in ("depth_m", "depth_ft")}
        column = next((each for each, text in typed.items() if text), f"depth_{unit}")
        depth = _number(typed[column], column)
        pitch = _number(asked.get("pitch_pct", ""), "pitch_pct")
        rods, to_drill, back = (
            _whole(asked.get(each, ""), each) for each in ("rods", "to_drill", "back")
        )
        try:
            view = way_view(
                folder,
                name,
                None if depth is None else to_si(depth, "length", column.removeprefix("depth_")),
                None if pitch is None else math.atan(pitch / 100.0),
                rods,
                to_drill,
                back,
            )
        except NoSuchBoreError as error:
            raise NotHereError(str(error)) from error
        return page_or_twin(
            request, "way.html", view,
            lambda: {"unit": unit, "typed": {
                "depth": typed[f"depth_{unit}"],
                "pitch_pct": asked.get("pitch_pct", ""),
                **{each: asked.get(each, "") for each in ("rods", "to_drill", "back")},
            }},
        )  # fmt: skip


def _add_anew(app: FastAPI, folder: Path) -> None:
    @app.post("/bore/{name:path}/anew")
    async def anew(request: Request, name: str) -> Response:
        typed = await typed_of(request)
        back = _whole(typed.get("back", ""), "back")
        try:
            entry, rig, rod = await run_in_threadpool(
                keep_drilled_anew, folder, name, back, typed.get("turned", ""), typed.get("by", "")
            )
        except NoSuchBoreError as error:
            raise NotHereError(str(error)) from error
        if wants_json(request):
            return JSONResponse({"entry": entry, "next": rod}, 201)
        query = urlencode({"bore": name, "entry": entry, "anew": rod})
        return RedirectResponse(f"{address('rig-rod', rig)}?{query}", SEE_OTHER)


def _whole(text: str, column: str) -> int | None:
    """A typed whole number; None when blank."""
    value = _number(text, column)
    if value is not None and value != int(value):
        raise BadInputError([Fault("not_a_number", text, column=column)])
    return None if value is None else int(value)


def _number(text: str, column: str) -> float | None:
    """A typed number; None when blank."""
    if not text.strip():
        return None
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = math.nan
    if not abs(value) < 1e5:
        raise BadInputError([Fault("not_a_number", text, column=column)])
    return value
