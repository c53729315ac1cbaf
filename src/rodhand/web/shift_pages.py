"""Checks before work and at the end: one touch a line."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import Response

from rodhand.book.rig.shift_checks import SHORT, checks_view, tell_check
from rodhand.faults import BadInputError
from rodhand.web.desk import NotHereError
from rodhand.web.pressing import address, of_rig, pressed, rig_page, typed_of

TEMPLATE = "shift_checks.html"
SHIFT_OF = {short: shift for shift, short in SHORT.items()}


def add_shift_checks(app: FastAPI, folder: Path) -> None:
    """Add the two pages of checks of a rig.

    Parameters
    ----------
    app : FastAPI
        The application.
    folder : Path
        The book's folder.
    """

    @app.get("/rig-checks/{when}/{rig:path}")
    def checks(request: Request, when: str, rig: str) -> Response:
        return _page(request, folder, when, rig)

    @app.post("/rig-checks/{when}/{rig:path}")
    async def tick(request: Request, when: str, rig: str) -> Response:
        typed = await typed_of(request)
        item, state = typed.get("item", ""), typed.get("state", "")

        def keep() -> str:
            return tell_check(
                folder, rig, _shift(when), item, state, typed.get("by", ""),
                typed.get("happened", ""),
            )  # fmt: skip

        def again(error: BadInputError) -> Response:
            return _page(request, folder, when, rig, error)

        to = address(f"rig-checks/{when}", rig)
        line = typed.get("line", "")
        place = f"line-{line}" if line.isdigit() else ""
        return await pressed(request, rig, keep, again, to, place)


def _shift(when: str) -> str:
    if when not in SHIFT_OF:
        raise NotHereError(when)
    return SHIFT_OF[when]


def _page(
    request: Request, folder: Path, when: str, rig: str, error: BadInputError | None = None
) -> Response:
    shift = _shift(when)
    view = of_rig(lambda: checks_view(folder, rig, shift), rig)
    return rig_page(request, TEMPLATE, folder, view, view.rig, error, when=when)
