"""A device's outbox: entries sent one by one or as a file, and what is kept on a device."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile

from rodhand.book.entry.device_clock import (
    clock_told,
    clocks_off,
    fast_by,
    is_off,
    own_now,
)
from rodhand.book.entry.outbox import Answer, OtherBookError, Sent, book_id, sent_from, take
from rodhand.book.telling import tell
from rodhand.book.work.rigs import rig_names
from rodhand.faults import BadInputError, Fault
from rodhand.web.asked import wants_json
from rodhand.web.desk import NotHereError
from rodhand.web.errors import answer, error_shape
from rodhand.web.guard import CERTIFICATE
from rodhand.web.pages import html
from rodhand.web.pressing import SEE_OTHER, address, faults_told
from rodhand.web.trust import FOLDER, ISSUER
from rodhand.words import LANGUAGES, say

STATIC = Path(__file__).parent / "static"
LARGEST = 8_000_000
"""Most that is read of an outbox. [bytes]"""
RIG_PAGES = (
    "rig-day", "rig-rod", "rig-events", "rig-makeup", "rig-checks/before", "rig-checks/end",
    "rig-pullback", "rig-strike",
)  # fmt: skip
"""Pages of one rig that a device keeps."""
SHELL = ("/rig-day", "/rig-on", "/rig-outbox")
SUFFIXES = (".css", ".js", ".svg", ".png", ".woff2")


def add_outbox(app: FastAPI, folder: Path) -> None:
    """Add what keeps the rig's pages and presses on a device.

    Parameters
    ----------
    app : FastAPI
        The application.
    folder : Path
        The book's folder.
    """

    @app.post("/outbox")
    async def sent(request: Request) -> Response:
        arrived = own_now()
        body = await _body(request)
        return await run_in_threadpool(_answered, folder, request, body, arrived)

    @app.get("/rig-outbox")
    def waiting(request: Request) -> Response:
        if wants_json(request):
            clocks = [
                {"device": each.device, "fast_by_s": each.fast_by, "measured": each.measured}
                for each in clocks_off(folder)
            ]
            return JSONResponse(
                {"book": book_id(folder), "rigs": rig_names(folder), "clocks": clocks}
            )
        done = {key: request.query_params.get(key, "") for key in ("taken", "known")}
        return _told(request, folder, 200, done=done)

    @app.post("/rig-outbox")
    async def file(request: Request) -> Response:
        given = (await request.form()).get("file")
        raw = await given.read(LARGEST + 1) if isinstance(given, UploadFile) else b""
        return await run_in_threadpool(_from_file, folder, request, raw)

    @app.get("/rig-kept/{rig:path}")
    def kept(rig: str) -> Response:
        if rig not in rig_names(folder):
            raise NotHereError(rig)
        pages = [*SHELL, *(address(page, rig) for page in RIG_PAGES)]
        return JSONResponse({"pages": pages, "languages": list(LANGUAGES)})

    @app.get("/rig-manifest")
    def manifest() -> Response:
        icons = [
            {"src": f"/static/icon-{size}.png", "sizes": f"{size}x{size}", "type": "image/png"}
            for size in (192, 512)
        ]
        return JSONResponse(
            {"name": say("outbox.app_name"), "short_name": say("outbox.app_name"),
             "start_url": "/rig-day", "scope": "/", "id": "/rig-day", "display": "standalone",
             "background_color": "#FBFAF6", "theme_color": "#FBFAF6", "icons": icons},
            media_type="application/manifest+json",
        )  # fmt: skip

    @app.get(CERTIFICATE)
    def certificate() -> Response:
        file = folder / FOLDER / ISSUER
        if not file.is_file():
            raise NotHereError(CERTIFICATE)
        return Response(file.read_bytes(), media_type="application/x-x509-ca-cert")

    @app.get("/rig-worker.js")
    def worker() -> Response:
        return Response(worker_script(), media_type="text/javascript")


def static_files() -> list[str]:
    """Addresses of the styles, scripts, fonts and pictures a device keeps."""
    found = sorted(each for each in STATIC.rglob("*") if each.suffix in SUFFIXES)
    return [f"/static/{each.relative_to(STATIC).as_posix()}" for each in found]


def worker_script() -> str:
    """The service worker with the files it keeps; another version of a file makes it another."""
    names = static_files()
    digest = hashlib.sha256()
    for name in names:
        digest.update((STATIC / name.removeprefix("/static/")).read_bytes())
    head = {"version": digest.hexdigest()[:12], "files": names, "shell": list(SHELL)}
    own = (STATIC / "rig_worker.js").read_text(encoding="utf-8")
    return f"self.kept = {json.dumps(head)};\n{own}"


async def _body(request: Request) -> bytes:
    """What was sent, as far as it is read at all."""
    found = bytearray()
    async for part in request.stream():
        found += part
        if len(found) > LARGEST:
            break
    return bytes(found)


def _parsed(raw: bytes) -> Sent:
    """Raises BadInputError if it is no outbox."""
    if len(raw) > LARGEST:
        raise BadInputError([Fault("outbox_large", values={"most": f"{LARGEST // 1_000_000}"})])
    try:
        found: Any = json.loads(raw)
    except (ValueError, RecursionError):
        raise BadInputError([Fault("outbox_form")]) from None
    return sent_from(found)


def _answered(folder: Path, request: Request, raw: bytes, arrived: str) -> Response:
    """Taken, known or refused, entry by entry, and the device's clock where it is off; 409 for
    another book's entries."""
    try:
        sent = _parsed(raw)
        answers = take(folder, sent, arrived)
    except OtherBookError:
        return answer(request, 409, error_shape("other_book"))
    return JSONResponse(
        {"book": book_id(folder), "answers": [_as_json(each) for each in answers],
         "clock": _clock(fast_by(sent.now, arrived))}
    )  # fmt: skip


def _clock(seconds: float | None) -> dict[str, Any] | None:
    """What a device is told of its clock; None while it is not off."""
    if seconds is None or not is_off(seconds):
        return None
    return {"fast_by_s": seconds, "told": tell(clock_told(seconds, "outbox.clock"), "metric")}


def _as_json(each: Answer) -> dict[str, Any]:
    return {"id": each.id, "state": each.state, "why": _why(each)}


def _why(each: Answer) -> list[str]:
    return faults_told(BadInputError(list(each.faults)) if each.faults else None)


def _from_file(folder: Path, request: Request, raw: bytes) -> Response:
    """Take a file of an outbox; the page tells what became of it."""
    try:
        sent = _parsed(raw)
        answers = take(folder, sent)
    except OtherBookError:
        return answer(request, 409, error_shape("other_book"))
    except BadInputError as error:
        if wants_json(request):
            raise
        return _told(request, folder, 400, faults=faults_told(error))
    if wants_json(request):
        return JSONResponse({"answers": [_as_json(each) for each in answers]})
    count = {state: sum(each.state == state for each in answers) for state in ("taken", "known")}
    refused = [(each.kind, _why(told)) for each, told in zip(sent.entries, answers, strict=True)
               if told.state == "refused"]  # fmt: skip
    if refused:
        return _told(request, folder, 200, refused=refused, done=count)
    query = f"taken={count['taken']}&known={count['known']}"
    return RedirectResponse(f"/rig-outbox?{query}", SEE_OTHER)


def _told(
    request: Request,
    folder: Path,
    status: int,
    faults: Sequence[str] = (),
    refused: Sequence[tuple[str, list[str]]] = (),
    done: Mapping[str, object] | None = None,
) -> Response:
    return html(
        request, "rig_outbox.html", status, book=book_id(folder), rigs=rig_names(folder),
        done=done or {"taken": "", "known": ""}, refused=refused, faults=faults,
        clocks=clocks_off(folder),
    )  # fmt: skip
