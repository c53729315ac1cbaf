"""Starting a book without a terminal: the form, what comes after it, and where it leads from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Protocol

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from rodhand.book.entry.start import PARTS, START, examples, needs_start, start
from rodhand.book.entry.started import started
from rodhand.faults import BadInputError, CannotReadError
from rodhand.web.asked import system_of, wants_json
from rodhand.web.desk import NotHereError, folder_of
from rodhand.web.errors import bad_input
from rodhand.web.forms import FormField, build_form, payload_of
from rodhand.web.pages import html, page_or_twin
from rodhand.words import has, say

FIRST_PAGES = (
    "/", "/yard", "/office", "/plan", "/season", "/money", "/forecast", "/limits", "/checks-due",
    "/wear", "/gauges", "/labels", "/rig-day", "/marks", "/schedule", "/calibration",
)  # fmt: skip
"""Pages that show nothing without a book and so lead to its beginning."""
SEE_OTHER = 303
DEFAULTS = {"v.set": "S1", "v.rig": "Rig-1", "v.rod_type": "rods-1"}
UNITS = {"u.rotating_time": "h"}
"""Nobody counts a set's past in minutes."""


class HasFolder(Protocol):
    """A desk that knows where its book is."""

    folder: Path


class LeadsToStart:
    """Leads from the first pages to the beginning of a book while there is none."""

    def __init__(self, app: ASGIApp, folder: Path) -> None:
        self._app, self._folder = app, folder

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Lead there, or pass the request on."""
        is_first = scope["type"] == "http" and scope["path"] in FIRST_PAGES
        asks_page = is_first and scope["method"] == "GET" and not wants_json(Request(scope))
        leads = asks_page and _is_empty(self._folder)
        answers = RedirectResponse("/start", SEE_OTHER) if leads else self._app
        await answers(scope, receive, send)


def _is_empty(folder: Path) -> bool:
    """Whether there is no book yet; one that cannot be read is told by its page."""
    try:
        return needs_start(folder)
    except CannotReadError:
        return False


def add_start(app: FastAPI, desk: object) -> None:
    """Add the pages that start a book; a desk without a folder gets none.

    Parameters
    ----------
    app : FastAPI
        The application.
    desk : object
        Its desk; `HasFolder` where there is a real book.
    """
    folder = folder_of(desk)
    if folder is None:
        return

    app.add_middleware(LeadsToStart, folder=folder)

    @app.get("/start")
    def form(request: Request) -> Response:
        if wants_json(request):
            columns = [column for field in START.fields for column in field.columns()]
            return JSONResponse({"columns": columns, "examples": dict(examples())})
        like = request.query_params.get("like", "")
        return _form(request, folder, _typed_of(examples().get(like, {})), like)

    @app.post("/start")
    async def take(request: Request) -> Response:
        sent = await request.form()
        typed = {name: value for name, value in sent.items() if isinstance(value, str)}
        like, by = typed.get("like", ""), typed.get("by", "").strip()
        happened = typed.get("happened", "").strip()
        try:
            start(folder, payload_of(START, typed), like, happened, by)
        except BadInputError as error:
            if wants_json(request):
                return bad_input(request, error)
            return _form(request, folder, typed, like, error)
        return RedirectResponse("/start/next", SEE_OTHER)

    @app.get("/start/next")
    def what_next(request: Request) -> Response:
        view = started(folder)
        if view is None:
            raise NotHereError(request.url.path)
        return page_or_twin(request, "start_next.html", view)


def _typed_of(columns: Mapping[str, str]) -> dict[str, str]:
    """An example's columns as if they had been typed into the form."""
    typed = {}
    for field in START.fields:
        for column, suffix in field.columns().items():
            if column in columns:
                typed[f"v.{field.name}"] = columns[column]
                typed[f"u.{field.name}"] = suffix
    return typed


def _form(
    request: Request,
    folder: Path,
    typed: Mapping[str, str],
    like: str,
    error: BadInputError | None = None,
) -> Response:
    is_first = needs_start(folder)
    shown = {**UNITS, **typed}
    if error is None:
        today = {"happened": date.today().isoformat()}
        shown = {**(DEFAULTS if is_first else {}), **today, **shown}
    form = build_form(START, shown, system_of(request), error)
    by_name = {field.name: _labelled(field) for field in form.fields}
    parts = {name: [by_name[field.name] for field in fields] for name, fields in PARTS.items()}
    return html(
        request,
        "start.html",
        400 if error else 200,
        form=form,
        parts_of_form=parts,
        like=like if like in examples() else "",
        examples=list(examples()),
        is_first=is_first,
    )


def _labelled(field: FormField) -> FormField:
    """A field with the words this form has for it, where they differ from the record's."""
    key = f"start_field.{field.name}"
    return replace(field, label=say(key)) if has(key) else field
