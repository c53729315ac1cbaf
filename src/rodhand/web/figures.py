"""The one function that draws a figure on a page, and sentences made of text and figures."""

from __future__ import annotations

from markupsafe import Markup, escape

from rodhand.sheets.picture_rods import hue
from rodhand.sheets.shown import Sentence, printed, told
from rodhand.units import Figure, System
from rodhand.words import IN_FORCE


def figure_html(figure: Figure, system: System, language: str = IN_FORCE) -> Markup:
    """Draw a figure: the number as its standing asks, its unit held to it, its band after it.

    Parameters
    ----------
    figure : Figure
        The figure; its key is the key in the JSON twin.
    system : {"metric", "us"}
        Unit system.
    language : str, optional
        Language of the words.

    Returns
    -------
    Markup
        A ``data`` element with ``value`` in base SI (absent when unknown) and ``data-key``.
    """
    shown = printed(figure, system, language)
    value = "" if figure.value is None else f' value="{float(figure.value)!r}"'
    words = " words" if figure.quantity == "life" else ""  # may be broken over two lines
    unit = f'\u00a0<span class="unit">{escape(shown.unit)}</span>' if shown.unit else ""
    band = f' <span class="band">({escape(shown.band)})</span>' if shown.band else ""
    return Markup(
        f'<data class="figure {escape(shown.standing)}{words}"{value}'
        f' data-key="{escape(figure.key)}">'
        f'<span class="shown">{escape(shown.number)}{unit}</span>{band}</data>'
    )


def sentence_html(sentence: Sentence, system: System, language: str = IN_FORCE) -> Markup:
    """Draw a sentence of the catalogue with its figures; typed names are escaped."""
    return Markup(
        told(
            sentence,
            lambda figure: figure_html(figure, system, language),
            lambda text: str(escape(text)),
            language,
        )
    )


def life_box(figure: Figure | None, mostly_assumed: bool) -> Markup:
    """A rod's life used as a box filled from its foot; dashed when mostly assumed, open unknown.

    Parameters
    ----------
    figure : Figure or None
        Life used. [1]
    mostly_assumed : bool
        Whether more than half of its history is assumed.

    Returns
    -------
    Markup
        A small picture; the words beside it say the same, so it is hidden from readers.
    """
    share = None if figure is None or figure.value is None else min(max(figure.value, 0.0), 1.0)
    fill = "" if share is None else hue_rect(share)
    dashes = "2 3" if share is None else "4 3" if mostly_assumed else "none"
    return Markup(
        '<svg class="lifebox" viewBox="0 0 16 40" width="16" height="40" aria-hidden="true">{}'
        '<rect x="1" y="1" width="14" height="38" fill="none" stroke="#1B1F23" stroke-width="1.5"'
        ' stroke-dasharray="{}"/></svg>'
    ).format(Markup(fill), dashes)


def hue_rect(share: float) -> str:
    """The fill of a life box, its height the share and its hue the same said again."""
    high = 34 * share  # two units of paper stay between fill and outline
    return f'<rect x="3" y="{37 - high:.1f}" width="10" height="{high:.1f}" fill="{hue(share)}"/>'
