"""What may reach the pages: this machine's own browser or who has the key; own forms only."""

from __future__ import annotations

import logging
from collections.abc import Callable
from urllib.parse import urlsplit

from fastapi import Request, Response
from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from rodhand.web.door import Door

LOOPBACK = {"127.0.0.1", "localhost", "::1"}
HEADERS = {
    "Content-Security-Policy": (
        "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; "
        "object-src 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
}
log = logging.getLogger(__name__)


COOKIE = "rodhand-key"
KEY_PAGE = "/key"
CERTIFICATE = "/trust.crt"
WITHOUT_KEY = (KEY_PAGE, "/static/", CERTIFICATE)
"""What a stranger on the network may ask for: the page that asks for the key, its style, and the
certificate a device installs."""
AT_THE_MACHINE = ("/copies", "/monday", "/phones")
"""Pages that read or write places of this machine's disk or show the key: not from the network."""


class RefusedError(Exception):
    """A request that did not come from this machine's own pages; ``code`` names the words."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


def host_of(address: str) -> str:
    """Host name of a Host header, without the port and the brackets of an IPv6 address."""
    return urlsplit(f"//{address}").hostname or ""


def at_this_machine(request: Request) -> bool:
    """Whether a request came from this machine and asked for it by a loopback name.

    Notes
    -----
    Both are needed: anybody can write a loopback name into the Host header, and a page of
    another site can send this machine's own browser here under a name of its own.
    """
    client = request.client.host if request.client else ""
    return client in LOOPBACK and host_of(request.headers.get("host", "")) in LOOPBACK


def check_request(request: Request, door: Door | None = None) -> None:
    """Refuse a foreign host name or a stranger, and a form that another site's page sent.

    Parameters
    ----------
    request : Request
        What was asked.
    door : Door or None
        The key, where the pages are served on a network; None on this machine only.

    Raises
    ------
    RefusedError
        If the Host header names no loopback address, if a request from the network brings no
        key or asks for what belongs at the machine, or if a writing request has another origin.

    Notes
    -----
    A browser sends Origin with every POST; a script on this machine need not.
    """
    host = request.headers.get("host", "")
    if door is None:
        if host_of(host) not in LOOPBACK:
            raise RefusedError("host")
    elif not at_this_machine(request):
        _check_stranger(request, door)
    if request.method in ("GET", "HEAD"):
        return
    origin = request.headers.get("origin")
    site = request.headers.get("sec-fetch-site", "same-origin")
    same = origin is None or origin == f"{request.url.scheme}://{host}"
    if not same or site not in ("same-origin", "none"):
        raise RefusedError("origin")


def _check_stranger(request: Request, door: Door) -> None:
    path = request.url.path
    asks_for_folder = path.startswith("/claim/") and "photos" in request.query_params
    if path.startswith(AT_THE_MACHINE) or asks_for_folder:
        raise RefusedError("at_the_machine")
    if not path.startswith(WITHOUT_KEY) and not door.opens(request.cookies.get(COOKIE, "")):
        raise RefusedError("key")


class Guard:
    """Lets through what may come in, and sends every answer with the headers of `HEADERS`.

    Parameters
    ----------
    app : ASGIApp
        The pages.
    door : Door or None
        The key for requests from a network; see `check_request`.
    refused : callable
        The answer to a request that is refused.
    broken : callable
        The answer where a page failed; why stands in the log.
    """

    def __init__(
        self,
        app: ASGIApp,
        door: Door | None,
        refused: Callable[[Request, RefusedError], Response],
        broken: Callable[[Request], Response],
    ) -> None:
        self._app, self._door = app, door
        self._refused, self._broken = refused, broken

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Check one request and pass it on."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        begun = False

        async def secured(message: Message) -> None:
            nonlocal begun
            if message["type"] == "http.response.start":
                begun = True
                _secure(MutableHeaders(scope=message))
            await send(message)

        request = Request(scope)
        try:
            check_request(request, self._door)
            await self._app(scope, receive, secured)
        except RefusedError as error:
            await self._refused(request, error)(scope, receive, secured)
        except Exception:
            log.exception("%s %s", request.method, request.url.path)
            if begun:
                raise
            await self._broken(request)(scope, receive, secured)


def _secure(headers: MutableHeaders) -> None:
    """Keep a page to its own files; pages are never kept by the browser."""
    for name, value in HEADERS.items():
        headers[name] = value
    headers.setdefault("Cache-Control", "no-store")
