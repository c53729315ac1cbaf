"""SVG as text: elements, words and figures, with the colours of the sheet.

Only presentation attributes are written, no style blocks: a page may then forbid inline styles,
and a drawing program reads the file as it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from rodhand.sheets.shown import printed
from rodhand.units import Figure, Standing, System
from rodhand.words import say

PAPER = "#FBFAF6"
GROUND = "#EFEBDD"
INK = "#1B1F23"
INK_SECOND = "#454B52"
LINE = "#8C8675"
SLATE = "#2C4E63"
ALARM = "#8A1C1C"
LIFE = ("#D7E4E0", "#A9C7CC", "#6FA0B4", "#3A7396", "#1D4A6E", "#0E2A47")
FONT = "Rodhand Sans, Rodhand Symbols, sans-serif"
TEXT_SIZE = 15.0
LETTER = 0.56  # mean width of a letter over its size, for fitting labels


def tag(name: str, *children: str, **attributes: object) -> str:
    """One element; ``stroke_width=2`` becomes ``stroke-width="2"``, None is left out."""
    written = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(_text(value))}"'
        for key, value in attributes.items()
        if value is not None
    )
    inside = "".join(children)
    return f"<{name}{written}>{inside}</{name}>" if inside else f"<{name}{written}/>"


def _text(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.2f}".rstrip("0").rstrip(".")
    return str(value)


def points(pairs: Sequence[tuple[float, float]]) -> str:
    """Pairs as the ``points`` of a polyline or polygon."""
    return " ".join(f"{_text(float(x))},{_text(float(y))}" for x, y in pairs)


@dataclass(frozen=True)
class Pen:
    """What every label needs: the unit system, the language, and a prefix for ids.

    Parameters
    ----------
    system : {"metric", "us"}
        Unit system of the drawing.
    language : str
        Language of the words.
    prefix : str
        Start of every id, so that two drawings may stand on one page.
    """

    system: System
    language: str
    prefix: str

    def say(self, key: str, **values: object) -> str:
        """Text of the catalogue under ``picture``."""
        return say(f"picture.{key}", self.language, **values)

    def figure(self, figure: Figure) -> str:
        """A figure as part of a text, with its key and its standing."""
        return tag(
            "tspan",
            escape(printed(figure, self.system, self.language).text),
            class_=f"figure {figure.standing.value}",
            data_key=figure.key,
            data_value="" if figure.value is None else repr(float(figure.value)),
            font_style="italic" if figure.standing is Standing.ASSUMED else None,
        )

    def width(self, parts: Sequence[str | Figure], size: float = TEXT_SIZE) -> float:
        """Width of a text, near enough to keep labels apart. [px]"""
        letters = sum(
            len(printed(part, self.system, self.language).text)
            if isinstance(part, Figure)
            else len(part)
            for part in parts
        )
        return letters * size * LETTER

    def label(
        self,
        x: float,
        y: float,
        *parts: str | Figure,
        anchor: str = "start",
        size: float = TEXT_SIZE,
        fill: str = INK,
        weight: str | None = None,
        halo: str = PAPER,
    ) -> str:
        """A line of text with figures in it, on a halo so that lines do not cut it."""
        return tag(
            "text",
            *(
                self.figure(part) if isinstance(part, Figure) else escape(part, quote=False)
                for part in parts
            ),
            x=float(x),
            y=float(y),
            text_anchor=anchor,
            font_size=size,
            font_family=FONT,
            font_weight=weight,
            fill=fill,
            stroke=halo,
            stroke_width=3,
            stroke_linejoin="round",
            paint_order="stroke",
        )
