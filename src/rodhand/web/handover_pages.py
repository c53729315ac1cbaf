"""The pages on which a set is handed over, and a former owner's file is taken in."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, Response
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile

from rodhand.book.owner.handover import file_name, handover_of
from rodhand.book.owner.handover_taken import HandoverTaken, sets_to_hand_over, take_handover
from rodhand.faults import BadInputError, Fault
from rodhand.web.asked import wants_json
from rodhand.web.desk import folder_desk
from rodhand.web.errors import bad_input
from rodhand.web.pages import html, page_or_twin, sent_file
from rodhand.words import render_fault, say

FIELDS = ("file", "set", "happened")


def add_handover(app: FastAPI, desk: object) -> None:
    """Add the pages of handing over; a desk without a folder gets none.

    Parameters
    ----------
    app : FastAPI
        The application.
    desk : object
        Its desk; a `FolderDesk` where there is a real book.
    """
    book = folder_desk(desk)
    if book is None:
        return

    @app.get("/handover")
    def choose(request: Request) -> Response:
        if wants_json(request):
            names = [name for name, _, _ in sets_to_hand_over(book.folder)]
            return JSONResponse({"sets": names})
        return _page(request, book.folder, {})

    @app.post("/handover")
    async def take(request: Request) -> Response:
        form = await request.form()
        typed = {name: value for name, value in form.items() if isinstance(value, str)}
        sent = form.get("file")
        try:
            if not isinstance(sent, UploadFile) or not sent.filename:
                raise BadInputError([Fault("handover_no_file", column="file")])
            taken = await run_in_threadpool(
                take_handover, book.folder, await sent.read(), Path(sent.filename).name,
                typed.get("set", ""), typed.get("happened", "").strip(),
                typed.get("by", "").strip(),
            )  # fmt: skip
        except BadInputError as error:
            if wants_json(request):
                return bad_input(request, error)
            return await run_in_threadpool(_page, request, book.folder, typed, error)
        if wants_json(request):
            return JSONResponse({"rods": taken.rods, "set": taken.set, "owner": taken.owner})
        return await run_in_threadpool(_page, request, book.folder, {}, None, taken)

    @app.get("/handover/{name:path}/file")
    def file(name: str) -> Response:
        view = handover_of(book.folder, name, book.as_of)
        return sent_file(view.text.encode(), "application/json", file_name(view.set))

    @app.get("/handover/{name:path}")
    def one(request: Request, name: str) -> Response:
        return page_or_twin(request, "handover.html", handover_of(book.folder, name, book.as_of))


def _page(
    request: Request,
    folder: Path,
    typed: Mapping[str, str],
    error: BadInputError | None = None,
    taken: HandoverTaken | None = None,
) -> Response:
    told: dict[str, list[str]] = {}
    for fault in error.faults if error else ():
        column = fault.column if fault.column in FIELDS else "file"
        if fault.code in ("handover_set_there", "handover_no_such_rod"):
            column = "set"
        plain = Fault(
            fault.code, fault.found, values={"column": fault.column or "", **fault.values}
        )
        told.setdefault(column or "file", []).append(render_fault(plain))
    done = []
    if taken is not None:
        key = "handover.taken_new" if taken.new_set else "handover.taken_there"
        done.append(say(key, count=taken.rods, owner=taken.owner, set=taken.set))
        if taken.told_on:
            done.append(say("handover.told_on", names=", ".join(taken.told_on)))
    return html(
        request,
        "handover_choose.html",
        400 if error else 200,
        sets=sets_to_hand_over(folder),
        typed=typed,
        told=told,
        done=done,
    )
