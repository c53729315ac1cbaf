"""Read a page as a person and a script do: its figures by key, its text without them, its parts."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser

from rodhand.units import QUANTITIES

UNITS = {unit for each in QUANTITIES.values() for unit in (each.metric[0], each.us[0]) if unit} - {
    "in"
}  # "in" is a word too; inches are looked for with the no-break space below
DIGIT_WITH_UNIT = re.compile(
    r"\d[\u00a0 ]?(" + "|".join(sorted(map(re.escape, UNITS), key=len, reverse=True)) + r")(?!\w)"
    r"|\d\u00a0in(?!\w)"
)
VOID = {"meta", "link", "input", "br", "img", "hr"}
UNREAD = {"script", "style", "title", "desc"}


@dataclass
class Shown:
    """A figure as it stands on a page."""

    key: str
    value: str
    text: str = ""


@dataclass
class Page:
    """What a page holds."""

    figures: list[Shown] = field(default_factory=list)
    plain: list[str] = field(default_factory=list)
    tags: list[tuple[str, dict[str, str]]] = field(default_factory=list)

    @property
    def text(self) -> str:
        """Everything a person reads that is not inside a figure."""
        return "\n".join(self.plain)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.page = Page()
        self.open: list[tuple[str, Shown | None, bool]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.page.tags.append((tag, given))
        shown = None
        if "figure" in given.get("class", "").split():
            shown = Shown(given["data-key"], given.get("value", given.get("data-value", "")))
            self.page.figures.append(shown)
        if tag not in VOID:
            self.open.append((tag, shown, "band" in given.get("class", "").split()))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.page.tags.append((tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        if any(tag in UNREAD for tag, _, _ in self.open):
            return
        figure = next((shown for _, shown, _ in reversed(self.open) if shown), None)
        if figure is None:
            self.page.plain.append(data)
        elif not any(band for _, _, band in self.open):
            figure.text += data


def read(html: str) -> Page:
    """Take a page apart."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return reader.page


def differences(page: Page, figures: dict[str, dict[str, object]], system: str) -> list[str]:
    """Where a page and a twin tell different things, by key."""
    found = []
    for shown in page.figures:
        if shown.key not in figures:
            found.append(f"{shown.key} is not in the twin")
            continue
        twin = figures[shown.key]
        value = "" if twin["value"] is None else repr(twin["value"])
        if shown.value != value:
            found.append(f"{shown.key}: page {shown.value}, twin {value}")
        text = shown.text.strip()
        life_in_words = not re.search(r"\d", text) and twin["value"] is not None
        if twin["value"] is not None and not life_in_words and text != twin[f"shown_{system}"]:
            found.append(f"{shown.key}: page {text!r}, twin {twin[f'shown_{system}']!r}")
    return found
