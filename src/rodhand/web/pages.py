"""Templates and what they may use: words, figures, sentences, boxes of life used, pictures."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache, partial
from typing import Any
from urllib.parse import quote

from fastapi import Request
from fastapi.responses import HTMLResponse, JSONResponse, Response
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from rodhand.book.rig.who_is_on import by_in_words
from rodhand.book.telling import names_in_words
from rodhand.book.twin import twin
from rodhand.book.views import BoreView
from rodhand.book.yard.labels import code_of
from rodhand.sheets.picture import bore_svg, bore_svg_compact
from rodhand.units import System
from rodhand.web.as_of import as_of_shown, keep_as_of
from rodhand.web.asked import system_of, wants_json, without_infinities
from rodhand.web.figures import figure_html, life_box, sentence_html
from rodhand.words import LANGUAGES, language_in_force, say, word

WIDE, MIDDLE = 1100, 700
STANDING_ORDER = ("not looked at", "fit", "watch", "dress", "set aside", "scrap")
"""From best known to worst."""


@cache
def environment() -> Environment:
    """Templates with every text escaped and no name left undefined."""
    made = Environment(
        loader=PackageLoader("rodhand.web"),
        autoescape=True,
        undefined=StrictUndefined,
        auto_reload=False,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(
        say=say,
        names=names_in_words,
        present=present,
        standing_order=STANDING_ORDER,
        label_code=code_of,
        life_box=life_box,
        seg=partial(quote, safe=""),
        slug=lambda text: text.replace(" ", "-"),
        word=word,
        by_in_words=by_in_words,
        language=language_in_force,
        languages=LANGUAGES,
    )
    return made


def present(rows: Sequence[Any], wanted: Sequence[str]) -> list[str]:
    """Of the wanted figures, those that at least one row has: no column stands empty."""
    return [name for name in wanted if any(name in row.figures for row in rows)]


def pictures(view: BoreView, system: System) -> list[tuple[str, Markup]]:
    """The picture at three widths; the page's style shows the one that fits the screen."""
    return [
        ("wide", Markup(bore_svg(view, system, WIDE))),
        ("middle", Markup(bore_svg(view, system, MIDDLE))),
        ("hand", Markup(bore_svg_compact(view, system))),
    ]


def html(request: Request, template: str, status: int = 200, **context: Any) -> HTMLResponse:
    """A page from a template, in the unit system the request asks for."""
    system = system_of(request)
    drawn = environment().get_template(template)
    context.setdefault("invented", False)
    as_of = as_of_shown(request)
    text = drawn.render(
        request=request,
        system=system,
        here=request.url.path,
        as_of=as_of,
        figure=lambda figure: figure_html(figure, system),
        sentence=lambda sentence: sentence_html(sentence, system),
        pictures=lambda view: pictures(view, system),
        **context,
    )
    headers = {"Content-Language": language_in_force()}
    return HTMLResponse(keep_as_of(text, as_of) if as_of else text, status, headers)


def sent_file(data: bytes, media: str, name: str) -> Response:
    """A file to keep, under a name any system takes."""
    told = f"attachment; filename*=UTF-8''{quote(name, safe='')}"
    return Response(data, media_type=media, headers={"Content-Disposition": told})


def page_or_twin(
    request: Request, template: str, view: Any, more: Callable[[], dict[str, Any]] = dict
) -> Response:
    """The page of a view, or its JSON twin when that was asked for."""
    if wants_json(request):
        return JSONResponse(without_infinities(twin(view)))
    return html(request, template, view=view, invented=getattr(view, "invented", False), **more())
