"""Why a number is what it is: pages of its inputs, their standing and where they come from."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import Response

from rodhand.book.opening import open_assessment
from rodhand.book.why.bend import why_bend
from rodhand.book.why.chance import why_chance
from rodhand.book.why.force import why_force
from rodhand.book.why.makeup import why_makeup
from rodhand.book.why.rod import WhyRod, why_rod
from rodhand.book.why.room import why_room
from rodhand.book.why.table import WhyTable, why_table
from rodhand.book.why.why import NoSuchNumberError, WhyView
from rodhand.book.work.assess import Assessment
from rodhand.sheets.why_table import table_csv, table_workbook
from rodhand.web.as_of import as_of_asked
from rodhand.web.desk import NotHereError, folder_of
from rodhand.web.pages import page_or_twin, sent_file

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
CSV = "text/csv; charset=utf-8"


def add_why(app: FastAPI, desk: object) -> None:
    """Add the pages; a desk without a book's folder gets none.

    Parameters
    ----------
    app : FastAPI
        The application.
    desk : object
        Its desk; the book's folder is its ``folder``.
    """
    folder = folder_of(desk)
    if folder is None:
        return

    @app.get("/why/file/{form}/{name:path}")
    def file(request: Request, form: str, name: str) -> Response:
        table = _table(request, folder, name)
        if form == "csv":
            return sent_file(table_csv(table).encode("utf-8"), CSV, f"life-used-{table.name}.csv")
        if form == "xlsx":
            return sent_file(table_workbook(table), XLSX, f"life-used-{table.name}.xlsx")
        raise NotHereError(form)

    @app.get("/why/rod/{name:path}")
    def rod(request: Request, name: str) -> Response:
        view = _rod(request, folder, name)
        return page_or_twin(request, "why_rod.html", view)

    @app.get("/why/bend/{station}/{name:path}")
    def bend(request: Request, station: str, name: str) -> Response:
        at = number_of(station)
        if at is None:
            raise NotHereError(station)
        return _page(request, lambda: why_bend(_assessed(request, folder), name, at))

    @app.get("/why/chance/{name:path}")
    def chance(request: Request, name: str) -> Response:
        return _page(request, lambda: why_chance(_assessed(request, folder), name))

    @app.get("/why/makeup/{rig:path}")
    def makeup(request: Request, rig: str) -> Response:
        bore = request.query_params.get("bore", "")
        return _page(request, lambda: why_makeup(folder, rig, bore))

    @app.get("/why/force/{station}/{name:path}")
    def force(request: Request, station: str, name: str) -> Response:
        at, of = number_of(station), request.query_params.get("pass", "pilot")
        if at is None or at % 1:
            raise NotHereError(station)
        return _page(request, lambda: why_force(_assessed(request, folder), name, int(at), of))

    @app.get("/why/room/{rig:path}")
    def room(request: Request, rig: str) -> Response:
        bore = request.query_params.get("bore", "")
        return _page(request, lambda: why_room(folder, rig, bore))


def number_of(typed: str) -> float | None:
    """A station as typed in an address; None for no number."""
    try:
        value = float(typed)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _assessed(request: Request, folder: Path) -> Assessment:
    return open_assessment(folder, as_of_asked(request))


def _page(request: Request, work: Callable[[], WhyView]) -> Response:
    try:
        view = work()
    except NoSuchNumberError:
        raise
    except LookupError as error:
        raise NotHereError(str(error)) from error
    return page_or_twin(request, "why.html", view)


def _rod(request: Request, folder: Path, name: str) -> WhyRod:
    bore, section = (request.query_params.get(each, "") for each in ("bore", "section"))
    try:
        view = why_rod(open_assessment(folder, as_of_asked(request)), name, bore, section)
    except NoSuchNumberError:
        raise
    except LookupError as error:
        raise NotHereError(str(error)) from error
    if view is None:
        raise NotHereError(name)
    return view


def _table(request: Request, folder: Path, name: str) -> WhyTable:
    try:
        section = request.query_params.get("section", "")
        table = why_table(open_assessment(folder, as_of_asked(request)), name, section)
    except NoSuchNumberError:
        raise
    except LookupError as error:
        raise NotHereError(str(error)) from error
    if table is None:
        raise NotHereError(name)
    return table
