"""The entry grid: logs, loading lists and checks typed from their sheets."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from urllib.parse import quote, urlencode

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response

from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.grid.checks import checks_grid, rules_of_ends, save_checks
from rodhand.book.grid.grid import LAYOUTS, GridSaved, GridView
from rodhand.book.grid.load import HOWS, load_grid, save_load
from rodhand.book.grid.log import REFERENCES, log_grid, save_log
from rodhand.book.grid.plan import GridDoubtsError, GridFaultsError
from rodhand.book.grid.subjects import subjects_of
from rodhand.faults import BadInputError, Fault
from rodhand.web.asked import system_of, wants_json
from rodhand.web.desk import NotHereError
from rodhand.web.errors import bad_input
from rodhand.web.grid_form import (
    MOST_FIELDS,
    TypedGrid,
    read_grid_form,
    shown_grid,
    with_more_rows,
)
from rodhand.web.pages import html
from rodhand.words import say

SEE_OTHER = 303


def add_grids(app: FastAPI, folder: Path) -> None:
    """Add the grids of a book. They must stand before the pages of bores, whose names are paths."""

    @app.get("/grid")
    def choose(request: Request) -> Response:
        asked = request.query_params
        if asked.get("bore"):
            rest = [(name, asked.get(name, "")) for name in ("pass", "rods") if asked.get(name)]
            rest += [("ask", name) for name in asked.getlist("ask")]
            return RedirectResponse(
                f"/bore/{quote(asked['bore'], safe='')}/grid?{urlencode(rest)}", SEE_OTHER
            )
        return _choose(request, folder)

    @app.get("/bore/{name:path}/grid")
    def log(request: Request, name: str) -> Response:
        return _page(request, _log_view(request, folder, name))

    @app.post("/bore/{name:path}/grid")
    async def write_log(request: Request, name: str) -> Response:
        view = _log_view(request, folder, name)
        typed = read_grid_form(view, await _form(request))

        def save() -> GridSaved:
            return save_log(folder, name, view.pass_name, typed.columns, typed.rows, typed.head,
                            typed.keep)  # fmt: skip

        back = f"/bore/{quote(view.subject, safe='')}?{urlencode({'pass': view.pass_name})}"
        return await _written(request, view, typed, save, back)

    @app.get("/load/grid")
    def load(request: Request) -> Response:
        return _page(request, _load_view(request, folder))

    @app.post("/load/grid")
    async def write_load(request: Request) -> Response:
        view = _load_view(request, folder)
        typed = read_grid_form(view, await _form(request))

        def save() -> GridSaved:
            return save_load(folder, view.subject, typed.rows, typed.head)

        return await _written(request, view, typed, save, "/yard")

    @app.get("/checks/grid")
    def checks(request: Request) -> Response:
        return _page(request, _checks_view(request, folder))

    @app.post("/checks/grid")
    async def write_checks(request: Request) -> Response:
        view = _checks_view(request, folder)
        typed = read_grid_form(view, await _form(request))

        def save() -> GridSaved:
            return save_checks(
                folder, view.subject, typed.columns, typed.rows, typed.head, typed.keep
            )

        return await _written(request, view, typed, save, "/yard")


async def _form(request: Request) -> dict[str, str]:
    form = await request.form(max_fields=MOST_FIELDS)
    return {name: value for name, value in form.items() if isinstance(value, str)}


def _rods(request: Request) -> int | None:
    """Rows asked for in the address."""
    text = request.query_params.get("rods", "").strip()
    if not text:
        return None
    if not text.isdigit() or len(text) > 4:
        raise BadInputError([Fault("sheet_rods", text, column="rods", values={"most": "1000"})])
    return int(text)


def _log_view(request: Request, folder: Path, name: str) -> GridView:
    asked = request.query_params
    chosen = asked.getlist("ask") or None
    try:
        return log_grid(
            folder, name, asked.get("pass", ""), _rods(request), chosen, system_of(request)
        )
    except NoSuchBoreError as error:
        raise NotHereError(name) from error


def _of_rig(request: Request, make: Callable[[str], GridView]) -> GridView:
    rig = request.query_params.get("rig", "")
    try:
        return make(rig)
    except LookupError as error:
        raise NotHereError(rig or say("grid.rig_not_named")) from error


def _load_view(request: Request, folder: Path) -> GridView:
    asked, rods = request.query_params, _rods(request)
    return _of_rig(request, lambda rig: load_grid(
        folder, rig, asked.get("bore", ""), asked.get("happened", ""), rods, system_of(request)
    ))  # fmt: skip


def _checks_view(request: Request, folder: Path) -> GridView:
    happened = request.query_params.get("happened", "")
    return _of_rig(request, lambda rig: checks_grid(folder, rig, happened, system_of(request)))


async def _written(
    request: Request, view: GridView, typed: TypedGrid, save: Callable[[], GridSaved], back: str
) -> Response:
    """The page after saving, or the grid again with everything that was typed in it."""
    form = await _form(request)
    if "more" in form:
        return _page(request, with_more_rows(view, typed))
    try:
        saved = save()
    except GridFaultsError as error:
        if wants_json(request):
            return bad_input(request, error)
        shown = view.as_typed(typed.columns, error.rows, typed.head)
        if isinstance(error, GridDoubtsError):
            return _page(request, replace(shown, doubts=error.faults), 400)
        return _page(request, replace(shown, faults=error.faults), 400)
    if wants_json(request):
        return JSONResponse({"written": saved.written, "struck": saved.struck,
                             "unchanged": saved.unchanged})  # fmt: skip
    return RedirectResponse(back, SEE_OTHER)


def _page(request: Request, view: GridView, status: int = 200) -> Response:
    if wants_json(request):
        return JSONResponse(_twin(view), status)
    items = [rule.key for rules in rules_of_ends().values() for rule in rules]
    return html(
        request, "grid.html", status, grid=shown_grid(view), view=view, invented=view.invented,
        references=REFERENCES, hows=HOWS, items=list(dict.fromkeys(items)),
        query=request.url.query,
    )  # fmt: skip


def _twin(view: GridView) -> Mapping[str, object]:
    """The grid as JSON: columns with their units, and rows as typed."""
    return {
        "layout": view.layout, "subject": view.subject, "pass": view.pass_name,
        "units": view.system, "invented": view.invented,
        "columns": [{"name": c.name, "field": c.field, "unit": c.unit} for c in view.columns],
        "happened": view.head.happened, "by": view.head.by,
        "rows": [
            {"entry": row.entry, "typed": dict(row.cells), "offered": dict(row.offered),
             "as_above": sorted(row.as_above)}
            for row in view.rows
        ],
    }  # fmt: skip


def _choose(request: Request, folder: Path) -> Response:
    subjects = subjects_of(folder)
    if wants_json(request):
        return JSONResponse(
            {"bores": subjects.bores, "rigs": subjects.rigs, "passes": subjects.passes}
        )
    return html(request, "grid_choose.html", subjects=subjects, layouts=LAYOUTS)
