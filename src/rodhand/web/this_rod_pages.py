"""This rod: how far it may be steered, and its row kept in one form."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.responses import Response

from rodhand.book.rig.this_rod import TYPED, ThisRodView, keep_row, this_rod
from rodhand.faults import BadInputError
from rodhand.sheets.shown import Sentence
from rodhand.units import QUANTITIES, System
from rodhand.web.asked import system_of
from rodhand.web.pressing import address, of_rig, pressed, rig_page, typed_of

PAGE = "rig-rod"
MARGIN = 0.3
"""Of the scale's room left free at both ends. [1]"""
ENDS = (100.0 * MARGIN / (1.0 + 2.0 * MARGIN), 100.0 * (1.0 + MARGIN) / (1.0 + 2.0 * MARGIN))
"""Where the room begins and ends on a scale, in percent of its width."""


def add_this_rod(app: FastAPI, folder: Path) -> None:
    """Add the page of the rod being drilled.

    Parameters
    ----------
    app : FastAPI
        The application.
    folder : Path
        The book's folder.
    """

    @app.get("/rig-rod/{rig:path}")
    def rod(request: Request, rig: str) -> Response:
        return _page(request, folder, rig)

    @app.post("/rig-rod/{rig:path}")
    async def keep(request: Request, rig: str) -> Response:
        typed = await typed_of(request)
        bore = typed.get("bore", "")

        def kept() -> str:
            return keep_row(
                folder, rig, bore, typed.get("station", ""), typed.get("what", "read"),
                {name: typed.get(name, "") for name in TYPED}, typed.get("by", ""),
            )  # fmt: skip

        def again(error: BadInputError) -> Response:
            return _page(request, folder, rig, error, typed)

        hand = typed.get("hand", "")
        return await pressed(
            request, rig, kept, again, address(PAGE, rig), "walking" if hand else "this-rod",
            kept=typed.get("station", ""), bore=bore, hand=hand,
        )  # fmt: skip


def _page(
    request: Request,
    folder: Path,
    rig: str,
    error: BadInputError | None = None,
    typed: dict[str, str] | None = None,
) -> Response:
    asked = request.query_params
    bore = (typed or {}).get("bore", "") or asked.get("bore", "")
    view = of_rig(lambda: this_rod(folder, rig, bore), rig)
    return rig_page(
        request, "this_rod.html", folder, view, view.at.rig, error,
        typed=typed or {}, kept=asked.get("kept", ""), entry=asked.get("entry", ""),
        anew=asked.get("anew", ""),
        over_short=_short(view), scale=_scale(view), ends=ENDS,
        state=_state(view, system_of(request)),
        walking=bool((typed or {}).get("hand") or asked.get("hand")),
        push="push_ft" if system_of(request) == "us" else "push_m",
    )  # fmt: skip


def _short(view: ThisRodView) -> Sentence | None:
    """An over-steer in one line, for the place above the keys that keeps its height."""
    over = view.bends.over
    return Sentence(f"{over.key}_short", over.values) if over else None


def _state(view: ThisRodView, system: System) -> dict[str, object]:
    """What a device counts on from without a signal. [SI; rad]"""
    figures, string = view.room.figures, view.string

    def known(name: str) -> float | None:
        return figures[name].value if name in figures else None

    return {
        "bore": view.at.bore, "station": view.station or 0, "last": view.last,
        "pitch": known("last"), "heading": known("heading"), "unread": int(known("unread") or 0),
        "length": known("length"), "radius": known("limit_radius"),
        "long_radius": known("long_radius"),
        "names": string.names if string else (), "limit_radius": string and string.limit_radius,
        "front": string.front_length if string else 0.0,
        "back": string.bit_to_sensor if string else 0.0, "rig": string and string.rig_pitch,
        "inside": string.inside if string else (),
        "print": {name: printed_as(name, system) for name in ("length", "radius", "share")},
    }  # fmt: skip


def printed_as(quantity: str, system: System) -> dict[str, object]:
    """Unit, its size in SI and decimals by which a quantity is printed."""
    kind = QUANTITIES[quantity]
    unit, size, decimals = kind.metric if system == "metric" else kind.us
    return {"unit": unit, "size": size, "decimals": decimals}


def _scale(view: ThisRodView) -> dict[str, float]:
    """Places on the straight scale of pitch, in percent of its width; empty when not known."""
    figures = view.room.figures | (view.plan.figures if view.plan else {})
    if "from" not in figures:
        return {}
    low, high = (figures[name].value or 0.0 for name in ("from", "to"))
    span = max(high - low, 1e-6) * (1.0 + 2.0 * MARGIN)
    start = low - MARGIN * (high - low)

    def at(name: str) -> float:
        return round(100.0 * ((figures[name].value or 0.0) - start) / span, 2)

    names = ("from", "to", "last", "long_from", "long_to", "plan")
    return {name: min(max(at(name), 0.0), 100.0) for name in names if name in figures}
