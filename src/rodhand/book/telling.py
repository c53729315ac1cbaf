"""Sentences as plain text: for commands, papers and wherever no page draws the figures."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import pairwise

from rodhand.advice.verdict import Sentence
from rodhand.units import Figure, System
from rodhand.words import IN_FORCE, say

_NUMBERED = re.compile(r"^(.*?)(\d+)$")


def tell(sentence: Sentence, system: System, language: str = IN_FORCE) -> str:
    """A sentence as plain text with its figures printed in one unit system.

    Parameters
    ----------
    sentence : Sentence
        Key and values.
    system : {"metric", "us"}
        Unit system.
    language : str
        Language of the catalogue.

    Returns
    -------
    str
        The finished text.

    Raises
    ------
    KeyError
        If the catalogue lacks the text or the text names a value not given.
    """
    values = {
        name: value.shown(system) if isinstance(value, Figure) else value
        for name, value in sentence.values.items()
    }
    return say(sentence.key, language, **values)


def in_name_order(names: Iterable[str]) -> tuple[str, ...]:
    """Names in order, their numbers by value: no. 2 before no. 10.

    Examples
    --------
    >>> in_name_order(["A no. 10", "A no. 2", "A no. 1"])
    ('A no. 1', 'A no. 2', 'A no. 10')
    """

    def parts(name: str) -> list[tuple[int, int, str]]:
        return [
            (1, int(part), "") if part.isdigit() else (0, 0, part)
            for part in re.split(r"(\d+)", name)
        ]

    return tuple(sorted(names, key=parts))


def _runs(names: Sequence[str]) -> Iterable[list[str]]:
    """Names split where the numbers stop following each other."""
    run: list[str] = []
    for before, name in pairwise(["", *names]):
        one, other = _NUMBERED.match(before), _NUMBERED.match(name)
        follows = (
            one is not None
            and other is not None
            and one[1] == other[1]
            and int(other[2]) == int(one[2]) + 1
        )
        if run and not follows:
            yield run
            run = []
        run.append(name)
    if run:
        yield run


def names_in_words(names: Sequence[str]) -> str:
    """A list of names with runs drawn together: ``M1-01..M1-32, M2-04``; a dash for none.

    Examples
    --------
    >>> names_in_words(["M1-01", "M1-02", "M1-03", "S2-07"])
    'M1-01..M1-03, S2-07'
    """
    parts = []
    for run in _runs(list(names)):
        parts.extend(run if len(run) < 3 else [f"{run[0]}..{run[-1]}"])
    return ", ".join(parts) or "–"
