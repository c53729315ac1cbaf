"""The page of a bore's way back to a wanted depth and pitch."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from urllib.parse import urlencode

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool

from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.rig.drilled_anew import keep_drilled_anew
from rodhand.book.rig.way_ahead import way_view
from rodhand.book.rig.way_views import WayView
from rodhand.faults import BadInputError, Fault
from rodhand.sheets.way_drawing import way_svg
from rodhand.units import to_si
from rodhand.web.asked import system_of, wants_json
from rodhand.web.bore_pictures import WIDTHS
from rodhand.web.desk import NotHereError, folder_of
from rodhand.web.pages import html, page_or_twin
from rodhand.web.pressing import SEE_OTHER, address, typed_of
from rodhand.words import render_fault

TYPED = ("pitch_pct", "rods", "to_drill", "back")
MOST = 1e5
"""A number typed beyond this is none that could be meant."""


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
        typed = _typed_of(request, request.query_params)
        try:
            view = _worked(folder, name, typed)
        except BadInputError as error:
            if wants_json(request):
                raise
            return _page(request, folder, name, typed, error)
        except NoSuchBoreError as error:
            raise NotHereError(str(error)) from error
        return page_or_twin(request, "way.html", view, lambda: _more(request, view, typed))


def _add_anew(app: FastAPI, folder: Path) -> None:
    @app.post("/bore/{name:path}/anew")
    async def anew(request: Request, name: str) -> Response:
        typed = await typed_of(request)
        faults: list[Fault] = []
        back = _whole(typed, "back", faults)
        try:
            if faults:
                raise BadInputError(faults)
            entry, rig, rod = await run_in_threadpool(
                keep_drilled_anew, folder, name, back, typed.get("turned", ""), typed.get("by", "")
            )
        except NoSuchBoreError as error:
            raise NotHereError(str(error)) from error
        except BadInputError as error:
            if wants_json(request):
                raise
            unit = _unit(request)
            asked = {"unit": unit, "rods_out": typed.get("back", "")}
            return await run_in_threadpool(_page, request, folder, name, asked, error, "rods_out")
        if wants_json(request):
            return JSONResponse({"entry": entry, "next": rod}, 201)
        query = urlencode({"bore": name, "entry": entry, "anew": rod})
        return RedirectResponse(f"{address('rig-rod', rig)}?{query}", SEE_OTHER)


def _unit(request: Request) -> str:
    return "ft" if system_of(request) == "us" else "m"


def _typed_of(request: Request, asked: Mapping[str, str]) -> dict[str, str]:
    """What was typed, by field; the depth's unit is that of the field that was filled."""
    filled = next((each for each in ("m", "ft") if asked.get(f"depth_{each}", "").strip()), None)
    unit = filled or _unit(request)
    typed = {
        each: asked.get(each, "").strip() for each in ("pitch_pct", "rods", "to_drill", "back")
    }
    return {**typed, "depth": asked.get(f"depth_{unit}", "").strip(), "unit": unit}


def _worked(folder: Path, name: str, typed: Mapping[str, str]) -> WayView:
    faults: list[Fault] = []
    depth, pitch = _number(typed, "depth", faults), _number(typed, "pitch_pct", faults)
    rods, to_drill, back = (_whole(typed, each, faults) for each in ("rods", "to_drill", "back"))
    return way_view(
        folder, name, None if depth is None else to_si(depth, "length", typed["unit"]),
        None if pitch is None else math.atan(pitch / 100.0), rods, to_drill, back, faults,
    )  # fmt: skip


def _page(
    request: Request, folder: Path, name: str, typed: Mapping[str, str], error: BadInputError,
    only: str = "",
) -> Response:  # fmt: skip
    """The page again with what was typed, each fault beside its field."""
    try:
        view = way_view(folder, name, None, None, None)
    except NoSuchBoreError as missing:
        raise NotHereError(str(missing)) from missing
    faults: dict[str, list[str]] = {}
    for fault in error.faults:
        text = render_fault(replace(fault, column=None))
        faults.setdefault(only or fault.column or "", []).append(text)
    more = _more(request, view, typed) | {"faults": faults}
    return html(request, "way.html", 400, view=view, invented=view.invented, **more)


def _more(request: Request, view: WayView, typed: Mapping[str, str]) -> dict[str, object]:
    system, drawing = system_of(request), view.drawing
    drawn = () if drawing is None else tuple(
        (size, Markup(way_svg(drawing, view.name, wide, system))) for size, wide in WIDTHS
    )  # fmt: skip
    return {"typed": typed, "faults": {}, "drawn": drawn}


def _whole(typed: Mapping[str, str], column: str, faults: list[Fault]) -> int | None:
    """A typed whole number; None when blank, or when it is none, which is told."""
    value = _number(typed, column, faults)
    if value is not None and value != int(value):
        faults.append(Fault("way_whole", typed[column], column=column))
        return None
    return None if value is None else int(value)


def _number(typed: Mapping[str, str], column: str, faults: list[Fault]) -> float | None:
    """A typed number; None when blank, or when it is none, which is told."""
    text = typed.get(column, "").strip()
    if not text:
        return None
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = math.nan
    if abs(value) < MOST:
        return value
    faults.append(Fault("not_a_number", text, column=column))
    return None
