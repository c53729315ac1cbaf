"""What a request asks for besides its address: JSON or a page, metric or US units."""

from __future__ import annotations

import math
from typing import Any

from fastapi import Request
from starlette.types import ASGIApp, Receive, Scope, Send

from rodhand.units import System

SYSTEMS: tuple[System, ...] = ("metric", "us")
SUFFIX = ".json"


class JsonSuffix:
    """Lets every address end in ``.json``: the same address, its JSON twin."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Take the suffix off and remember it."""
        path = scope.get("path", "")
        if scope["type"] == "http" and path.endswith(SUFFIX):
            bare = path.removesuffix(SUFFIX).removesuffix("index") or "/"
            scope = {**scope, "path": bare, "raw_path": bare.encode(), "json_twin": True}
        await self.app(scope, receive, send)


def wants_json(request: Request) -> bool:
    """Whether the JSON twin was asked for, by suffix or by Accept."""
    accept = request.headers.get("accept", "")
    return bool(request.scope.get("json_twin")) or (
        "application/json" in accept and "text/html" not in accept
    )


def system_of(request: Request) -> System:
    """Unit system: of the address, else of the cookie, else metric."""
    for typed in (request.query_params.get("units"), request.cookies.get("units")):
        for system in SYSTEMS:
            if typed == system:
                return system
    return "metric"


def without_infinities(value: Any) -> Any:
    """JSON without NaN and infinities, which it cannot hold: null in their place."""
    if isinstance(value, dict):
        return {key: without_infinities(each) for key, each in value.items()}
    if isinstance(value, (list, tuple)):
        return [without_infinities(each) for each in value]
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
