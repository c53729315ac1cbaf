"""The language a device is spoken to in, and the trade words that nobody has looked through yet."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from starlette.requests import HTTPConnection
from starlette.types import ASGIApp, Receive, Scope, Send

from rodhand.web.asked import wants_json
from rodhand.web.pages import html
from rodhand.words import ENGLISH, LANGUAGES, in_language, language_in_force, trade_words

YEAR = 365 * 24 * 3600
SEE_OTHER = 303
COOKIE = "language"
ONCE = "x-language"
"""Header by which a device has a page told in a language it is not set to, to keep it."""


class LanguageOfDevice:
    """Tells every text of a request in its device's language."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Put the device's language in force for this request alone."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        with in_language(language_of(HTTPConnection(scope))):
            await self.app(scope, receive, send)


def language_of(asked: HTTPConnection) -> str:
    """The language asked for this once, else the cookie's, else the browser's, else English."""
    chosen = asked.headers.get(ONCE) or asked.cookies.get(COOKIE)
    if chosen in LANGUAGES:
        return chosen
    for wanted in asked.headers.get("accept-language", "").split(","):
        language = wanted.partition(";")[0].partition("-")[0].strip().lower()
        if language in LANGUAGES:
            return language
    return ENGLISH


def add_language(app: FastAPI) -> None:
    """Add the switch of language and the list of trade words.

    Parameters
    ----------
    app : FastAPI
        The application.
    """

    @app.post("/language")
    async def language(request: Request) -> Response:
        form = await request.form()
        chosen, back = str(form.get("language", "")), str(form.get("back", "/"))
        own = back.startswith("/") and not back.startswith(("//", "/\\"))
        answer = RedirectResponse(back if own else "/", SEE_OTHER)
        if chosen in LANGUAGES:
            answer.set_cookie(COOKIE, chosen, max_age=YEAR, httponly=True, samesite="strict")
        return answer

    @app.get("/words")
    def words(request: Request) -> Response:
        rows = trade_words(language_in_force())
        if wants_json(request):
            return JSONResponse({"words": rows})
        return html(request, "words.html", rows=rows)
