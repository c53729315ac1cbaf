"""What may reach the pages: this machine's own browser, and forms from these pages only."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from urllib.parse import urlsplit

from fastapi import Request, Response

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
CallNext = Callable[[Request], Awaitable[Response]]


class RefusedError(Exception):
    """A request that did not come from this machine's own pages; ``code`` names the words."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


def host_of(address: str) -> str:
    """Host name of a Host header, without the port and the brackets of an IPv6 address."""
    return urlsplit(f"//{address}").hostname or ""


def check_request(request: Request) -> None:
    """Refuse a foreign host name, and a form that another site's page sent.

    Raises
    ------
    RefusedError
        If the Host header names no loopback address, or a writing request has another origin.

    Notes
    -----
    A browser sends Origin with every POST; a script on this machine need not.
    """
    host = request.headers.get("host", "")
    if host_of(host) not in LOOPBACK:
        raise RefusedError("host")
    if request.method in ("GET", "HEAD"):
        return
    origin = request.headers.get("origin")
    site = request.headers.get("sec-fetch-site", "same-origin")
    same = origin is None or origin == f"{request.url.scheme}://{host}"
    if not same or site not in ("same-origin", "none"):
        raise RefusedError("origin")


def secure(response: Response) -> Response:
    """Set the headers that keep a page to its own files; pages are never kept by the browser."""
    for name, value in HEADERS.items():
        response.headers[name] = value
    if not response.headers.get("Cache-Control"):
        response.headers["Cache-Control"] = "no-store"
    return response
