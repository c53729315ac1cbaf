"""How a figure and a sentence are printed: one place for pages, pictures and papers.

`printed` is the only way from a `Figure` to what a person reads; the page wraps it in HTML, the
picture in SVG, the paper in its own marks.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from rodhand.advice.verdict import Sentence, Verdict
from rodhand.units import Figure, Standing, System, show
from rodhand.words import IN_FORCE, has, say

__all__ = ["Printed", "Sentence", "Verdict", "life_in_words", "printed", "sentence_parts", "told"]

# Upper end of each step of life used and the word for it; ours, so that a screen never shows
# more digits than the mechanics know.
LIFE_STEPS: tuple[tuple[float, str], ...] = (
    (0.0005, "nothing"),
    (0.0015, "thousandth"),
    (0.0045, "few_thousandths"),
    (0.0075, "half_hundredth"),
    (0.015, "hundredth"),
    (0.035, "few_hundredths"),
    (0.075, "twentieth"),
    (0.15, "tenth"),
    (0.22, "fifth"),
    (0.29, "quarter"),
    (0.42, "third"),
    (0.58, "half"),
    (0.71, "two_thirds"),
    (0.87, "three_quarters"),
    (1.25, "all"),
    (1.75, "one_and_half"),
    (2.5, "twice"),
)

MANY = "many"


@dataclass(frozen=True)
class Printed:
    """What a figure looks like.

    Parameters
    ----------
    number, unit : str
        The number and its unit in the chosen system; life used is words, without unit.
    band : str
        The band in the same unit, without it; empty when there is none.
    standing : str
        measured / computed / assumed / unknown.
    """

    number: str
    unit: str
    band: str
    standing: str

    @property
    def text(self) -> str:
        """Number and unit joined by a no-break space."""
        return f"{self.number}\u00a0{self.unit}" if self.unit else self.number


def _life_step(value: float) -> str:
    return next((word for top, word in LIFE_STEPS if value < top), MANY)


def life_in_words(
    low: float | None, best: float | None, high: float | None, language: str = IN_FORCE
) -> str:
    """Life used as a person says it: "about half (a quarter to all)".

    Parameters
    ----------
    low, best, high : float or None
        Ends and middle of the band; None is unknown. [1]
    language : str, optional
        Language of the words.

    Returns
    -------
    str
        The words; the band is left out where its ends and its middle have the same word.

    Examples
    --------
    >>> life_in_words(0.25, 0.5, 1.0)
    'about half (a quarter to all)'
    >>> life_in_words(None, None, None)
    'not known'
    """
    if best is None:
        return say("life.unknown", language)
    middle = _about(best, language)
    band = _life_band(low, best, high, language)
    return say("life.with_band", language, life=middle, band=band) if band else middle


def _at_least(low: float, language: str) -> str:
    """Life used of which only the lower end is known."""
    step = _life_step(low)
    if step == LIFE_STEPS[0][1]:
        return say("life.unknown", language)
    return say("life.at_least", language, low=say(f"life.{step}", language))


def _about(value: float, language: str) -> str:
    step = _life_step(value)
    word = say(f"life.{step}", language)
    return word if step in (LIFE_STEPS[0][1], MANY) else say("life.about", language, life=word)


def _life_band(low: float | None, best: float, high: float | None, language: str) -> str:
    if low is None or high is None:
        return ""
    steps = [_life_step(value) for value in (low, best, high)]
    if len(set(steps)) == 1:
        return ""
    first, last = say(f"life.{steps[0]}", language), say(f"life.{steps[2]}", language)
    return first if first == last else say("life.band", language, low=first, high=last)


def printed(figure: Figure, system: System, language: str = IN_FORCE) -> Printed:
    """Number, unit, band and standing of a figure in one unit system.

    Parameters
    ----------
    figure : Figure
        The figure.
    system : {"metric", "us"}
        Unit system.
    language : str, optional
        Language of the words.

    Returns
    -------
    Printed
        What a person reads; a dash and the word where the value is unknown.
    """
    standing = figure.standing.value
    if figure.value is None and figure.quantity == "life" and figure.low is not None:
        return Printed(_at_least(figure.low, language), "", "", standing)
    if figure.value is None:
        return Printed(say("number.dash", language), say("number.unknown", language), "", standing)
    if figure.quantity == "life":
        band = _life_band(figure.low, figure.value, figure.high, language)
        return Printed(_about(figure.value, language), "", band, standing)
    number, _, unit = figure.shown(system).partition("\u00a0")
    return Printed(number, _unit_word(unit, language), _band(figure, system, language), standing)


def _unit_word(unit: str, language: str) -> str:
    """A unit that is a word, in the language; any other as it is."""
    key = f"unit_word.{re.sub('[^a-z0-9]+', '_', unit)}"
    return say(key, language) if has(key, language) else unit


def _band(figure: Figure, system: System, language: str) -> str:
    if figure.low is None or figure.high is None or figure.standing is Standing.UNKNOWN:
        return ""
    low = show(figure.low, figure.quantity, system, unit=False)
    high = show(figure.high, figure.quantity, system, unit=False)
    return "" if low == high else say("life.band", language, low=low, high=high)


_SLOT = re.compile("\ue000(\\d+)\ue001")


def sentence_parts(sentence: Sentence, language: str = IN_FORCE) -> tuple[str | Figure, ...]:
    """A sentence taken apart: plain texts and the figures between them, in reading order.

    Parameters
    ----------
    sentence : Sentence
        Key and values.
    language : str, optional
        Language of the text.

    Returns
    -------
    tuple of (str or Figure)
        The parts.

    Raises
    ------
    KeyError
        If the catalogue has no such text, or the text names a value the sentence lacks.
    """
    names = list(sentence.values)
    slots = {name: f"\ue000{position}\ue001" for position, name in enumerate(names)}
    pieces = _SLOT.split(say(sentence.key, language, **slots))
    # re.split with one group alternates text and position.
    parts: list[str | Figure] = []
    for position, piece in enumerate(pieces):
        if position % 2:
            parts.append(sentence.values[names[int(piece)]])
        elif piece:
            parts.append(piece)
    return tuple(parts)


def told(
    sentence: Sentence,
    draw: Callable[[Figure], str],
    plain: Callable[[str], str] = str,
    language: str = IN_FORCE,
) -> str:
    """A sentence as one text, each figure drawn by ``draw`` and each plain part by ``plain``."""
    parts: Sequence[str | Figure] = sentence_parts(sentence, language)
    return "".join(draw(part) if isinstance(part, Figure) else plain(part) for part in parts)
