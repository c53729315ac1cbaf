"""The one function that draws a figure on a page, and sentences made of text and figures."""

from __future__ import annotations

from markupsafe import Markup, escape

from rodhand.sheets.shown import Sentence, printed, told
from rodhand.units import Figure, System


def figure_html(figure: Figure, system: System, language: str = "en") -> Markup:
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
    value = "" if figure.value is None else f' value="{figure.value!r}"'
    unit = Markup('\u00a0<span class="unit">{}</span>').format(shown.unit) if shown.unit else ""
    band = Markup(' <span class="band">({})</span>').format(shown.band) if shown.band else ""
    return Markup(
        '<data class="figure {}"{} data-key="{}"><span class="shown">{}{}</span>{}</data>'
    ).format(shown.standing, Markup(value), figure.key, shown.number, unit, band)


def sentence_html(sentence: Sentence, system: System, language: str = "en") -> Markup:
    """Draw a sentence of the catalogue with its figures; typed names are escaped."""
    return Markup(
        told(
            sentence,
            lambda figure: figure_html(figure, system, language),
            lambda text: str(escape(text)),
            language,
        )
    )
