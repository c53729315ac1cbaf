"""How one figure is drawn, and life used in words."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.sheets.shown import LIFE_STEPS, Sentence, life_in_words, printed, sentence_parts
from rodhand.units import Figure, Standing
from rodhand.web.figures import figure_html, life_box, sentence_html


def fig(value: float | None, quantity: str = "length", **more: float) -> Figure:
    return Figure("a.b", value, quantity, Standing.MEASURED, **more)


def test_a_figure_holds_its_value_key_standing_and_unit() -> None:
    html = str(figure_html(fig(3.048), "us"))
    assert 'value="3.048"' in html
    assert 'data-key="a.b"' in html
    assert "figure measured" in html
    assert '10.0\u00a0<span class="unit">ft</span>' in html


def test_an_unknown_figure_is_a_dash_with_the_word_and_no_value() -> None:
    html = str(figure_html(fig(None), "metric"))
    assert " value=" not in html
    assert "–\u00a0" in html
    assert ">unknown<" in html
    assert ">0" not in html


def test_a_band_follows_its_number_in_the_same_unit() -> None:
    shown = printed(fig(3.048, low=1.524, high=6.096), "us")
    assert (shown.text, shown.band) == ("10.0\u00a0ft", "5.0 to 20.0")


@pytest.mark.parametrize(
    ("low", "best", "high", "words"),
    [
        (0.25, 0.5, 1.0, "about half (a quarter to all)"),
        (0.5, 0.5, 0.5, "about half"),
        (None, 0.1, None, "about a tenth"),
        (None, None, None, "not known"),
        (0.0, 0.0001, 0.0002, "next to nothing"),
        (1.6, 2.0, 9.0, "about twice over (all and half again to many times over)"),
    ],
)
def test_life_used_in_words(
    low: float | None, best: float | None, high: float | None, words: str
) -> None:
    assert life_in_words(low, best, high) == words


@given(st.floats(0, 20), st.floats(0, 20))
def test_more_life_used_never_sounds_less(one: float, other: float) -> None:
    tops = [life_in_words(None, top * 0.999, None) for top, _ in LIFE_STEPS]
    order = [*tops, life_in_words(None, 99.0, None)]
    low, high = sorted((one, other))
    assert order.index(life_in_words(None, low, None)) <= order.index(
        life_in_words(None, high, None)
    )


@given(st.floats(0, 20))
def test_the_words_hold_no_digits(value: float) -> None:
    assert not re.search(r"\d", life_in_words(value / 3, value, value * 3))


def test_a_sentence_escapes_names_and_draws_figures() -> None:
    sentence = Sentence(
        "page.sample_over",
        {
            "bore": "<B&2>",
            "station": "4",
            "passed": "1",
            "in_it": "2",
            "to_come": "3",
            "bend": fig(0.1, "slope"),
        },
    )
    html = str(sentence_html(sentence, "metric"))
    assert html.startswith("&lt;B&amp;2&gt; station 4 bends <data ")
    assert [part for part in sentence_parts(sentence) if isinstance(part, Figure)] == [
        sentence.values["bend"]
    ]


def test_a_name_that_looks_like_a_field_stays_a_name() -> None:
    sentence = Sentence("page.sample_mate", {"thing": "{thing} \ue0000\ue001"})
    assert "{thing}" in str(sentence_html(sentence, "metric"))


@pytest.mark.parametrize(
    ("value", "assumed", "dashes", "high"),
    [(0.5, False, "none", "17.0"), (0.5, True, "4 3", "17.0"), (3.0, False, "none", "34.0")],
)
def test_a_life_box_is_filled_from_its_foot(
    value: float, assumed: bool, dashes: str, high: str
) -> None:
    box = str(life_box(fig(value, "life"), assumed))
    assert f'height="{high}"' in box
    assert f'stroke-dasharray="{dashes}"' in box


def test_an_unknown_life_box_is_open() -> None:
    assert str(life_box(fig(None, "life"), False)).count("<rect") == 1
