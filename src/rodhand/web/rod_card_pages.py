"""The rod card on a phone: touches and numbers of one rod, kept by one press."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import quote

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile

from rodhand.book.yard.card_photos import LARGEST, CardPhoto
from rodhand.book.yard.rod_card import ENDS, card_items, card_view
from rodhand.book.yard.rod_card_kept import Typed, keep_card, out_of_the_hole, take_on
from rodhand.book.yard.rod_verdict import give_standing, verdict_view
from rodhand.book.yard.thing_page import NoSuchThingError
from rodhand.faults import BadInputError
from rodhand.web.asked import system_of, wants_json
from rodhand.web.desk import NotHereError, folder_of
from rodhand.web.errors import bad_input
from rodhand.web.pages import html, page_or_twin
from rodhand.web.pressing import SEE_OTHER, faults_told, typed_of

COLUMNS = {"r1": "reading", "r2": "second_reading", "r3": "third_reading", "e": "gauge_error"}


def add_rod_card(app: FastAPI, desk: object) -> None:
    """Add the card and the verdict of a rod; a desk without a book's folder gets none.

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

    @app.get("/check/{name:path}")
    def card(request: Request, name: str) -> Response:
        return _card(request, folder, name)

    @app.post("/check/{name:path}")
    async def keep(request: Request, name: str) -> Response:
        form = await request.form()
        typed = await _typed(form, system_of(request))
        try:
            entries = await run_in_threadpool(keep_card, folder, name, typed)
        except NoSuchThingError as error:
            raise NotHereError(name) from error
        except BadInputError as error:
            if wants_json(request):
                return bad_input(request, error)
            return await run_in_threadpool(_card, request, folder, name, error, form)
        if wants_json(request):
            return JSONResponse({"entries": entries}, 201)
        return RedirectResponse(f"/verdict/{quote(name, safe='')}?of={entries[0]}", SEE_OTHER)

    @app.get("/verdict/{name:path}")
    def verdict(request: Request, name: str) -> Response:
        return _verdict(request, folder, name)

    @app.post("/verdict/{name:path}")
    async def stand(request: Request, name: str) -> Response:
        typed = await typed_of(request)
        said = typed.get("standing", ""), typed.get("why", ""), typed.get("by", "")
        try:
            entry = await run_in_threadpool(give_standing, folder, name, *said)
        except NoSuchThingError as error:
            raise NotHereError(name) from error
        except BadInputError as error:
            if wants_json(request):
                return bad_input(request, error)
            return await run_in_threadpool(_verdict, request, folder, name, error)
        if wants_json(request):
            return JSONResponse({"entry": entry}, 201)
        return RedirectResponse(f"/verdict/{quote(name, safe='')}", SEE_OTHER)

    @app.post("/card-out")
    async def out(request: Request) -> Response:
        typed = await typed_of(request)
        name = typed.get("name", "")
        try:
            await run_in_threadpool(out_of_the_hole, folder, name, typed.get("by", ""))
        except BadInputError as error:
            return bad_input(request, error)
        return RedirectResponse(f"/check/{quote(name, safe='')}", SEE_OTHER)

    @app.post("/card-limit")
    async def limit(request: Request) -> Response:
        typed = await typed_of(request)
        try:
            await run_in_threadpool(take_on, folder, typed.get("item", ""), typed.get("by", ""))
        except BadInputError as error:
            return bad_input(request, error)
        return RedirectResponse(f"/check/{quote(typed.get('name', ''), safe='')}", SEE_OTHER)


async def _typed(form: FormData, system: str) -> Typed:
    """What a card's form holds; pictures are read whole."""
    size, length = ("in", "ft") if system == "us" else ("mm", "m")
    said, numbers = {}, {}
    for item in card_items():
        touched = tuple(str(each) for each in form.getlist(f"s.{item.name}"))
        if touched:
            said[item.name] = touched
        typed = {
            f"{column}_{size}": str(form.get(f"{short}.{item.name}", "")).strip()
            for short, column in COLUMNS.items()
        }
        typed |= {
            "gauge": str(form.get(f"g.{item.name}", "")).strip(),
            "method": str(form.get(f"m.{item.name}", "")).strip(),
            f"span_{length}": str(form.get(f"span.{item.name}", "")).strip(),
        }
        numbers[item.name] = {column: text for column, text in typed.items() if text}
    photos = []
    for end in ENDS:
        for sent in form.getlist(f"photo.{end}"):
            if isinstance(sent, UploadFile) and sent.filename:
                content = await sent.read(LARGEST + 1)
                photos.append(CardPhoto(content, end, form.get(f"scale.{end}") == "yes"))
    happened, by = str(form.get("happened", "")).strip(), str(form.get("by", "")).strip()
    return Typed(said, numbers, photos, happened, by)


def _card(
    request: Request,
    folder: Path,
    name: str,
    error: BadInputError | None = None,
    form: FormData | None = None,
) -> Response:
    system = system_of(request)
    try:
        view = card_view(folder, name, system)
    except NoSuchThingError as missing:
        raise NotHereError(name) from missing
    if wants_json(request):
        return page_or_twin(request, "rod_card.html", view)
    touched = {(key, str(value)) for key, value in form.multi_items()} if form else set()
    return html(
        request, "rod_card.html", 400 if error else 200, view=view, invented=view.invented,
        faults=faults_told(error), ends=ENDS, touched=touched, form=form or {},
        size="in" if system == "us" else "mm", length="ft" if system == "us" else "m",
    )  # fmt: skip


def _verdict(
    request: Request, folder: Path, name: str, error: BadInputError | None = None
) -> Response:
    try:
        view = verdict_view(folder, name, request.query_params.get("of", ""))
    except NoSuchThingError as missing:
        raise NotHereError(name) from missing
    if wants_json(request):
        return page_or_twin(request, "rod_verdict.html", view)
    return html(
        request, "rod_verdict.html", 400 if error else 200, view=view, invented=view.invented,
        faults=faults_told(error),
    )  # fmt: skip
