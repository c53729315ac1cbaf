"""The page on which a box is confirmed in a few touches."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import quote

from fastapi import FastAPI, Request
from fastapi.responses import RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from rodhand.book.entry.loading import loading_view, tell_load
from rodhand.book.work.box_of import NoSuchRigError
from rodhand.faults import BadInputError, Fault
from rodhand.web.asked import wants_json
from rodhand.web.desk import NotHereError, folder_of
from rodhand.web.errors import bad_input
from rodhand.web.pages import html, page_or_twin
from rodhand.words import render_fault, say

SEE_OTHER = 303
DONE = {"by row": "told_load", "marked": "told_load", "slip": "told_slip", "swap": "told_swap"}


def add_load(app: FastAPI, desk: object) -> None:
    """Add the page of a rig's box; a desk without a folder gets none.

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

    @app.get("/load/{rig:path}")
    def load(request: Request, rig: str) -> Response:
        if wants_json(request):
            try:
                return page_or_twin(request, "load.html", loading_view(folder, rig))
            except NoSuchRigError as error:
                raise NotHereError(rig) from error
        return _page(request, folder, rig)

    @app.post("/load/{rig:path}")
    async def tell(request: Request, rig: str) -> Response:
        form = await request.form()
        what, things = str(form.get("what", "")), str(form.get("things", ""))
        touched = [value for value in form.getlist("touched") if isinstance(value, str)]
        by = str(form.get("by", "")).strip()
        try:
            await run_in_threadpool(tell_load, folder, rig, what, things, touched, by)
        except NoSuchRigError as error:
            raise NotHereError(rig) from error
        except BadInputError as error:
            if wants_json(request):
                return bad_input(request, error)
            return await run_in_threadpool(_page, request, folder, rig, error, touched)
        told = f"?done={quote(what)}&names={quote(', '.join(touched))}"
        return RedirectResponse(f"/load/{quote(rig, safe='')}{told}", SEE_OTHER)


def _page(
    request: Request,
    folder: Path,
    rig: str,
    error: BadInputError | None = None,
    touched: list[str] | None = None,
) -> Response:
    try:
        view = loading_view(folder, rig)
    except NoSuchRigError as missing:
        raise NotHereError(rig) from missing
    faults = [
        render_fault(Fault(f.code, f.found, values={"column": f.column or "", **f.values}))
        for f in (error.faults if error else ())
    ]
    asked = request.query_params
    done = ""
    if not error and asked.get("done") in DONE:
        count = int(view.figures["rods"].value or 0)
        done = say(f"load.{DONE[asked['done']]}", count=count, names=asked.get("names", ""))
    return html(
        request,
        "load.html",
        400 if error else 200,
        view=view,
        invented=view.invented,
        faults=faults,
        touched=touched or [],
        done=done,
    )
