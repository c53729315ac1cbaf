"""The estimate of a bore to bid for: nothing is kept, the address holds what was typed."""

from __future__ import annotations

from itertools import zip_longest

from fastapi import FastAPI, Request
from fastapi.responses import Response

from rodhand.book.opening import open_assessment
from rodhand.book.owner.estimate_page import UNITS, TypedPart, estimate_view
from rodhand.faults import BadInputError, Fault
from rodhand.web.as_of import as_of_asked
from rodhand.web.asked import system_of, wants_json
from rodhand.web.desk import folder_of
from rodhand.web.errors import bad_input
from rodhand.web.pages import html, page_or_twin
from rodhand.words import render_fault, say

ROWS, SPARE = 3, 1
"""Lengths the form shows at least, and empty ones behind those typed."""


def add_estimate(app: FastAPI, desk: object) -> None:
    """Add the page; a desk without a book's folder gets none.

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

    @app.get("/estimate")
    def estimate(request: Request) -> Response:
        assessment = open_assessment(folder, as_of_asked(request))
        rod_type, typed = _typed(request)
        try:
            view, error = estimate_view(assessment, rod_type, typed), None
        except BadInputError as bad:
            if wants_json(request):
                return bad_input(request, bad)
            view, error = estimate_view(assessment), bad
        if wants_json(request):
            return page_or_twin(request, "estimate.html", view)
        filled = [each for each in typed if each.ground or each.curve or each.length.strip()]
        rows = [*typed, *[TypedPart()] * (max(ROWS, len(filled) + SPARE) - len(typed))]
        return html(
            request, "estimate.html", 400 if error else 200, view=view, invented=view.invented,
            rows=rows, rod_type=rod_type or view.rod_type, unit=_unit(request),
            told=_by_column(error), column_words=_column_words,
        )  # fmt: skip


def _unit(request: Request) -> str:
    """Unit lengths are typed in: of the address, else of the person's own system."""
    asked = request.query_params.get("unit", "")
    return asked if asked in UNITS else "ft" if system_of(request) == "us" else "m"


def _typed(request: Request) -> tuple[str, list[TypedPart]]:
    asked = request.query_params
    grounds, curves, lengths = (asked.getlist(name) for name in ("ground", "curve", "length"))
    unit = asked.get("unit", "").strip() or _unit(request)
    typed = [
        TypedPart(ground, curve, length, unit)
        for ground, curve, length in zip_longest(grounds, curves, lengths, fillvalue="")
    ]
    while typed and typed[-1] == TypedPart(unit=unit):
        typed.pop()
    return asked.get("rod_type", ""), typed


def _by_column(error: BadInputError | None) -> dict[str, list[str]]:
    """Faults in words by the field they are about; beside it they need no column."""
    told: dict[str, list[str]] = {}
    for each in error.faults if error else ():
        plain = Fault(each.code, each.found, values={"column": each.column or "", **each.values})
        told.setdefault(each.column or "", []).append(render_fault(plain))
    return told


def _column_words(column: str) -> str:
    """Where a fault is: the field, and which length of the form."""
    name, _, number = column.partition(" ")
    field = say("field.rod_type") if name == "rod_type" else say(f"estimate.{name}")
    return f"{say('estimate.number', number=number)}, {field}" if number else field
