"""The pages of a book: thin, each route asks the desk for a view and draws it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any
from urllib.parse import quote

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from fastapi.staticfiles import StaticFiles
from starlette.datastructures import UploadFile

from rodhand.book.entry.entry_page import Kind
from rodhand.book.twin import twin
from rodhand.faults import BadInputError, Fault
from rodhand.web import samples
from rodhand.web.as_of import as_of_asked
from rodhand.web.asked import SYSTEMS, JsonSuffix, system_of, wants_json, without_infinities
from rodhand.web.bend_pages import add_bend
from rodhand.web.calibration_pages import add_calibration
from rodhand.web.checks_pages import add_checks
from rodhand.web.claim_pages import add_claim
from rodhand.web.copies_pages import add_copies
from rodhand.web.desk import Desk, NotHereError
from rodhand.web.door import Door
from rodhand.web.errors import add_handlers, bad_input, broken, refused
from rodhand.web.estimate_pages import add_estimate
from rodhand.web.forces_pages import add_forces
from rodhand.web.forms import build_form, kind_label, payload_of
from rodhand.web.guard import Guard, RefusedError
from rodhand.web.handover_pages import add_handover
from rodhand.web.joints_pages import add_joints
from rodhand.web.label_pages import add_labels
from rodhand.web.language_pages import LanguageOfDevice, add_language
from rodhand.web.limits_pages import add_limits
from rodhand.web.load_pages import add_load
from rodhand.web.marks_pages import add_marks
from rodhand.web.monday_pages import add_monday
from rodhand.web.moved_pages import add_moved
from rodhand.web.narrow_pages import add_narrow
from rodhand.web.next_entry import next_entries
from rodhand.web.old_new_pages import add_old_new
from rodhand.web.order_pages import add_order
from rodhand.web.pages import html, page_or_twin
from rodhand.web.paper_pages import add_paper
from rodhand.web.phones_pages import add_phones, ask_for_key
from rodhand.web.plan_pages import add_plan, is_planned
from rodhand.web.price_pages import add_price
from rodhand.web.rig_day_pages import add_rig_day
from rodhand.web.rod_card_pages import add_rod_card
from rodhand.web.season_pages import add_season
from rodhand.web.slider import steps
from rodhand.web.start_pages import add_start
from rodhand.web.trace_pages import add_trace
from rodhand.web.turning_pages import add_turning
from rodhand.web.way_pages import add_way
from rodhand.web.wear_pages import add_wear
from rodhand.web.why_pages import add_why

STATIC = Path(__file__).parent / "static"
SEE_OTHER = 303
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
NOT_BY_HAND = (
    "strike", "pick", "station-shift", "held", "class-calibration", "former-use", "import",
)  # fmt: skip
"""Kinds without a form: the first three have their buttons, the others the program enters."""
YEAR = 365 * 24 * 3600


def create_app(desk: Desk, door: Door | None = None) -> FastAPI:
    """Make the pages of one book.

    Parameters
    ----------
    desk : Desk
        Where views come from and entries are written to.
    door : Door or None
        The key for requests from a network; None refuses them all.

    Returns
    -------
    FastAPI
        The application; without a door serve it on a loopback address only.
    """
    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    add_handlers(app)
    add_rig_day(app, desk)  # first: addresses are tried in this order, and presses must not wait
    _add_places(app, desk)
    add_paper(app, desk)  # before the bores, whose names are paths
    add_bend(app, desk)  # likewise
    add_forces(app, desk)  # likewise
    add_way(app, desk)  # likewise
    add_price(app, desk)  # likewise
    add_joints(app, desk)  # likewise
    add_limits(app, desk)
    _add_bore(app, desk)
    _add_entering(app, desk)
    _add_blocks(app)
    add_start(app, desk)
    add_language(app)
    add_marks(app, desk)
    add_handover(app, desk)
    add_load(app, desk)
    add_copies(app, desk)
    add_moved(app, desk)
    add_claim(app, desk)
    add_calibration(app, desk)
    add_narrow(app, desk)
    add_why(app, desk)
    add_monday(app, desk)
    add_plan(app, desk)
    add_trace(app, desk)
    add_wear(app, desk)
    add_season(app, desk)
    add_estimate(app, desk)
    add_checks(app, desk)
    add_labels(app, desk, door)
    add_rod_card(app, desk)
    add_old_new(app, desk)
    add_order(app, desk)
    add_turning(app, desk)
    add_phones(app, door)

    app.add_middleware(Guard, door=door, refused=_refused, broken=broken)
    app.add_middleware(JsonSuffix)
    app.add_middleware(LanguageOfDevice)
    return app


def _refused(request: Request, error: RefusedError) -> Response:
    return ask_for_key(request, error) or refused(request, error)


def _add_places(app: FastAPI, desk: Desk) -> None:
    @app.get("/")
    def week(request: Request) -> Response:
        return page_or_twin(request, "week.html", _then(request, desk).week())

    @app.get("/office")
    def office(request: Request) -> Response:
        return page_or_twin(request, "office.html", _then(request, desk).office())

    @app.get("/yard")
    def yard(request: Request) -> Response:
        return page_or_twin(request, "yard.html", _then(request, desk).yard())

    @app.get("/thing/{name:path}")
    def thing(request: Request, name: str) -> Response:
        return page_or_twin(request, "thing.html", _then(request, desk).thing(name))

    @app.post("/units")
    async def units(request: Request) -> Response:
        form = await _typed(request)
        answer = RedirectResponse(_own_path(form.get("back", "/")), SEE_OTHER)
        if form.get("units") in SYSTEMS:
            answer.set_cookie(
                "units", form["units"], max_age=YEAR, httponly=True, samesite="strict"
            )
        return answer


def _then(request: Request, desk: Desk) -> Desk:
    """The desk as of the day the address asks for."""
    as_of = as_of_asked(request)
    return desk.at(as_of) if as_of else desk


def _own_path(typed: str) -> str:
    """A path of these pages, never another site's."""
    return typed if typed.startswith("/") and not typed.startswith(("//", "/\\")) else "/"


async def _typed(request: Request) -> dict[str, str]:
    """The form as texts; files are not taken."""
    form = await request.form()
    return {name: value for name, value in form.items() if isinstance(value, str)}


def _filled_in(request: Request) -> dict[str, str]:
    """What an address fills into a form: fields by name, their units as ``u.name``, the day."""
    return {
        key if key == "happened" or key.startswith("u.") else f"v.{key}": value
        for key, value in request.query_params.items()
    }


def _position(typed: str | None) -> float | None:
    """Position of the tool as asked for in the address. [m]"""
    if typed is None or not typed.strip():
        return None
    try:
        value = float(typed)
    except ValueError:
        value = float("nan")
    if not abs(value) < float("inf"):
        raise BadInputError([Fault("page_position", typed, column="at")])
    return value


def _add_bore(app: FastAPI, desk: Desk) -> None:
    @app.get("/bore/{name:path}/moment")
    def moment(request: Request, name: str) -> Response:
        return _bore(request, desk, name, "_moment.html")

    @app.get("/bore/{name:path}")
    def bore(request: Request, name: str) -> Response:
        try:
            return _bore(request, desk, name, "bore.html")
        except NotHereError:
            if not is_planned(desk, name):
                raise
            twin_of_it = ".json" if wants_json(request) else ""
            return RedirectResponse(f"/plan/{quote(name, safe='')}{twin_of_it}", SEE_OTHER)


def _bore(request: Request, desk: Desk, name: str, template: str) -> Response:
    asked = request.query_params
    view = _then(request, desk).bore(name, asked.get("pass") or None, _position(asked.get("at")))
    return page_or_twin(request, template, view, lambda: {"steps": steps(view)})


def _kind(desk: Desk, name: str) -> Kind:
    kinds = desk.kinds()
    if name not in kinds:
        raise NotHereError(name)
    return kinds[name]


def _add_entering(app: FastAPI, desk: Desk) -> None:
    @app.get("/enter")
    def kinds(request: Request) -> Response:
        if wants_json(request):
            return JSONResponse({"kinds": _columns(desk.kinds())})
        labels = [(name, kind_label(name)) for name in desk.kinds() if name not in NOT_BY_HAND]
        return html(request, "kinds.html", kinds=labels)

    @app.get("/workbook.xlsx")
    def workbook(request: Request) -> Response:
        return Response(desk.workbook(system_of(request)), media_type=XLSX)

    @app.post("/workbook")
    async def take_workbook(request: Request) -> Response:
        sent = (await request.form()).get("file")
        if not isinstance(sent, UploadFile) or not sent.filename:
            raise BadInputError([Fault("page_no_file", column="file")])
        count = desk.take_workbook(await sent.read(), sent.filename)
        return html(request, "taken.html", count=count, name=sent.filename)

    @app.get("/enter/{name}")
    def form(request: Request, name: str) -> Response:
        kind = _kind(desk, name)
        if wants_json(request):
            return JSONResponse({"kinds": _columns({name: kind})})
        typed = _filled_in(request)
        return html(request, "form.html", form=build_form(kind, typed, system_of(request)))

    @app.post("/enter/{name}")
    async def enter(request: Request, name: str) -> Response:
        kind, typed = _kind(desk, name), await _typed(request)
        happened, by = typed.get("happened", "").strip(), typed.get("by", "").strip()
        try:
            entry = desk.enter(name, payload_of(kind, typed), happened, by)
        except BadInputError as error:
            if wants_json(request):
                return bad_input(request, error)
            shown = build_form(kind, typed, system_of(request), error)
            return html(request, "form.html", 400, form=shown)
        return RedirectResponse(f"/entry/{entry}", SEE_OTHER)

    @app.get("/entry/{entry}")
    def one_entry(request: Request, entry: str) -> Response:
        return _entry(request, desk, entry)

    @app.post("/entry/{entry}/strike")
    async def strike(request: Request, entry: str) -> Response:
        typed = await _typed(request)
        why = typed.get("why", "").strip()
        if not why:
            return _entry(request, desk, entry, 400, BadInputError([Fault("page_why")]))
        desk.strike(entry, why, typed.get("by", "").strip())
        return RedirectResponse(f"/entry/{entry}", SEE_OTHER)


def _entry(
    request: Request, desk: Desk, entry: str, status: int = 200, error: BadInputError | None = None
) -> Response:
    view = desk.entry(entry)
    if wants_json(request):
        return bad_input(request, error) if error else JSONResponse(twin(view))
    return html(
        request,
        "entry.html",
        status,
        view=view,
        error=error,
        label=kind_label(view.kind),
        after=next_entries(view),
    )


def _columns(kinds: Mapping[str, Kind]) -> dict[str, list[str]]:
    """Kinds of entry with the columns each takes."""
    return {
        name: [column for field in kind.fields for column in field.columns()]
        for name, kind in kinds.items()
    }


def _add_blocks(app: FastAPI) -> None:
    @app.get("/blocks")
    def blocks(request: Request) -> Response:
        bore = samples.sample_bore(80.0)
        views: dict[str, Any] = {
            "bore": bore,
            "bore_unread": samples.sample_bore(20.0, heading=False),
            "week": samples.sample_week(),
            "quiet": samples.sample_week(empty=True),
            "yard": samples.sample_yard(),
            "thing": samples.sample_thing(),
            "office": samples.sample_office(),
        }
        if wants_json(request):
            return JSONResponse(
                without_infinities({name: twin(view) for name, view in views.items()})
            )
        return html(
            request,
            "blocks.html",
            invented=True,
            steps=steps(bore),
            standings=samples.STANDINGS,
            figures=samples.sample_figures(),
            form=samples.sample_form(),
            **views,
        )
