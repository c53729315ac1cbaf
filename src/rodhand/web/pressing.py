"""Pages where one press keeps one entry: the press, its faults, where it leads."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar
from urllib.parse import quote, urlencode

from fastapi import Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from rodhand.book.entry.outbox import book_id
from rodhand.book.rig.utility_strike import strike_view
from rodhand.book.work.box_of import NoSuchRigError
from rodhand.faults import BadInputError, Fault
from rodhand.web.asked import wants_json
from rodhand.web.desk import NotHereError
from rodhand.web.errors import bad_input
from rodhand.web.pages import html, page_or_twin
from rodhand.words import render_fault

SEE_OTHER = 303
Answer = TypeVar("Answer")


def of_rig(call: Callable[[], Answer], rig: str) -> Answer:
    """What a use case says of a rig. Raises NotHereError if the book has no such rig."""
    try:
        return call()
    except NoSuchRigError as error:
        raise NotHereError(rig) from error


def faults_told(error: BadInputError | None) -> list[str]:
    """Faults in words; beside a button they need no line and no column."""
    return [
        render_fault(Fault(f.code, f.found, values={"column": f.column or "", **f.values}))
        for f in (error.faults if error else ())
    ]


def rig_page(
    request: Request,
    template: str,
    folder: Path,
    view: Any,
    rig: str,
    error: BadInputError | None = None,
    **context: Any,
) -> Response:
    """A page of one rig, or its JSON twin.

    Parameters
    ----------
    request : Request
        What was asked.
    template : str
        Its template.
    folder : Path
        The book's folder.
    view : Any
        What the page shows.
    rig : str
        The rig, in the book's spelling.
    error : BadInputError, optional
        Faults for which nothing was kept; the page then has status 400.
    **context
        What else the template names.

    Returns
    -------
    Response
        The page holds the words for a struck utility, so that they come up without a signal.
    """
    if wants_json(request):
        return page_or_twin(request, template, view)
    return html(
        request,
        template,
        400 if error else 200,
        view=view,
        invented=view.invented,
        faults=faults_told(error),
        taken_back="taken_back" in request.query_params,
        strike=strike_view(folder, rig),
        rig=rig,
        book=book_id(folder),
        **context,
    )


async def typed_of(request: Request) -> dict[str, str]:
    """What a form sent, as texts without blanks at the ends."""
    form = await request.form()
    return {name: value.strip() for name, value in form.items() if isinstance(value, str)}


async def pressed(
    request: Request,
    rig: str,
    keep: Callable[[], str],
    page: Callable[[BadInputError], Response],
    to: str,
    place: str = "",
    **asked: str,
) -> Response:
    """Keep an entry, then lead to a page that tells of it.

    Parameters
    ----------
    request : Request
        The press.
    rig : str
        The rig, as the address names it.
    keep : callable
        Keeps the entry and gives its id.
    page : callable
        The page once more, with the faults for which nothing was kept.
    to : str
        Address to lead to.
    place : str
        Where on that page; its top when empty.
    **asked
        What to ask there besides the entry; blanks are left out.

    Returns
    -------
    Response
        Where to look, or the id as JSON; the page with status 400 for faults.
    """
    try:
        entry = await run_in_threadpool(of_rig, keep, rig)
    except BadInputError as error:
        return bad_input(request, error) if wants_json(request) else page(error)
    if wants_json(request):
        return JSONResponse({"entry": entry}, 201)
    query = urlencode({key: text for key, text in {"entry": entry, **asked}.items() if text})
    return RedirectResponse(f"{to}?{query}{f'#{place}' if place else ''}", SEE_OTHER)


def address(page: str, rig: str) -> str:
    """Address of a page of one rig; a name may hold any sign."""
    return f"/{page}/{quote(rig, safe='')}"
