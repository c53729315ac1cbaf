"""The order of a rig's rods for its next bore: what to lift and lay, on screen and on paper."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.responses import Response

from rodhand.book.opening import open_assessment
from rodhand.book.order.booked_order import booked_view
from rodhand.book.order.order_rows import RodOrderView
from rodhand.book.order.rod_order import rod_order_view
from rodhand.faults import BadInputError
from rodhand.sheets.loading_paper import booked_paper, loading_paper
from rodhand.sheets.paper import BookFacts, paper_pdf
from rodhand.web.as_of import as_of_asked
from rodhand.web.asked import system_of, wants_json
from rodhand.web.desk import folder_of
from rodhand.web.errors import bad_input
from rodhand.web.pages import html, page_or_twin
from rodhand.web.pressing import faults_told, of_rig

PDF = "application/pdf"
ASKED = ("rods", "break_cost", "move_cost")


def add_order(app: FastAPI, desk: object) -> None:
    """Add the page of the order of rods; a desk without a book's folder gets none.

    Parameters
    ----------
    app : FastAPI
        The application.
    desk : object
        Its desk.
    """
    folder = folder_of(desk)
    if folder is None:
        return

    def asked(request: Request) -> list[str]:
        return [request.query_params.get(name, "") for name in ASKED]

    def view(request: Request, rig: str, typed: list[str]) -> RodOrderView:
        assessment = open_assessment(folder, as_of_asked(request))
        return of_rig(lambda: rod_order_view(assessment, rig, *typed), rig)

    @app.get("/order/{rig:path}/list.pdf")
    def paper(request: Request, rig: str) -> Response:
        found = view(request, rig, asked(request))
        read = open_assessment(folder, as_of_asked(request)).book
        facts = BookFacts.of(folder, read)
        made = loading_paper(found, facts, system_of(request))
        return Response(paper_pdf(made), media_type=PDF)

    @app.get("/booked-order/{rig:path}/list.pdf")
    def booked_list(request: Request, rig: str) -> Response:
        assessment = open_assessment(folder, as_of_asked(request))
        found = of_rig(lambda: booked_view(assessment, rig), rig)
        facts = BookFacts.of(folder, assessment.book)
        return Response(paper_pdf(booked_paper(found, facts, system_of(request))), media_type=PDF)

    @app.get("/booked-order/{rig:path}")
    def booked(request: Request, rig: str) -> Response:
        assessment = open_assessment(folder, as_of_asked(request))
        found = of_rig(lambda: booked_view(assessment, rig), rig)
        return page_or_twin(request, "booked_order.html", found)

    @app.get("/order/{rig:path}")
    def page(request: Request, rig: str) -> Response:
        typed = asked(request)
        try:
            found, error = view(request, rig, typed), None
        except BadInputError as bad:
            if wants_json(request):
                return bad_input(request, bad)
            found, error = view(request, rig, []), bad
        if wants_json(request):
            return page_or_twin(request, "order.html", found)
        return html(
            request, "order.html", 400 if error else 200, view=found, invented=found.invented,
            typed=dict(zip(ASKED, typed, strict=True)), faults=faults_told(error),
        )  # fmt: skip
