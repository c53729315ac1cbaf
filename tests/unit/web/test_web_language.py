"""Languages: the one in force, kept apart by request, and English for a text another lacks."""

from __future__ import annotations

import logging
import threading

import pytest
from fastapi.testclient import TestClient
from web_sample_desk import SampleDesk

from rodhand import words
from rodhand.book.entry.entry_page import kinds
from rodhand.sheets.shown import printed
from rodhand.units import Figure, Standing
from rodhand.web.app import create_app
from rodhand.web.forms import build_form
from rodhand.web.pages import environment
from rodhand.words import (
    IN_FORCE,
    in_language,
    kept_by_language,
    language_in_force,
    say,
    use_language,
)


@pytest.fixture
def client() -> TestClient:
    return TestClient(create_app(SampleDesk()), base_url="http://127.0.0.1")


def test_the_language_in_force_is_told_and_given_back() -> None:
    assert say("page.nav_yard") == "Yard"
    with in_language("es"):
        assert language_in_force() == "es"
        assert say("page.nav_yard") == say("page.nav_yard", IN_FORCE) == "Patio"
        assert say("page.nav_yard", "en") == "Yard"
    assert say("page.nav_yard") == "Yard"


def test_a_language_without_words_is_not_put_in_force() -> None:
    with pytest.raises(ValueError, match="'xx'"):
        use_language("xx")
    assert language_in_force() == "en"


def test_one_threads_language_is_not_anothers() -> None:
    told: list[str] = []
    with in_language("es"):
        other = threading.Thread(target=lambda: told.append(say("page.nav_yard")))
        other.start()
        other.join()
    assert told == ["Yard"]


def test_a_text_the_language_lacks_is_told_in_english_and_noted(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    texts = {"en": {"odd.key": "only here"}, "es": {}}
    monkeypatch.setattr(words, "catalogue", lambda language="en": texts[language])
    with caplog.at_level(logging.WARNING), in_language("es"):
        assert say("odd.key") == "only here"
    assert "odd.key" in caplog.text


def test_kept_texts_are_kept_by_language() -> None:
    asked: list[str] = []

    @kept_by_language(maxsize=2)
    def told(key: str) -> str:
        asked.append(key)
        return say(key)

    assert told("page.nav_yard") == "Yard"
    with in_language("es"):
        assert told("page.nav_yard") == told("page.nav_yard") == "Patio"
    assert told("page.nav_yard") == "Yard"
    assert len(asked) == 2


def test_a_page_is_told_in_the_language_of_its_cookie(client: TestClient) -> None:
    english = client.get("/yard").text
    client.cookies.set("language", "es")
    spanish = client.get("/yard").text
    assert '<html lang="en">' in english
    assert '<html lang="es">' in spanish
    assert ">Patio</a>" in spanish
    assert "sin revisar" in spanish


@pytest.mark.parametrize(
    ("wanted", "language"),
    [("es-419,es;q=0.9", "es"), ("de, es;q=0.5", "es"), ("de", "en"), ("", "en"), ("en, es", "en")],
)
def test_a_device_that_has_not_chosen(client: TestClient, wanted: str, language: str) -> None:
    page = client.get("/yard", headers={"accept-language": wanted}).text
    assert f'<html lang="{language}">' in page


def test_the_switch_keeps_the_choice_and_leads_back(client: TestClient) -> None:
    own = {"origin": "http://127.0.0.1"}
    form = {"language": "es", "back": "/yard?units=us"}
    answer = client.post("/language", data=form, headers=own, follow_redirects=False)
    assert answer.headers["location"] == "/yard?units=us"
    assert "language=es" in answer.headers["set-cookie"]
    away = {"language": "xx", "back": "//elsewhere"}
    answer = client.post("/language", data=away, headers=own, follow_redirects=False)
    assert answer.headers["location"] == "/"
    assert "language=" not in answer.headers.get("set-cookie", "")


def test_trade_words_are_listed_with_their_standing(client: TestClient) -> None:
    client.cookies.set("language", "es")
    rows = client.get("/words.json").json()["words"]
    page = client.get("/words").text
    assert {"term": "saver sub", "told": "sub de desgaste", "standing": "unchecked"} in rows
    assert page.count("sin revisar</td>") == sum(row["standing"] == "unchecked" for row in rows)


def test_words_of_choices_fields_and_units_are_told_and_the_choice_itself_is_sent() -> None:
    with in_language("es"):
        form = build_form(kinds()["standing"], {}, "metric")
        turns = printed(Figure("turns", 12.0, "turns", Standing.COMPUTED), "metric")
        page = environment().from_string('{{ word("choice", "set aside") }}').render()
    assert [field.choices for field in form.fields if "set aside" in field.choices]
    assert turns.unit == "vueltas"
    assert page == "apartada"
    assert printed(Figure("turns", 12.0, "turns", Standing.COMPUTED), "metric").unit == "turns"


def test_a_form_in_spanish_sends_the_records_own_word(client: TestClient) -> None:
    client.cookies.set("language", "es")
    page = client.get("/enter/thing").text
    assert '<option value="head">cabezal</option>' in page
