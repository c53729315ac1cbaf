"""Any table in: a page to send a file to, a look at it as understood, and the way back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from starlette.datastructures import UploadFile

from rodhand.book.entry.imports import digest_of, imports_of, undo_import
from rodhand.book.grid.subjects import subjects_of
from rodhand.faults import BadInputError, Fault
from rodhand.sheets.flags import Flag, told_flag
from rodhand.sheets.grids import grid_from_bytes
from rodhand.sheets.importing import book_in
from rodhand.sheets.recipe_guess import Guess
from rodhand.sheets.recipes import TABLE_KINDS, Recipe, built_in_names, find_recipe
from rodhand.sheets.table_guess import propose
from rodhand.sheets.table_in import FIRST_ROWS, Looked, look, take
from rodhand.web.asked import wants_json
from rodhand.web.errors import bad_input
from rodhand.web.pages import html
from rodhand.web.pressing import faults_told
from rodhand.web.table_form import (
    SHOWN,
    choices,
    purpose_of,
    recipe_of_form,
    same_fields,
    shown_columns,
)
from rodhand.words import render_fault, say

SEE_OTHER = 303
FLAGS_SHOWN = 5
FILES_KEPT = 4
MOST_FIELDS = 2000


class _Files:
    """The last few files sent, between looking at them and taking them in."""

    def __init__(self) -> None:
        self._files: dict[str, tuple[str, bytes]] = {}

    def keep(self, name: str, data: bytes) -> str:
        digest = digest_of(data)
        self._files.pop(digest, None)
        self._files[digest] = (name, data)
        while len(self._files) > FILES_KEPT:
            self._files.pop(next(iter(self._files)))
        return digest

    def get(self, digest: str) -> tuple[str, bytes]:
        if digest not in self._files:
            raise BadInputError([Fault("table_send_again", column="file")])
        return self._files[digest]


def add_table(app: FastAPI, folder: Path) -> None:
    """Add the pages of foreign tables of a book."""
    files = _Files()

    @app.get("/table")
    def choose(request: Request) -> Response:
        return _choose(request, folder)

    @app.post("/table/look")
    async def see(request: Request) -> Response:
        typed, sent = await _form(request)
        if sent is not None:
            typed["digest"] = files.keep(*sent)
        try:
            return _seen(request, folder, files, typed)
        except BadInputError as error:
            if wants_json(request):
                return bad_input(request, error)
            return _choose(request, folder, typed, error)

    @app.post("/table/take")
    async def keep(request: Request) -> Response:
        typed, _ = await _form(request)
        name, data = files.get(typed.get("digest", ""))
        kind = _kind(typed)
        recipe = recipe_of_form(typed, kind)
        named = bool(typed.get("name", "").strip()) and "kept" not in typed
        try:
            done = take(folder, data, name, recipe, purpose_of(typed), named)
        except BadInputError as error:
            if wants_json(request):
                return bad_input(request, error)
            return _seen(request, folder, files, typed, 400)
        if wants_json(request):
            return JSONResponse({"entries": [entry.id for entry in done.entries]})
        return RedirectResponse("/table#taken", SEE_OTHER)

    @app.post("/table/undo")
    async def undo(request: Request) -> Response:
        typed, _ = await _form(request)
        why = say("table.undo_why", file=typed.get("file", ""))
        done = undo_import(folder, typed.get("entry", ""), why, typed.get("by", "").strip())
        if wants_json(request):
            return JSONResponse({"struck": [e.payload["entry"] for e in done.entries]})
        return RedirectResponse("/table#taken", SEE_OTHER)


async def _form(request: Request) -> tuple[dict[str, str], tuple[str, bytes] | None]:
    form = await request.form(max_fields=MOST_FIELDS)
    typed = {name: value for name, value in form.items() if isinstance(value, str)}
    sent = form.get("file")
    if isinstance(sent, UploadFile) and sent.filename:
        return typed, (Path(sent.filename).name, await sent.read())
    return typed, None


def _kind(typed: Mapping[str, str]) -> str:
    kind = typed.get("what", TABLE_KINDS[0])
    if kind not in TABLE_KINDS:
        raise BadInputError(
            [Fault("recipe_kind", kind, column="what", values={"kinds": ", ".join(TABLE_KINDS)})]
        )
    return kind


def _choose(
    request: Request,
    folder: Path,
    typed: Mapping[str, str] | None = None,
    error: BadInputError | None = None,
) -> Response:
    """The page to send a file to; after a fault with what was typed still in it."""
    imports = imports_of(folder)
    recipes = [*built_in_names(), *book_in(folder).recipes]
    if wants_json(request):
        return JSONResponse(
            {
                "imports": [asdict(each) for each in imports],
                "recipes": recipes,
                "kinds": TABLE_KINDS,
            }
        )
    return html(request, "table.html", 400 if error else 200, imports=imports, recipes=recipes,
                kinds=TABLE_KINDS, subjects=subjects_of(folder), faults=faults_told(error),
                typed=request.query_params if typed is None else typed)  # fmt: skip


def _seen(
    request: Request, folder: Path, files: _Files, typed: Mapping[str, str], status: int = 200
) -> Response:
    name, data = files.get(typed.get("digest", ""))
    kind = _kind(typed)
    recipe, guess = _recipe(folder, typed, kind, data, name)
    looked = look(folder, data, name, recipe, purpose_of(typed))
    if wants_json(request):
        return JSONResponse(_twin(looked, recipe))
    return html(request, "table_look.html", status, file=name, typed=typed, kind=kind,
                recipe=recipe, looked=looked, choices=choices(kind), first=FIRST_ROWS,
                columns=shown_columns(looked.found, recipe, guess),
                same=same_fields(kind, recipe), faults=_told(looked)[:SHOWN],
                more=max(len(looked.faults) - SHOWN, 0), flags=_flags(looked)[:FLAGS_SHOWN],
                more_flags=max(len(looked.flags) - FLAGS_SHOWN, 0),
                kept=_is_kept(typed), query=urlencode({"what": kind}))  # fmt: skip


def _is_kept(typed: Mapping[str, str]) -> bool:
    """Whether the reading has a name in the book already."""
    return "kept" in typed or bool(typed.get("recipe"))


def _recipe(
    folder: Path, typed: Mapping[str, str], kind: str, data: bytes, name: str
) -> tuple[Recipe, Guess | None]:
    """As the form says, the one of that name, or a proposal."""
    if any(key.startswith("h.") for key in typed):
        return recipe_of_form(typed, kind), None
    chosen = typed.get("recipe", "")
    known = book_in(folder).recipes
    if chosen in known or chosen in built_in_names():
        recipe = find_recipe(chosen, known)
        if recipe.kind != kind:
            fault = Fault("table_recipe_kind", chosen, column="recipe",
                          values={"kind": say(f"table.kind.{kind}")})  # fmt: skip
            raise BadInputError([fault], name)
        return recipe, None
    guess = propose(grid_from_bytes(data, name), kind, "")
    return guess.recipe, guess


def _told(looked: Looked) -> list[str]:
    return [render_fault(fault) for fault in looked.faults]


def _flags(looked: Looked) -> list[str]:
    return [told_flag(flag) if isinstance(flag, Flag) else render_fault(flag)
            for flag in looked.flags]  # fmt: skip


def _twin(looked: Looked, recipe: Recipe) -> dict[str, Any]:
    def rows(table: Any) -> dict[str, Any] | None:
        return table and {"headings": table.headings, "lines": table.lines, "rows": table.rows}

    return {
        "recipe": recipe.as_mapping(), "found": rows(looked.found),
        "understood": rows(looked.understood), "rows": looked.rows,
        "entries": len(looked.drafts), "faults": _told(looked), "flags": _flags(looked),
        "unused": looked.unused,
    }  # fmt: skip
