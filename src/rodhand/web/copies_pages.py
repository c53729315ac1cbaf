"""The pages of copies: one touch to a folder or stick, a copy beside the book, the way back."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile

from rodhand.book.entry.carrying import LinesTaken, restore, take_lines
from rodhand.book.entry.copies import CopyMade, copy_now
from rodhand.book.entry.copies_page import compare_view, copies_view
from rodhand.faults import BadInputError, CannotReadError, DamagedError, Fault
from rodhand.web.asked import wants_json
from rodhand.web.desk import folder_of
from rodhand.web.errors import bad_input, error_shape
from rodhand.web.pages import html, page_or_twin
from rodhand.words import render_fault, say

SEE_OTHER = 303


def add_copies(app: FastAPI, desk: object) -> None:
    """Add the pages of copies; a desk without a folder gets none.

    Parameters
    ----------
    app : FastAPI
        The application.
    desk : object
        Its desk; the book's folder is its ``folder``.
    """
    folder = folder_of(desk)
    if folder is None:
        return
    _add_damage(app)
    _add_copying(app, folder)
    _add_way_back(app, folder)


def _add_damage(app: FastAPI) -> None:
    @app.exception_handler(DamagedError)
    async def damaged(request: Request, error: DamagedError) -> Response:
        body = error_shape("damaged", reason=error.reason, path=error.path)
        if wants_json(request):
            return JSONResponse(body, 503)
        return html(request, "damaged.html", 503, error=body["error"])


def _add_copying(app: FastAPI, folder: Path) -> None:
    @app.get("/copies")
    def copies(request: Request) -> Response:
        if wants_json(request):
            return page_or_twin(request, "copies.html", copies_view(folder))
        return _page(request, folder)

    @app.post("/copies/now")
    async def now(request: Request) -> Response:
        target = str((await request.form()).get("target", ""))
        try:
            made = await run_in_threadpool(copy_now, folder, target)
        except DamagedError:
            return RedirectResponse("/copies", SEE_OTHER)
        except BadInputError as error:
            if wants_json(request):
                return bad_input(request, error)
            return await run_in_threadpool(_page, request, folder, error)
        except CannotReadError as error:
            fault = Fault(
                "copy_not_written", error.path, column="target", values={"why": error.reason}
            )
            told = BadInputError([fault])
            if wants_json(request):
                return bad_input(request, told)
            return await run_in_threadpool(_page, request, folder, told)
        if wants_json(request):
            return JSONResponse({"path": made.path, "entries": made.entry_count,
                                 "digest": made.digest, "made": made.made})  # fmt: skip
        return await run_in_threadpool(_page, request, folder, None, made)


def _page(
    request: Request,
    folder: Path,
    error: BadInputError | None = None,
    made: CopyMade | None = None,
    taken: tuple[str, LinesTaken] | None = None,
) -> Response:
    done: list[str] = []
    if made is not None:
        done.append(say("copies.made", count=made.entry_count, path=made.path))
    if taken is not None:
        name, lines = taken
        done.append(say("copies.lines_taken", count=lines.new, total=lines.total, name=name))
    view = copies_view(folder)
    return html(
        request,
        "copies.html",
        400 if error else 200,
        view=view,
        invented=view.invented,
        done=done,
        told=_told(error.faults if error else ()),
    )


def _told(faults: Sequence[Fault]) -> dict[str, list[str]]:
    """Faults in words by the field they stand beside."""
    told: dict[str, list[str]] = {"target": [], "copy": [], "file": []}
    for fault in faults:
        field = fault.column if fault.column in told else "file"
        plain = Fault(fault.code, fault.found, fault.line, values=dict(fault.values))
        told[field or "file"].append(render_fault(plain))
    return told


def _add_way_back(app: FastAPI, folder: Path) -> None:
    @app.get("/copies/compare")
    def compare(request: Request) -> Response:
        copy = request.query_params.get("copy", "").strip()
        try:
            if not copy:
                raise BadInputError([Fault("copy_no_path", column="copy")])
            return page_or_twin(request, "compare.html", compare_view(folder, Path(copy)))
        except BadInputError as error:
            return _refused(request, folder, error)
        except CannotReadError as error:
            return _refused(request, folder, _as_fault(error))

    @app.post("/copies/bring")
    async def bring(request: Request) -> Response:
        copy = str((await request.form()).get("copy", "")).strip()
        try:
            if not copy:
                raise BadInputError([Fault("copy_no_path", column="copy")])
            done = await run_in_threadpool(restore, Path(copy), folder)
        except BadInputError as error:
            return await run_in_threadpool(_refused, request, folder, error)
        except CannotReadError as error:
            return await run_in_threadpool(_refused, request, folder, _as_fault(error))
        if wants_json(request):
            aside = str(done.aside) if done.aside else None
            return JSONResponse({"added": done.added, "aside": aside, "saved": done.saved})
        return html(request, "restored.html", done=done)

    @app.post("/copies/entries")
    async def entries(request: Request) -> Response:
        sent = (await request.form()).get("file")
        try:
            if not isinstance(sent, UploadFile) or not sent.filename:
                raise BadInputError([Fault("copy_no_file", column="file")])
            name, data = Path(sent.filename).name, await sent.read()
            taken = await run_in_threadpool(_take, folder, name, data)
        except BadInputError as error:
            return await run_in_threadpool(_refused, request, folder, error)
        if wants_json(request):
            return JSONResponse({"new": taken.new, "total": taken.total})
        return await run_in_threadpool(_page, request, folder, None, None, (name, taken))


def _take(folder: Path, name: str, data: bytes) -> LinesTaken:
    with tempfile.TemporaryDirectory() as scratch:
        file = Path(scratch) / (name or "entries.jsonl")
        file.write_bytes(data)
        return take_lines(folder, file)


def _as_fault(error: CannotReadError) -> BadInputError:
    """A copy that cannot be read is told beside its field, not as a fault of the book."""
    code = "copy_damaged" if isinstance(error, DamagedError) else "copy_unreadable"
    return BadInputError([Fault(code, error.path, column="copy", values={"why": error.reason})])


def _refused(request: Request, folder: Path, error: BadInputError) -> Response:
    if wants_json(request):
        return bad_input(request, error)
    return _page(request, folder, error)
