"""Every page: figures as in its twin, no number with a unit outside a figure, words, places."""

from __future__ import annotations

import json

import pytest
from fastapi.testclient import TestClient
from web_reading import DIGIT_WITH_UNIT, differences, read
from web_sample_desk import SampleDesk

from rodhand.web.app import create_app

PAGES = (
    "/",
    "/office",
    "/yard",
    "/bore/B-2",
    "/bore/B-2?at=12.5&pass=pilot",
    "/bore/B-2/moment?at=12.5&pass=pilot",
    "/thing/M1-01",
)


@pytest.fixture(scope="module")
def client() -> TestClient:
    return TestClient(create_app(SampleDesk()), base_url="http://127.0.0.1")


def twin_path(page: str) -> str:
    path, mark, query = page.partition("?")
    return f"{'/index' if path == '/' else path}.json{mark}{query}"


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_figures_of_a_page_equal_its_twin(client: TestClient, page: str, system: str) -> None:
    html = client.get(page, params={"units": system}).text if "?" not in page else None
    if html is None:
        html = client.get(f"{page}&units={system}").text
    shown = read(html)
    assert shown.figures
    figures = client.get(twin_path(page)).json()["figures"]
    assert differences(shown, figures, system) == []


@pytest.mark.parametrize("page", [*PAGES, "/enter", "/enter/reading", "/blocks"])
@pytest.mark.parametrize("system", ["metric", "us"])
def test_no_number_with_a_unit_outside_a_figure(client: TestClient, page: str, system: str) -> None:
    mark = "&" if "?" in page else "?"
    text = read(client.get(f"{page}{mark}units={system}").text).text
    assert DIGIT_WITH_UNIT.findall(text) == []


@pytest.mark.parametrize(
    "text", ["bend of 9.5 %", "3.05\u00a0m", "4,200 ft-lb", "12 h", "2.75\u00a0in", "15890 turns"]
)
def test_a_number_with_a_unit_is_seen(text: str) -> None:
    assert DIGIT_WITH_UNIT.search(text)


@pytest.mark.parametrize("text", ["rods 1-23 in it now", "B-2 misses", "2025-05-12", "row 1"])
def test_other_digits_pass(text: str) -> None:
    assert not DIGIT_WITH_UNIT.search(text)


def test_a_wrong_figure_is_seen(client: TestClient) -> None:
    shown = read(client.get("/bore/B-2").text)
    figures = client.get("/bore/B-2.json").json()["figures"]
    figures["bore.at"]["value"] += 1e-9
    del figures["bore.rods"]
    figures["station.4.bend_percent"]["shown_metric"] = "9.6\u00a0%"
    told = "\n".join(differences(shown, figures, "metric"))
    assert "bore.at: page" in told
    assert "bore.rods is not in the twin" in told
    assert "station.4.bend_percent: page" in told


@pytest.mark.parametrize("page", PAGES)
def test_accept_and_suffix_give_the_same_twin(client: TestClient, page: str) -> None:
    by_suffix = client.get(twin_path(page))
    by_accept = client.get(page, headers={"Accept": "application/json"})
    assert by_suffix.headers["content-type"] == "application/json"
    assert by_suffix.json() == by_accept.json()


def test_a_twin_holds_no_infinity(client: TestClient) -> None:
    text = client.get("/bore/B-2.json").text
    json.loads(text, parse_constant=lambda name: pytest.fail(name))


def test_the_slider_moves_every_figure(client: TestClient) -> None:
    early = client.get("/bore/B-2.json?at=10").json()["figures"]
    late = client.get("/bore/B-2.json?at=50").json()["figures"]
    for key in ("bore.at", "rod.1.turns", "rod.1.life_used_all"):
        assert early[key]["value"] < late[key]["value"]


@pytest.mark.parametrize("page", [*PAGES[:5], PAGES[6], "/blocks"])
def test_invented_is_said(client: TestClient, page: str) -> None:
    assert "Invented data" in read(client.get(page).text).text


@pytest.mark.parametrize("page", ["/", "/office", "/enter", "/nope"])
def test_the_makers_govern_on_every_page(client: TestClient, page: str) -> None:
    text = read(client.get(page).text).text
    assert "site engineer govern" in text
    assert "No figure here permits a bore." in text


def test_a_verdict_starts_with_what_to_do_and_its_caution_stands_beside_it(
    client: TestClient,
) -> None:
    text = read(client.get("/").text).text
    do, what, caution = (
        text.index(words)
        for words in ("Look at these rods first", "A made-up finding", "Nobody touches a turning")
    )
    assert do < what < caution


def test_three_voices_differ_in_words_and_shape(client: TestClient) -> None:
    page = read(client.get("/bore/B-2").text)
    for words in ("Stop and look", "Note", "Price"):
        assert words in page.plain
    classes = {given.get("class") for tag, given in page.tags if tag == "section"}
    assert {"alarm", "note", "price"} <= classes


def test_every_standing_is_a_word(client: TestClient) -> None:
    page = read(client.get("/yard").text)
    for word in ("not looked at", "fit", "watch", "dress", "set aside", "scrap"):
        assert word in page.plain


def test_units_are_kept_by_a_cookie_and_the_page_comes_back(client: TestClient) -> None:
    answer = client.post(
        "/units", data={"units": "us", "back": "/bore/B-2?at=20"}, follow_redirects=False
    )
    assert answer.status_code == 303
    assert answer.headers["location"] == "/bore/B-2?at=20"
    client.cookies.set("units", "us")
    try:
        shown = {each.key: each.text for each in read(client.get("/bore/B-2").text).figures}
    finally:
        client.cookies.clear()
    assert shown["bore.length"] == "360\u00a0ft"  # 36 rods of 10 ft


@pytest.mark.parametrize("back", ["https://elsewhere.test/", "//elsewhere.test", "/\\elsewhere"])
def test_units_never_lead_to_another_site(client: TestClient, back: str) -> None:
    answer = client.post("/units", data={"units": "us", "back": back}, follow_redirects=False)
    assert answer.headers["location"] == "/"
    client.cookies.clear()


def test_names_are_escaped(client: TestClient) -> None:
    answer = client.get("/thing/%3Cscript%3Ealert(1)%3C/script%3E")
    assert answer.status_code == 404
    assert "<script>alert" not in answer.text


def test_week_with_nothing_due_says_so() -> None:
    class Quiet(SampleDesk):
        def week(self):  # type: ignore[no-untyped-def]
            from rodhand.web.samples import sample_week

            return sample_week(empty=True)

    page = read(TestClient(create_app(Quiet()), base_url="http://127.0.0.1").get("/").text)
    assert "Nothing due; " in page.text
    assert next(each.text for each in page.figures) == "41"
