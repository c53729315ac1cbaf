"""Names drawn together and put in order; sentences told in one unit system."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from rodhand.advice.verdict import Sentence
from rodhand.book.telling import in_name_order, names_in_words, tell
from rodhand.units import Figure, Standing

NUMBERS = st.lists(st.integers(1, 99), unique=True, max_size=40)


def _spread(text: str) -> list[int]:
    """Numbers of a list drawn together, spread out again by hand."""
    found: list[int] = []
    for part in [] if text == "–" else text.split(", "):
        first, _, last = part.partition("..")
        found += range(int(first[3:]), int((last or first)[3:]) + 1)
    return found


@given(NUMBERS)
def test_nothing_is_lost_or_added_when_names_are_drawn_together(numbers: list[int]) -> None:
    ordered = sorted(numbers)
    assert _spread(names_in_words([f"M1-{n:02d}" for n in ordered])) == ordered


@given(NUMBERS)
def test_numbers_go_by_value(numbers: list[int]) -> None:
    told = in_name_order(f"SET no. {n}" for n in numbers)
    assert [int(name.rsplit(" ", 1)[1]) for name in told] == sorted(numbers)


def test_two_names_stand_alone_and_three_make_a_run() -> None:
    assert names_in_words(["M1-01", "M1-02"]) == "M1-01, M1-02"
    assert names_in_words(["M1-01", "M1-02", "M1-03"]) == "M1-01..M1-03"
    assert names_in_words(["M1-09", "M2-10", "M2-11"]) == "M1-09, M2-10, M2-11"


def test_a_sentence_keeps_its_unit_system() -> None:
    """1 in is 25.4 mm by definition."""
    number = Figure("k", 0.0254, "size", Standing.MEASURED)
    sentence = Sentence("verdict.finding.why_number_alone", {"number": number})
    assert tell(sentence, "metric") == "measured 25.4\u00a0mm"
    assert tell(sentence, "us") == "measured 1.000\u00a0in"
