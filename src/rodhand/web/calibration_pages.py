"""The page of what the owner's own breaks say, and keeping it."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import RedirectResponse, Response
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool

from rodhand.book.opening import open_assessment
from rodhand.book.owner.keep_calibration import calibration_page, keep_calibration
from rodhand.faults import BadInputError
from rodhand.sheets.calibration_drawing import calibration_svg
from rodhand.web.as_of import as_of_asked
from rodhand.web.asked import system_of
from rodhand.web.desk import folder_of
from rodhand.web.pages import page_or_twin
from rodhand.web.pressing import SEE_OTHER, faults_told, typed_of


def add_calibration(app: FastAPI, desk: object) -> None:
    """Add the page; a desk without a book's folder gets none.

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

    @app.get("/calibration")
    def calibration(request: Request) -> Response:
        return _page(request, folder, {}, None)

    @app.post("/calibration/keep")
    async def keep(request: Request) -> Response:
        typed = await typed_of(request)
        why, by = typed.get("why", ""), typed.get("by", "")
        try:
            await run_in_threadpool(keep_calibration, folder, why, by)
        except BadInputError as error:
            answer = await run_in_threadpool(_page, request, folder, typed, error)
            answer.status_code = 400
            return answer
        return RedirectResponse("/calibration", SEE_OTHER)


def _page(
    request: Request, folder: Path, typed: dict[str, str], error: BadInputError | None
) -> Response:
    view = calibration_page(open_assessment(folder, as_of_asked(request)))
    system = system_of(request)
    return page_or_twin(
        request, "calibration.html", view,
        lambda: {
            "drawings": [
                Markup(calibration_svg(view, each, system)) for each in view.classes
            ],
            "typed": typed,
            "faults": faults_told(error),
        },
    )  # fmt: skip
