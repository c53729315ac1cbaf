"""The season on one page, money, and the forecast over the booked work."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.responses import Response

from rodhand.book.opening import open_assessment
from rodhand.book.owner.forecast import forecast_view
from rodhand.book.owner.money import money_view
from rodhand.book.owner.season import season_view
from rodhand.sheets.paper import BookFacts, paper_pdf
from rodhand.sheets.season_paper import season_paper
from rodhand.web.as_of import as_of_asked
from rodhand.web.asked import system_of
from rodhand.web.desk import folder_of
from rodhand.web.pages import page_or_twin


def add_season(app: FastAPI, desk: object) -> None:
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

    @app.get("/forecast")
    def forecast(request: Request) -> Response:
        view = forecast_view(open_assessment(folder, as_of_asked(request)))
        return page_or_twin(request, "forecast.html", view)

    @app.get("/money")
    def money(request: Request) -> Response:
        view = money_view(open_assessment(folder, as_of_asked(request)))
        return page_or_twin(request, "money.html", view)

    @app.get("/season.pdf")
    def paper(request: Request) -> Response:
        assessment = open_assessment(folder, as_of_asked(request))
        read = assessment.book
        facts = BookFacts(folder.resolve().name, read.entry_count, read.head, read.as_of)
        made = paper_pdf(season_paper(season_view(assessment), facts, system_of(request)))
        named = {"Content-Disposition": 'inline; filename="season.pdf"'}
        return Response(made, media_type="application/pdf", headers=named)

    @app.get("/season")
    def season(request: Request) -> Response:
        view = season_view(open_assessment(folder, as_of_asked(request)))
        return page_or_twin(request, "season.html", view)
