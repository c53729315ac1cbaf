"""Labels: codes that stay, what they open, and the sheet they are printed on."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from pypdf import PdfReader
from yard_books import LOAD, TODAY, assert_twins, kept

from book_builder import YARD, Row, build_book
from rodhand.book.work.assess import Assessment, assess
from rodhand.book.yard.labels import (
    LENGTH,
    LETTERS,
    NoSuchRowError,
    code_of,
    labelled,
    labels_of,
    row_view,
)
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

BOX: Row = ("rig", {"rig": "Rig-40", "box_rows": "4", "rods_per_row": "10"}, "2025-01-02")
SUB: Row = ("thing", {"thing": "SS-1", "what": "saver sub", "rig": "Rig-40"}, "2025-01-02")


def of(*rows: Row) -> Assessment:
    return assess(build_book([BOX, SUB, LOAD, *rows]), TODAY)


def label_of(assessment: Assessment, name: str) -> str:
    return next(each.code for each in labels_of(assessment) if each.name == name and not each.row)


def test_codes_have_four_signs_nobody_takes_for_another() -> None:
    assert not set("0O1IL2Z5S8B6G") & set(LETTERS)
    codes = {code_of(f"e{n}#1") for n in range(300)}
    assert all(len(code) == LENGTH and set(code) <= set(LETTERS) for code in codes)
    assert len(codes) > 297  # 0.16 pairs are to be expected among 300


def test_a_code_outlives_a_new_mark_and_a_new_set() -> None:
    before = label_of(of(), "M1-05")
    mark: Row = ("mark", {"thing": "M1-05", "mark": "X-9"}, "2025-06-01")
    new_set: Row = ("set", {"set": "S2", "rod_type": "R-M", "count": "0"}, "2025-06-01")
    joined: Row = ("membership", {"things": "X-9", "set": "S2"}, "2025-06-02")
    assert label_of(of(mark, new_set, joined), "X-9") == before


def test_a_code_typed_with_cold_hands_opens_its_rod() -> None:
    assessment = of()
    code = label_of(assessment, "M1-05")
    for typed in (code, code.lower(), f" {code[:2]}-{code[2:]} "):
        assert [each.name for each in labelled(assessment, typed)] == ["M1-05"]
    assert labelled(assessment, "0000") == ()


def test_rows_carry_labels_and_hold_what_was_loaded() -> None:
    assessment = of()
    rows = [each for each in labels_of(assessment) if each.kind == "row"]
    assert [(each.name, each.row) for each in rows] == [("Rig-40", n) for n in range(1, 5)]
    view = row_view(assessment, "Rig-40", 3)
    assert [rod.name for rod in view.rods] == [f"M1-{n}" for n in range(21, 31)]
    for rig, row in (("Rig-40", 5), ("Rig-40", 0), ("Rig-9", 1)):
        with pytest.raises(NoSuchRowError):
            row_view(assessment, rig, row)


def test_what_is_gone_carries_no_label() -> None:
    sold: Row = ("whereabouts", {"things": "M1-05", "where": "sold"}, "2025-06-01")
    assert "M1-05" not in {each.name for each in labels_of(of(sold))}


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    folder = kept(tmp_path_factory.mktemp("labels") / "book", [*YARD, BOX, SUB, LOAD], yard=False)
    return TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")


def test_a_scanned_label_leads_to_its_page(client: TestClient) -> None:
    labels = client.get("/labels.json").json()["labels"]
    code = {(each["name"], each["row"]): each["code"] for each in labels}
    for typed in (f"/L/{code['M1-05', 0]}", f"/label?code={code['M1-05', 0].lower()}"):
        answer = client.get(typed, follow_redirects=False)
        assert (answer.status_code, answer.headers["location"]) == (303, "/thing/M1-05")
    page = client.get(f"/L/{code['Rig-40', 2]}")
    assert page.status_code == 200
    assert "Row 2 of Rig-40" in page.text
    assert code["M1-05", 0] in client.get("/thing/M1-05").text
    assert client.get("/L/0000").status_code == 404
    assert client.get("/row/Rig-40/9").status_code == 404
    assert "Four characters" in client.get("/yard").text


def test_the_sheet_has_24_labels_a_page_and_skips_what_is_used(client: TestClient) -> None:
    def pages(query: str) -> list[str]:
        answer = client.get(f"/labels.pdf?{query}")
        assert answer.status_code == 200
        return [page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages]

    a4 = pages("of=SET-M1&units=metric&base=http://192.0.2.7:8765/")
    assert len(a4) == 2
    assert "M1-24" in a4[0]
    assert "M1-25" in a4[1]
    assert "M1-23" in pages("of=SET-M1&units=metric&skip=2")[1]
    letter = pages("of=SET-M1&units=us")
    assert "M1-30" in letter[0]
    assert "M1-31" in letter[1]
    assert [len(pages("names=m1-02,SS-1")), len(pages("of=row Rig-40"))] == [1, 1]


@pytest.mark.parametrize(
    "query", ["of=nothing", "names=M1-99", "of=SET-M1&skip=x", "of=SET-M1&units=ell",
              f"of=SET-M1&base=http://{'x' * 200}"],
)  # fmt: skip
def test_a_sheet_of_nothing_is_refused(client: TestClient, query: str) -> None:
    assert client.get(f"/labels.pdf?{query}").status_code == 400


def test_spanish_has_the_same_keys_and_fields(tmp_path: Path) -> None:
    assert_twins("labels", tmp_path)
