"""Labels: a page to print them from, and what a scanned or typed code opens."""

from __future__ import annotations

from pathlib import Path
from typing import cast
from urllib.parse import quote

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response

from rodhand.book.opening import open_assessment
from rodhand.book.work.assess import Assessment
from rodhand.book.yard.labels import Label, NoSuchRowError, labelled, labels_of, row_view
from rodhand.faults import BadInputError, Fault
from rodhand.sheets.label_sheet import GRIDS, label_pdf
from rodhand.sheets.qr_code import TooLongError
from rodhand.units import System
from rodhand.web.asked import SYSTEMS, system_of, wants_json
from rodhand.web.desk import NotHereError, folder_of
from rodhand.web.door import Door
from rodhand.web.pages import html, page_or_twin

PDF = "application/pdf"
SEE_OTHER = 303
MOST = 2000


def add_labels(app: FastAPI, desk: object, door: Door | None) -> None:
    """Add the pages; a desk without a book's folder gets none.

    Parameters
    ----------
    app : FastAPI
        The application.
    desk : object
        Its desk; the book's folder is its ``folder``.
    door : Door or None
        Where phones reach the pages; None where they are on this machine only.
    """
    folder = folder_of(desk)
    if folder is None:
        return

    @app.get("/labels")
    def choose(request: Request) -> Response:
        assessment = open_assessment(folder)
        labels = labels_of(assessment)
        if wants_json(request):
            rows = [vars(each) for each in labels]
            return JSONResponse({"labels": rows})
        return html(
            request, "labels.html", groups=_groups(labels), invented=assessment.invented,
            addresses=door.addresses() if door else [],
            count=len(labels), grids=GRIDS,
        )  # fmt: skip

    @app.get("/labels.pdf")
    def sheet(request: Request) -> Response:
        assessment = open_assessment(folder)
        asked = request.query_params
        system = cast("System", asked.get("units") or system_of(request))
        if system not in SYSTEMS:
            raise BadInputError([Fault("paper_units", system, column="units")])
        chosen = _chosen(assessment, asked.get("of", ""), asked.get("names", ""))
        try:
            made = label_pdf(
                chosen, asked.get("base", "").strip(), system, assessment.invented,
                _skip(asked.get("skip", "")),
            )  # fmt: skip
        except TooLongError as error:
            raise BadInputError([Fault("label_address", str(error), column="base")]) from error
        headers = {"Content-Disposition": 'inline; filename="labels.pdf"'}
        return Response(made, media_type=PDF, headers=headers)

    @app.get("/label")
    def typed(request: Request) -> Response:
        return _open(request, folder, request.query_params.get("code", ""))

    @app.get("/L/{code}")
    def scanned(request: Request, code: str) -> Response:
        return _open(request, folder, code)

    @app.get("/row/{rig:path}/{row}")
    def row(request: Request, rig: str, row: str) -> Response:
        if not (row.isdigit() and len(row) < 6):
            raise NotHereError(row)
        try:
            view = row_view(open_assessment(folder), rig, int(row))
        except NoSuchRowError as error:
            raise NotHereError(str(error)) from error
        return page_or_twin(request, "row.html", view)


def _groups(labels: tuple[Label, ...]) -> list[tuple[str, list[Label]]]:
    """Labels of things by set or kind, then rows by rig."""
    groups: dict[str, list[Label]] = {}
    for each in labels:
        name = each.under if each.kind == "thing" else f"row {each.name}"
        groups.setdefault(name, []).append(each)
    return list(groups.items())


def _chosen(assessment: Assessment, of: str, names: str) -> list[Label]:
    """Labels of one group, or of names typed; raises for none, and for names nobody carries."""
    labels = labels_of(assessment)
    if names.strip():
        wanted = [each.strip() for each in names.split(",") if each.strip()]
        by_name = {each.name.casefold(): each for each in labels if each.kind == "thing"}
        unknown = [each for each in wanted if each.casefold() not in by_name]
        if unknown:
            raise BadInputError([Fault("thing_not_known", each) for each in unknown])
        chosen = [by_name[each.casefold()] for each in wanted]
    else:
        chosen = next((rows for name, rows in _groups(labels) if name == of), [])
    if not chosen or len(chosen) > MOST:
        raise BadInputError([Fault("label_none", of, column="of", values={"most": str(MOST)})])
    return chosen


def _skip(typed: str) -> int:
    if not typed.strip():
        return 0
    if not (typed.strip().isdigit() and len(typed.strip()) <= 3):
        raise BadInputError([Fault("label_skip", typed, column="skip")])
    return int(typed)


def _open(request: Request, folder: Path, code: str) -> Response:
    """What carries a code: its page, or a choice where two do."""
    found = labelled(open_assessment(folder), code)
    if wants_json(request):
        return JSONResponse({"labels": [vars(each) for each in found]}, 200 if found else 404)
    if len(found) == 1:
        return RedirectResponse(address_of(found[0]), SEE_OTHER)
    places = [(each, address_of(each)) for each in found]
    return html(request, "label_choice.html", 200 if found else 404, code=code, places=places)


def address_of(label: Label) -> str:
    """Page of what a label is stuck to."""
    name = quote(label.name, safe="")
    return f"/row/{name}/{label.row}" if label.kind == "row" else f"/thing/{name}"
