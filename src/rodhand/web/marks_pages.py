"""The page on which rods are given marks, a row at a touch."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import RedirectResponse, Response

from rodhand.book.entry.marking import give_marks, marks_view
from rodhand.faults import BadInputError, Fault
from rodhand.web.asked import wants_json
from rodhand.web.desk import folder_of
from rodhand.web.errors import bad_input
from rodhand.web.pages import html, page_or_twin
from rodhand.words import render_fault

SEE_OTHER = 303


def add_marks(app: FastAPI, desk: object) -> None:
    """Add the page of marks; a desk without a folder gets none.

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

    @app.get("/marks")
    def marks(request: Request) -> Response:
        if wants_json(request):
            return page_or_twin(request, "marks.html", marks_view(folder))
        return _page(request, folder, {})

    @app.post("/marks")
    async def mark(request: Request) -> Response:
        form = await request.form()
        typed = {name: value for name, value in form.items() if isinstance(value, str)}
        try:
            give_marks(
                folder,
                typed.get("rods", ""),
                typed.get("first", ""),
                typed.get("happened", ""),
                typed.get("by", "").strip(),
            )
        except BadInputError as error:
            if wants_json(request):
                return bad_input(request, error)
            return _page(request, folder, typed, error)
        return RedirectResponse("/marks", SEE_OTHER)


def _page(
    request: Request, folder: Path, typed: Mapping[str, str], error: BadInputError | None = None
) -> Response:
    view = marks_view(folder)
    told: dict[str, list[str]] = {}
    for fault in error.faults if error else ():
        column = fault.column if fault.column in ("rods", "first", "happened") else ""
        plain = Fault(
            fault.code, fault.found, values={"column": fault.column or "", **fault.values}
        )
        told.setdefault(column or "rods", []).append(render_fault(plain))
    return html(
        request,
        "marks.html",
        400 if error else 200,
        view=view,
        invented=view.invented,
        typed=typed,
        told=told,
        today=date.today().isoformat(),
    )
