"""Monday for several crews: the lists of all rigs from the places remembered, and their paper."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from rodhand.book.monday.monday import monday_view
from rodhand.book.monday.places import keep_places, places_in, read_places
from rodhand.book.monday.views import MondayView
from rodhand.faults import BadInputError, Fault
from rodhand.sheets.monday_paper import all_paper, rig_papers
from rodhand.sheets.paper import paper_pdf
from rodhand.web.asked import system_of, wants_json
from rodhand.web.bore_pictures import ONE_AT_A_TIME
from rodhand.web.desk import NotHereError, folder_of
from rodhand.web.errors import bad_input
from rodhand.web.pages import html, page_or_twin
from rodhand.words import render_fault

SEE_OTHER = 303
PDF = "application/pdf"


def add_monday(app: FastAPI, desk: object) -> None:
    """Add the page of Monday; a desk without a folder gets none.

    Parameters
    ----------
    app : FastAPI
        The application.
    desk : object
        Its desk; the book's folder is its ``folder``, where the places are remembered.
    """
    folder = folder_of(desk)
    if folder is None:
        return
    _add_page(app, folder)
    _add_paper(app, folder)


def _view(folder: Path) -> MondayView:
    with ONE_AT_A_TIME:
        return monday_view([Path(each) for each in read_places(folder)], own=folder)


def _page(request: Request, folder: Path, told: tuple[str, ...] = (), typed: str = "") -> Response:
    places = read_places(folder)
    view = _view(folder)
    if wants_json(request):
        return page_or_twin(request, "monday.html", view)
    return html(
        request,
        "monday.html",
        400 if told else 200,
        view=view,
        invented=view.invented,
        given=bool(places),
        places=typed or "\n".join(places or (str(folder.resolve()),)),
        told=told,
    )


def _add_page(app: FastAPI, folder: Path) -> None:
    @app.get("/monday")
    def monday(request: Request) -> Response:
        return _page(request, folder)

    @app.post("/monday")
    async def keep(request: Request) -> Response:
        typed = str((await request.form()).get("places", ""))
        places = places_in(typed)
        if not places:
            error = BadInputError([Fault("monday_nothing", column="places")])
            if wants_json(request):
                return bad_input(request, error)
            told = tuple(render_fault(Fault("monday_nothing")) for _ in error.faults)
            return await run_in_threadpool(_page, request, folder, told, typed)
        await run_in_threadpool(keep_places, folder, places)
        return RedirectResponse("/monday", SEE_OTHER)


def _add_paper(app: FastAPI, folder: Path) -> None:
    @app.get("/monday/all.pdf")
    def all_rigs(request: Request) -> Response:
        paper = all_paper(_view(folder), system_of(request))
        return Response(paper_pdf(paper), media_type=PDF)

    @app.get("/monday/{number}/rig.pdf")
    def one_rig(request: Request, number: int) -> Response:
        papers = rig_papers(_view(folder), system_of(request))
        if not 1 <= number <= len(papers):
            raise NotHereError(str(number))
        return Response(paper_pdf(papers[number - 1]), media_type=PDF)
