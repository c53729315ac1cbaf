"""Errors in one shape, as JSON and as a page: what was found, what was needed, what to do."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from starlette.exceptions import HTTPException

from rodhand.book.why.why import NoSuchNumberError
from rodhand.faults import BadInputError, CannotReadError
from rodhand.web.asked import wants_json
from rodhand.web.desk import NotHereError
from rodhand.web.guard import RefusedError
from rodhand.web.pages import html
from rodhand.words import has, render_fault, say


def error_shape(code: str, **values: str) -> dict[str, Any]:
    """What, needed and do of an error of the pages.

    Parameters
    ----------
    code : str
        Key under ``error`` in the catalogue.
    **values
        What the texts name.
    """
    parts = {part: say(f"error.{code}.{part}", **values) for part in ("what", "needed", "do")}
    return {"error": {**parts, "faults": []}}


def answer(request: Request, status: int, body: dict[str, Any]) -> Response:
    """The error as JSON or as a page."""
    if wants_json(request):
        return JSONResponse(body, status)
    return html(request, "error.html", status, error=body["error"])


def bad_input(request: Request, error: BadInputError) -> Response:
    """Input that cannot be used, with every fault."""
    body = error_shape("bad_input", count=str(len(error.faults)))
    body["error"]["faults"] = [render_fault(fault) for fault in error.faults]
    return answer(request, 400, body)


def add_handlers(app: FastAPI) -> None:
    """Let every failure end in the one shape."""

    @app.exception_handler(NotHereError)
    async def not_here(request: Request, error: NotHereError) -> Response:
        return answer(request, 404, error_shape("not_here", name=str(error)))

    @app.exception_handler(NoSuchNumberError)
    async def no_number(request: Request, error: NoSuchNumberError) -> Response:
        return answer(request, 404, error_shape("no_number", name=str(error)))

    @app.exception_handler(BadInputError)
    async def bad(request: Request, error: BadInputError) -> Response:
        return bad_input(request, error)

    @app.exception_handler(CannotReadError)
    async def unreadable(request: Request, error: CannotReadError) -> Response:
        body = error_shape("cannot_read", path=error.path, reason=error.reason)
        return answer(request, 503, body)

    @app.exception_handler(RequestValidationError)
    async def odd_question(request: Request, error: RequestValidationError) -> Response:
        names = ", ".join(str(fault["loc"][-1]) for fault in error.errors())
        return answer(request, 400, error_shape("question", name=names))

    @app.exception_handler(HTTPException)
    async def http(request: Request, error: HTTPException) -> Response:
        code = f"http_{error.status_code}"
        known = code if has(f"error.{code}.what") else "http_other"
        return answer(request, error.status_code, error_shape(known, name=request.url.path))


def refused(request: Request, error: RefusedError) -> Response:
    """A request that did not come from these pages."""
    return answer(request, 403, error_shape(f"refused_{error.code}"))


def broken(request: Request) -> Response:
    """A fault of the program itself: said so, nothing of its inside shown."""
    return answer(request, 500, error_shape("broken"))
