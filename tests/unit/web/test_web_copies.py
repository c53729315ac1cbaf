"""The pages of copies on a real book: one touch, the difference, the way back from damage."""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from web_reading import DIGIT_WITH_UNIT, differences, read

from book_builder import YARD, entries_of
from rodhand.book.entry.carrying import export
from rodhand.record.backup import back_up
from rodhand.record.database import FILE_NAME
from rodhand.record.journal import Journal
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk


@pytest.fixture
def book(tmp_path: Path) -> Path:
    with Journal.open(tmp_path / "book") as journal:
        journal.append(entries_of(YARD))
    (tmp_path / "stick").mkdir()
    return tmp_path / "book"


@pytest.fixture
def client(book: Path) -> TestClient:
    return TestClient(create_app(BookDesk(book)), base_url="http://127.0.0.1")


def remark(book: Path, text: str) -> None:
    with Journal.open(book) as journal:
        journal.write("remark", {"text": text})


def test_one_touch_after_the_place_was_named_once(
    client: TestClient, book: Path, tmp_path: Path
) -> None:
    first = client.get("/")
    assert "No copy of this book is known" in read(first.text).text
    assert client.get("/index.json").json()["figures"]["week.copy_age"]["value"] is None
    refused = client.post("/copies/now")
    assert refused.status_code == 400
    assert "folder or stick" in read(refused.text).text
    assert client.post("/copies/now", data={"target": str(tmp_path / "stick")}).status_code == 200
    assert client.post("/copies/now").status_code == 200
    assert len(list((tmp_path / "stick").glob("*.zip"))) == 2
    assert "No copy of this book is known" not in read(client.get("/").text).text
    age = client.get("/index.json").json()["figures"]["week.copy_age"]["value"]
    assert 0.0 <= age < 60.0


def test_the_page_equals_its_twin(client: TestClient, tmp_path: Path) -> None:
    client.post("/copies/now", data={"target": str(tmp_path / "stick")})
    copy = next((tmp_path / "stick").glob("*.zip"))
    for page in ("/copies", f"/copies/compare?copy={copy}"):
        path, _, query = page.partition("?")
        html = client.get(page).text
        figures = client.get(f"{path}.json?{query}").json()["figures"]
        told = [line for line in differences(read(html), figures, "metric") if "age" not in line]
        assert told == []  # ages go on between the two questions
        assert DIGIT_WITH_UNIT.findall(read(html).text) == []


def test_an_old_copy_is_noted(client: TestClient, book: Path, tmp_path: Path) -> None:
    client.post("/copies/now", data={"target": str(tmp_path / "stick")})
    note = book / "copies.json"
    note.write_text(note.read_text().replace('"made": "2', '"made": "1'))
    assert "the owner asks for one every" in read(client.get("/").text).text


def test_a_newer_book_is_not_written_over_and_both_sides_are_shown(
    client: TestClient, book: Path, tmp_path: Path
) -> None:
    back_up(book, tmp_path / "copy.zip")
    asked = {"copy": str(tmp_path / "copy.zip")}
    assert client.get("/copies/compare.json", params=asked).json()["view"]["state"] == "same"
    remark(book, "newer")
    view = client.get("/copies/compare.json", params=asked).json()["view"]
    assert view["state"] == "book_ahead"
    assert [(row["kind"], row["count"]) for row in view["here"]] == [("remark", 1)]
    assert view["there"] == []
    assert "Bring" not in read(client.get("/copies/compare", params=asked).text).text
    refused = client.post("/copies/bring", data=asked)
    assert refused.status_code == 400
    assert "1 stand only in the book" in read(refused.text).text


def test_a_book_that_lacks_something_takes_it(
    client: TestClient, book: Path, tmp_path: Path
) -> None:
    with Journal.open(tmp_path / "other") as journal:
        journal.append(entries_of(YARD))
        journal.write("remark", {"text": "elsewhere"})
    back_up(tmp_path / "other", tmp_path / "copy.zip")
    asked = {"copy": str(tmp_path / "copy.zip")}
    page = read(client.get("/copies/compare", params=asked).text).text
    assert "Take in what the book lacks" in page
    assert client.post("/copies/bring.json", data=asked).json() == {
        "added": 1, "aside": None, "saved": 0,
    }  # fmt: skip


def test_damage_leads_to_the_copies_and_back(
    client: TestClient, book: Path, tmp_path: Path
) -> None:
    back_up(book, tmp_path / "copy.zip")
    remark(book, "since the copy")
    lines = export(book, "jsonl")[0]
    file = book / FILE_NAME
    file.write_bytes(file.read_bytes().replace(b"Rig-40", b"Rig-41"))
    for page in ("/", "/yard", "/office"):
        answer = client.get(page)
        assert answer.status_code == 503
        assert "file is damaged" in read(answer.text).text
        assert 'href="/copies"' in answer.text
    assert client.get("/index.json").json()["error"]["what"].startswith("The book's file is")
    assert "Copy now" not in read(client.get("/copies").text).text
    refused = client.post("/copies/now", data={"target": str(tmp_path / "stick")})
    assert "file is damaged" in read(refused.text).text
    assert not list((tmp_path / "stick").iterdir())
    asked = {"copy": str(tmp_path / "copy.zip")}
    assert "Bring this copy back" in read(client.get("/copies/compare", params=asked).text).text
    done = client.post("/copies/bring.json", data=asked).json()
    assert (done["added"], done["saved"]) == (len(YARD), 1)
    assert Path(done["aside"]).exists()
    assert client.get("/yard").status_code == 200
    sent = {"file": ("outbox.jsonl", lines.encode())}
    assert client.post("/copies/entries.json", files=sent).json() == {
        "new": 0, "total": len(YARD) + 1,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("path", "told"),
    [("/nowhere", "can be read"), ("", "folder or .zip file"), ("spoilt", "its manifest says")],
)
def test_what_is_no_copy_is_told_beside_its_field(
    client: TestClient, tmp_path: Path, path: str, told: str
) -> None:
    (tmp_path / "spoilt.zip").write_bytes(b"PK nothing")
    asked = {"copy": str(tmp_path / "spoilt.zip") if path == "spoilt" else path}
    for answer in (
        client.get("/copies/compare", params=asked),
        client.post("/copies/bring", data=asked),
    ):
        assert answer.status_code == 400
        assert told in read(answer.text).text
    assert client.get("/copies/compare.json", params=asked).status_code == 400


def test_a_file_that_holds_no_entries_is_told(client: TestClient) -> None:
    answer = client.post("/copies/entries", files={"file": ("x.jsonl", b"hello\n")})
    assert answer.status_code == 400
    assert "one entry as a line" in read(answer.text).text
    assert client.post("/copies/entries").status_code == 400
