"""The day at one rig: a page of big buttons, and a press taken back."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.responses import RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from rodhand.book.entry.outbox import book_id
from rodhand.book.entry.pressed import take_back
from rodhand.book.rig.left_in_hole import say_out
from rodhand.book.rig.rig_events import events_view
from rodhand.book.work.rigs import rig_names
from rodhand.web.asked import wants_json
from rodhand.web.desk import folder_of
from rodhand.web.errors import bad_input
from rodhand.web.outbox_pages import add_outbox
from rodhand.web.pages import html
from rodhand.web.pressing import SEE_OTHER, address, of_rig, pressed, rig_page, typed_of
from rodhand.web.pullback_pages import add_pullback
from rodhand.web.rig_event_pages import add_rig_events
from rodhand.web.rig_makeup_pages import add_rig_makeup
from rodhand.web.shift_pages import add_shift_checks
from rodhand.web.this_rod_pages import add_this_rod
from rodhand.web.two_devices_pages import add_two_devices
from rodhand.web.utility_strike_pages import add_utility_strike
from rodhand.web.who_is_on_pages import add_who_is_on


def add_rig_day(app: FastAPI, desk: object) -> None:
    """Add the pages of a day at a rig; a desk without a book's folder gets none.

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
    for add in (
        add_outbox, add_this_rod, add_rig_events, add_utility_strike, add_rig_makeup,
        add_shift_checks, add_pullback, add_two_devices, add_who_is_on,
    ):  # fmt: skip
        add(app, folder)

    @app.get("/rig-day")
    def rigs(request: Request) -> Response:
        names = rig_names(folder)
        return html(request, "rig_days.html", rigs=names, book=book_id(folder))

    @app.get("/rig-day/{rig:path}")
    def day(request: Request, rig: str) -> Response:
        asked = request.query_params
        view = of_rig(lambda: events_view(folder, rig, asked.get("bore", "")), rig)
        return rig_page(
            request, "rig_day.html", folder, view, view.at.rig, out=asked.get("entry", "")
        )

    @app.post("/rig-out/{rig:path}")
    async def out(request: Request, rig: str) -> Response:
        by = (await typed_of(request)).get("by", "")
        to = address("rig-day", rig)
        return await pressed(
            request, rig, lambda: say_out(folder, rig, by),
            lambda error: bad_input(request, error), to,
        )  # fmt: skip

    @app.post("/rig-take-back")
    async def undo(request: Request) -> Response:
        typed = await typed_of(request)
        rig, entry = typed.get("rig", ""), typed.get("entry", "")
        await run_in_threadpool(take_back, folder, entry, typed.get("by", ""))
        if wants_json(request):
            return Response(status_code=204)
        back = typed.get("back", "")
        own = back if back.startswith("/rig-") else address("rig-day", rig)
        return RedirectResponse(f"{own}{'&' if '?' in own else '?'}taken_back=1", SEE_OTHER)
