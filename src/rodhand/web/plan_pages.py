"""The pages of planned bores: list and form, one plan, its paper."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from urllib.parse import quote

from fastapi import FastAPI, Request
from fastapi.responses import RedirectResponse, Response
from markupsafe import Markup

from rodhand.book.entry.entry_page import enter_one, kinds
from rodhand.book.opening import book_in
from rodhand.book.plan.plan_page import keep_path, plan_list, plan_view, typed_plan
from rodhand.book.plan.plan_views import PlanView
from rodhand.book.plan.planned import NoSuchPlanError, plan_named
from rodhand.faults import BadInputError
from rodhand.sheets.paper import BookFacts, paper_pdf
from rodhand.sheets.plan_drawing import plan_svg
from rodhand.sheets.plan_paper import plan_paper
from rodhand.web.asked import system_of, wants_json
from rodhand.web.bore_pictures import WIDTHS
from rodhand.web.desk import NotHereError, folder_of
from rodhand.web.errors import bad_input
from rodhand.web.forms import build_form, payload_of
from rodhand.web.pages import html, page_or_twin, sent_file

SEE_OTHER = 303
FIRST = (
    "plan", "rig", "rod_type", "distance", "entry_pitch", "exit_pitch", "cover", "cover_from",
    "cover_to", "product_od", "product_radius", "product_mass", "reams",
)  # fmt: skip
MORE = ("product_pull", "head", "exit_height", "hole_diameter", "steer_radius", "note")
FROM_PATH = ("chosen", "pitches", "headings")


def add_plan(app: FastAPI, desk: object) -> None:
    """Add the pages; a desk without a book's folder gets none.

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
    _add_list(app, folder)
    _add_one(app, folder)


def is_planned(desk: object, name: str) -> bool:
    """Whether a desk's book has a plan of this name."""
    folder = folder_of(desk)
    return folder is not None and plan_named(book_in(folder), name) is not None


def _add_list(app: FastAPI, folder: Path) -> None:
    @app.get("/plan")
    def plans(request: Request) -> Response:
        asked = request.query_params
        like = typed_plan(folder, asked.get("like", "")) if asked.get("like") else {}
        given = {f"v.{name}": text for name, text in asked.items() if name in ("plan", "rig")}
        return _list(request, folder, _typed_of(like) | given)

    @app.post("/plan")
    async def keep(request: Request) -> Response:
        sent = await request.form()
        typed = {name: value for name, value in sent.items() if isinstance(value, str)}
        kind = kinds()["plan"]
        try:
            enter_one(folder, "plan", payload_of(kind, typed), "", typed.get("by", "").strip())
        except BadInputError as error:
            if wants_json(request):
                return bad_input(request, error)
            return _list(request, folder, typed, error)
        return RedirectResponse(f"/plan/{quote(typed['v.plan'].strip(), safe='')}", SEE_OTHER)


def _typed_of(columns: Mapping[str, str]) -> dict[str, str]:
    """A plan's columns as if they had been typed into the form."""
    known = kinds()["plan"].columns()
    typed = {}
    for column, text in columns.items():
        if column.lower() in known:
            field, suffix = known[column.lower()]
            typed[f"v.{field.name}"] = text
            if suffix:
                typed[f"u.{field.name}"] = suffix
    return typed


def _list(
    request: Request, folder: Path, typed: Mapping[str, str], error: BadInputError | None = None
) -> Response:
    view = plan_list(folder)
    form = build_form(kinds()["plan"], typed, system_of(request), error)
    by_name = {field.name: field for field in form.fields}

    def more() -> dict[str, object]:
        return {
            "form": form,
            "first": [by_name[name] for name in FIRST],
            "rest": [by_name[name] for name in MORE],
            "left": [
                fault for name in FROM_PATH for fault in by_name[name].faults
            ],
        }  # fmt: skip

    if error is None:
        return page_or_twin(request, "plans.html", view, more)
    return html(request, "plans.html", 400, view=view, invented=view.invented, **more())


def _add_one(app: FastAPI, folder: Path) -> None:
    def view_of(request: Request, name: str) -> PlanView:
        try:
            return plan_view(folder, name, request.query_params.get("path", ""), life=True)
        except NoSuchPlanError as error:
            raise NotHereError(name) from error

    @app.get("/plan/{name:path}/plan.pdf")
    def paper(request: Request, name: str) -> Response:
        view, system = view_of(request, name), system_of(request)
        book = book_in(folder)
        facts = BookFacts.of(folder, book)
        data = paper_pdf(plan_paper(view, facts, system))
        return sent_file(data, "application/pdf", f"{view.name}-plan.pdf")

    @app.get("/plan/{name:path}/print")
    def print_(request: Request, name: str) -> Response:
        view = view_of(request, name)
        return page_or_twin(request, "plan_print.html", view,
                            lambda: {"drawn": Markup(plan_svg(view, 700.0))})  # fmt: skip

    @app.post("/plan/{name:path}/keep")
    async def keep(request: Request, name: str) -> Response:
        sent = await request.form()
        try:
            keep_path(folder, name, str(sent.get("path", "")), str(sent.get("by", "")).strip())
        except NoSuchPlanError as error:
            raise NotHereError(name) from error
        return RedirectResponse(f"/plan/{quote(name, safe='')}", SEE_OTHER)

    @app.get("/plan/{name:path}")
    def one(request: Request, name: str) -> Response:
        try:
            view = view_of(request, name)
        except NotHereError:
            if wants_json(request):
                raise
            return RedirectResponse(f"/plan?plan={quote(name, safe='')}", SEE_OTHER)
        return page_or_twin(
            request, "plan.html", view,
            lambda: {"drawn": [(size, Markup(plan_svg(view, wide))) for size, wide in WIDTHS]},
        )  # fmt: skip
