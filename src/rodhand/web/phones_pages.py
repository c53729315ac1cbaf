"""Phones and tablets: the page that shows the key at the machine, and the one that asks for it."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response

from rodhand.web.asked import wants_json
from rodhand.web.door import Door
from rodhand.web.guard import COOKIE, KEY_PAGE, RefusedError
from rodhand.web.pages import html

SEE_OTHER = 303
YEAR = 365 * 24 * 3600


@dataclass(frozen=True)
class PhonesView:
    """Whether the pages are open to the network, where, and with which key."""

    open: bool
    addresses: tuple[str, ...] = ()
    key: str = ""


def ask_for_key(request: Request, error: RefusedError) -> Response | None:
    """The way to the page that asks for the key, for somebody who opens a page without it."""
    if error.code != "key" or request.method != "GET" or wants_json(request):
        return None
    return RedirectResponse(KEY_PAGE, SEE_OTHER)


def add_phones(app: FastAPI, door: Door | None) -> None:
    """Add the pages of the key.

    Parameters
    ----------
    app : FastAPI
        The application.
    door : Door or None
        The key; None where the pages are on this machine only.
    """

    @app.get("/phones")
    def phones(request: Request) -> Response:
        view = PhonesView(True, tuple(door.addresses()), door.key) if door else PhonesView(False)
        if wants_json(request):  # the key is for eyes, not for files
            return JSONResponse({"open": view.open, "addresses": list(view.addresses)})
        return html(request, "phones.html", view=view)

    if door is None:
        return

    @app.post("/phones/key")
    def another() -> Response:
        door.renew()
        return RedirectResponse("/phones", SEE_OTHER)

    @app.get(KEY_PAGE)
    def ask(request: Request) -> Response:
        return html(request, "key.html", wrong=False)

    @app.post(KEY_PAGE)
    async def take(request: Request) -> Response:
        typed = f"{(await request.form()).get('key', '')}"
        if not door.opens(typed):
            return html(request, "key.html", 403, wrong=True)
        answer = RedirectResponse("/", SEE_OTHER)
        answer.set_cookie(COOKIE, typed, max_age=YEAR, httponly=True, samesite="lax")
        return answer
