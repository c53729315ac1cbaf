"""The season as a paper of one page, and the owner's pages in both languages."""

from __future__ import annotations

import io
from pathlib import Path

import pypdf
import pytest
from fastapi.testclient import TestClient
from test_money import HOUR, PRICE, assessed

from rodhand.book.entry.keeping import enter
from rodhand.book.entry.typed_rows import drafts_of_values
from rodhand.book.owner.season import season_view
from rodhand.book.twin import twin
from rodhand.cli.season import season
from rodhand.faults import BadInputError
from rodhand.sheets.paper import BookFacts, Table, paper_figures, paper_pdf
from rodhand.sheets.season_paper import season_paper
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

FACTS = BookFacts("book", 20, "ab" * 32, "2025-06-01")
DAY = ("price", (("what", "rig day"), ("price", "1900"), ("currency", "USD")))


def text_of(content: bytes) -> str:
    (page,) = pypdf.PdfReader(io.BytesIO(content)).pages  # one page, no more
    return " ".join(page.extract_text().replace("\u00a0", " ").split())


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("priced", [False, True])
def test_one_page_sentences_and_one_table(language: str, priced: bool) -> None:
    view = season_view(assessed(PRICE, HOUR, DAY) if priced else assessed())
    paper = season_paper(view, FACTS, "us" if language == "es" else "metric", language)
    assert sum(isinstance(part, Table) for part in paper.parts) == 1
    told = text_of(paper_pdf(paper))
    assert ("over a limit" if language == "en" else "sobre un límite") in told
    assert paper_pdf(paper) == paper_pdf(paper)
    figures = twin(view)["figures"]
    for key, shown in paper_figures(paper).items():
        kept = figures.get(key)
        if kept and kept["value"] is not None:
            assert shown == kept["shown_us" if language == "es" else "shown_metric"]


def test_days_of_the_rig_and_over_steers_stand_beside_the_cost_of_rods() -> None:
    view = season_view(assessed(PRICE, DAY))
    assert view.figures["rig_days"].value == 3.0  # three bores, a day each
    assert view.money["rig"].value == 3 * 1900.0
    assert view.money["whole"].value == pytest.approx(view.money["rods"].value)
    assert view.over is not None
    assert view.over.key == "season.over_money"
    assert view.over.values["cost"].value == pytest.approx(500 * view.over.values["lives"].value)
    bare = season_view(assessed())
    assert bare.over is not None
    assert bare.over.key == "season.over_lives"


def test_a_file_that_is_no_pdf_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInputError):
        season(tmp_path / "season.txt", tmp_path)


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    folder = tmp_path_factory.mktemp("money")
    prices = ({"what": "new rod", "price": "500", "currency": "USD"},
              {"what": "lost head", "price": "900", "currency": "CAD"})  # fmt: skip
    for price in prices:
        enter(folder, drafts_of_values("price", price, "2025-05-01", "owner"), "price")
    return TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("path", ["/money", "/season", "/forecast"])
def test_pages_of_a_book_without_bores(client: TestClient, path: str, language: str) -> None:
    page = client.get(path, headers={"accept-language": language})
    assert page.status_code == 200
    assert "USD" in page.text  # said to be another currency than the newest, CAD
    assert client.get(path, params={"as_of": "yesterday"}).status_code == 400
    twinned = client.get(path, headers={"accept": "application/json"})
    assert twinned.json()["view"]


def test_the_paper_comes_from_the_page(client: TestClient) -> None:
    asked = {"as_of": "2099-01-01"}
    once, again = (client.get("/season.pdf", params=asked) for _ in range(2))
    assert once.status_code == 200
    assert once.content == again.content
    assert "2099-01-01" in text_of(once.content)
