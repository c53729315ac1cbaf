"""Old rods with new ones: what is dressed first, and each make-up of a new rod by one press."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import quote

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from rodhand.book.yard.old_new import break_in, old_new_view
from rodhand.faults import BadInputError
from rodhand.web.asked import wants_json
from rodhand.web.desk import folder_of
from rodhand.web.errors import bad_input
from rodhand.web.pages import html, page_or_twin
from rodhand.web.pressing import SEE_OTHER, faults_told, of_rig


def add_old_new(app: FastAPI, desk: object) -> None:
    """Add the page of old with new of a rig; a desk without a book's folder gets none.

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

    @app.get("/old-new/{rig:path}")
    def page(request: Request, rig: str) -> Response:
        return _page(request, folder, rig)

    @app.post("/old-new/{rig:path}")
    async def made_up(request: Request, rig: str) -> Response:
        form = await request.form()
        names = tuple(str(each) for each in form.getlist("rod"))
        clean, by = form.get("found") == "clean", str(form.get("by", "")).strip()
        try:
            entry = await run_in_threadpool(
                of_rig, lambda: break_in(folder, rig, names, clean, by), rig
            )
        except BadInputError as error:
            if wants_json(request):
                return bad_input(request, error)
            return await run_in_threadpool(_page, request, folder, rig, error)
        if wants_json(request):
            return JSONResponse({"entry": entry}, 201)
        return RedirectResponse(f"/old-new/{quote(rig, safe='')}", SEE_OTHER)


def _page(request: Request, folder: Path, rig: str, error: BadInputError | None = None) -> Response:
    view = of_rig(lambda: old_new_view(folder, rig), rig)
    if wants_json(request):
        return page_or_twin(request, "old_new.html", view)
    status = 400 if error else 200
    return html(
        request, "old_new.html", status, view=view, invented=view.invented,
        faults=faults_told(error),
    )  # fmt: skip
