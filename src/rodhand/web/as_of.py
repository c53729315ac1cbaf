"""Pages as of a day: what the address asks for, and links that stay on that day."""

from __future__ import annotations

import re

from fastapi import Request

from rodhand.book.entry.carrying import as_of_day
from rodhand.faults import BadInputError

WHOLE = "yard|office|checks-due|season|forecast|money"
OF_ONE = "bore|thing|trace|order"
PLACES = re.compile(rf"/(?:{WHOLE}|(?:{OF_ONE})/.+)?")
"""Pages that can be shown as of a day; the others show or change what lies there now."""
LINK = re.compile(
    rf'(?<!data-now )href="(/(?:{WHOLE}|(?:{OF_ONE})/[^"?#]*)?)'
    r'(\?[^"#]*)?(#[^"]*)?"'
)


def as_of_asked(request: Request) -> str:
    """The ISO day an address asks for; empty for now.

    Raises
    ------
    BadInputError
        If it is no date.
    """
    return as_of_day(request.query_params.get("as_of", "").strip())


def as_of_shown(request: Request) -> str:
    """The day a page is shown as of; empty for pages of now and for what is no date."""
    try:
        return as_of_asked(request) if PLACES.fullmatch(request.url.path) else ""
    except BadInputError:
        return ""


def keep_as_of(text: str, as_of: str) -> str:
    """HTML whose links between pages that can be shown as of a day stay on it."""

    def on_that_day(link: re.Match[str]) -> str:
        path, query, place = link[1], link[2] or "", link[3] or ""
        joined = f"{query}&amp;as_of={as_of}" if query else f"?as_of={as_of}"
        return f'href="{path}{joined}{place}"'

    return LINK.sub(on_that_day, text)
