"""Blank sheets: a page to choose from, and each as PDF."""

from __future__ import annotations

from pathlib import Path
from typing import cast

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, Response

from rodhand.book.grid.blank_grid import blank_grid
from rodhand.book.grid.grid import LAYOUTS, Layout, grid_columns
from rodhand.book.grid.subjects import subjects_of
from rodhand.faults import BadInputError, Fault
from rodhand.sheets.blank_sheets import blank_sheet, sheet_pdf
from rodhand.web.asked import SYSTEMS, system_of, wants_json
from rodhand.web.desk import NotHereError
from rodhand.web.pages import html

PDF = "application/pdf"


def add_sheets(app: FastAPI, folder: Path) -> None:
    """Add the page of blank sheets and the sheets themselves."""

    @app.get("/sheets")
    def choose(request: Request) -> Response:
        if wants_json(request):
            columns = {
                layout: [column.name for column in grid_columns(layout, system_of(request))]
                for layout in cast("tuple[Layout, ...]", LAYOUTS)
            }
            return JSONResponse({"sheets": columns})
        return html(request, "sheets.html", layouts=LAYOUTS, subjects=subjects_of(folder))

    @app.get("/sheets/print")
    def of_form(request: Request) -> Response:
        return _pdf(request, folder, request.query_params.get("paper", ""))

    @app.get("/sheets/{paper}.pdf")
    def one(request: Request, paper: str) -> Response:
        return _pdf(request, folder, paper)


def _pdf(request: Request, folder: Path, paper: str) -> Response:
    asked = request.query_params
    if paper not in LAYOUTS:
        raise NotHereError(paper)
    rods, units = asked.get("rods", "").strip(), asked.get("units", "")
    if rods and not (rods.isdigit() and len(rods) <= 6):
        raise BadInputError([Fault("sheet_rods", rods, column="rods", values={"most": "1000"})])
    system = next((each for each in SYSTEMS if each == units), None)
    rig = asked.get("rig", "").strip()
    view = blank_grid(
        cast("Layout", paper), folder, rig, int(rods) if rods else None,
        system or (None if rig else system_of(request)),
    )  # fmt: skip
    headers = {"Content-Disposition": f'inline; filename="{paper}.pdf"'}
    return Response(sheet_pdf(blank_sheet(view)), media_type=PDF, headers=headers)
