"""One list per rig from several books' files; expectations counted by hand from the rows typed."""

from __future__ import annotations

import hashlib
import re
import sys
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from monday_books import DAY, crew, on_disk

from book_builder import Row
from rodhand.book.entry.carrying import back_up, export
from rodhand.book.monday.monday import monday_view
from rodhand.book.monday.views import MondayView
from rodhand.book.twin import figures_of
from rodhand.cli.main import main
from rodhand.record.journal import Journal
from rodhand.sheets.monday_paper import all_paper, rig_papers, write_monday
from rodhand.sheets.paper import paper_pdf
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

Books = tuple[Path, Path]


@pytest.fixture
def two_books(tmp_path: Path) -> tuple[Path, Path]:
    """Rig-A: four rods, one of them scrap by a person's word. Rig-B: six rods, one lost."""
    scrap: Row = ("standing", {"things": "A-02", "standing": "scrap", "why": "cracked pin"},
                  "2025-06-02")  # fmt: skip
    lost: Row = ("whereabouts", {"things": "B-05", "where": "lost in hole"}, "2025-06-03")
    one = on_disk(tmp_path / "crew-a", [*crew("Rig-A", "SET-A", "A-01"), scrap])
    other = on_disk(tmp_path / "crew-b", [*crew("Rig-B", "SET-B", "B-01", 6), lost])
    return one, other


def pages(pdf: bytes) -> int:
    """Pages of a PDF, by its page objects."""
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


def keys_of(view: MondayView) -> list[str]:
    return [sentence.key for sentence in view.twice]


def files_in(folder: Path) -> dict[str, str]:
    return {
        str(file): hashlib.sha256(file.read_bytes()).hexdigest()
        for file in sorted(folder.rglob("*"))
        if file.is_file()
    }


def test_each_rig_has_its_own_list_with_what_to_pull(two_books: Books) -> None:
    view = monday_view(two_books, DAY)
    assert [(sheet.rig, sheet.file) for sheet in view.sheets] == [
        ("Rig-A", "crew-a"), ("Rig-B", "crew-b"),
    ]  # fmt: skip
    rig_a, rig_b = view.sheets
    assert [(row.standing, row.things) for row in rig_a.pull] == [("scrap", ("A-02",))]
    assert rig_b.pull == ()
    named = {name for line in (*rig_b.lines, *rig_b.rest, *rig_b.due) for name in line.things}
    assert named == {"B-01", "B-02", "B-03", "B-04", "B-06"}  # the lost one is asked nothing
    full = [line for line in rig_b.due if line.how_long.value == 5 * 4 * 60.0]
    assert full, "a full look at five rods takes 4 minutes each"
    every = [line.how_long.value or 0.0 for line in (*rig_b.lines, *rig_b.rest, *rig_b.due)]
    assert rig_b.figures["minutes"].value == sum(every)
    assert view.twice == ()


def test_stock_is_summed_over_the_rigs(two_books: Books) -> None:
    (row,) = monday_view(two_books, DAY).stock
    found = {name: figure.value for name, figure in row.figures.items()}
    # 4 + 6 rods; A-02 scrap and B-05 lost are to be bought again at 420 each.
    assert found == {
        "rods": 10.0, "usable": 8.0, "aside": 0.0, "replace": 2.0, "price": 420.0, "cost": 840.0,
    }  # fmt: skip
    assert row.rigs == ("Rig-A", "Rig-B")


def test_no_two_figures_share_a_key(two_books: Books) -> None:
    keys = [figure.key for figure in figures_of(monday_view(two_books, DAY).sheets)]
    by_sheet = [
        {figure.key for figure in figures_of(sheet)} for sheet in monday_view(two_books, DAY).sheets
    ]
    assert keys
    assert not by_sheet[0] & by_sheet[1]


def test_nothing_is_written_beside_the_books(two_books: Books) -> None:
    before = [files_in(folder) for folder in two_books]
    monday_view(two_books)
    assert [files_in(folder) for folder in two_books] == before


def test_a_copy_that_is_a_part_gives_way_to_the_book(two_books: Books, tmp_path: Path) -> None:
    copy = tmp_path / "stick.zip"
    back_up(two_books[0], copy)
    with Journal.open(two_books[0]) as journal:
        journal.write("remark", {"things": "A-01", "text": "seen"}, "2025-06-04", "p1", "+00:00")
    view = monday_view([copy, two_books[0]])
    assert [sheet.file for sheet in view.sheets] == ["crew-a"]
    assert [each.state for each in view.files] == ["part", "read"]
    assert view.files[0].made
    assert view.figures["rigs"].value == 1.0


def test_two_files_that_both_went_on_are_both_shown(two_books: Books, tmp_path: Path) -> None:
    tablet = tmp_path / "tablet"
    back_up(two_books[0], tablet)
    (tablet / "manifest.json").unlink()  # opened elsewhere it is a book again
    for folder, count, text in ((two_books[0], 1, "office"), (tablet, 2, "tablet")):
        with Journal.open(folder) as journal:
            for number in range(count):
                journal.write("remark", {"things": "A-01", "text": f"{text} {number}"},
                              "2025-06-04", "p1", "+00:00")  # fmt: skip
    view = monday_view([two_books[0], tablet])
    assert [(sheet.rig, sheet.file) for sheet in view.sheets] == [
        ("Rig-A", "crew-a"), ("Rig-A", "tablet"),
    ]  # fmt: skip
    (note,) = view.sheets[0].notes
    assert note.key == "monday.both_ahead"
    assert (note.values["there"], note.values["here"]) == ("2", "1")
    assert view.stock[0].figures["rods"].value == 4.0  # by the same entry: counted once


def test_a_rod_two_books_have_is_told_with_both_days(tmp_path: Path, two_books: Books) -> None:
    look = ("check", {"things": "A-01", "item": "full-look", "found": "nothing"}, "2025-06-04")
    other = on_disk(tmp_path / "crew-c", [*crew("Rig-C", "SET-C", "A-01", 2), look])
    view = monday_view([two_books[0], other], DAY)
    (told,) = view.twice
    # both; crew-a last said something of A-02 on 2025-06-02 (its standing), which
    # is no sight of the rod: it was last seen when the set came, on 2025-01-01.
    assert told.values["things"] == "A-01, A-02"
    assert (told.values["place"], told.values["there"]) == ("Rig-A", "Rig-C")
    assert (told.values["day"], told.values["then"]) == ("2025-01-01", "2025-06-04")


def test_a_rod_said_to_be_sold_is_not_in_two_books(tmp_path: Path, two_books: Books) -> None:
    sold = ("whereabouts", {"things": "A-01..A-02", "where": "sold"}, "2025-06-03")
    other = on_disk(tmp_path / "crew-c", [*crew("Rig-C", "SET-C", "A-01", 2), sold])
    assert monday_view([two_books[0], other], DAY).twice == ()


def test_unmarked_sets_of_one_name_are_told(tmp_path: Path) -> None:
    books = []
    for name in ("one", "two"):
        rows = [*crew(f"Rig-{name}", "SET-X", "")[:2]]
        rows.append(("set", {"set": "SET-X", "rod_type": "R-M", "count": "3"}, "2025-02-01"))
        books.append(on_disk(tmp_path / name, rows))
    assert keys_of(monday_view(books, DAY)) == ["monday.twice_set"]


def test_a_damaged_file_is_told_and_the_others_shown(two_books: Books, tmp_path: Path) -> None:
    file = next(two_books[0].glob("journal.sqlite"))
    raw = bytearray(file.read_bytes())
    at = raw.find(b"cracked pin")
    raw[at] = ord("b")
    file.write_bytes(raw)
    lines = tmp_path / "rig.jsonl"
    lines.write_text(export(two_books[1], "jsonl")[0].replace("lost in hole", "lost in moor"))
    view = monday_view([two_books[0], lines, tmp_path / "none", two_books[1]], DAY)
    assert [each.state for each in view.files] == ["unread", "unread", "unread", "read"]
    assert [sheet.rig for sheet in view.sheets] == ["Rig-B"]
    assert "line 4" in str(view.files[1].notes[0].values["reason"])


def test_a_file_of_entries_gives_the_same_list_as_its_book(
    two_books: Books, tmp_path: Path
) -> None:
    lines = tmp_path / "rig.jsonl"
    lines.write_text(export(two_books[0], "jsonl")[0])
    (sheet,) = monday_view([lines], DAY).sheets
    assert [(row.standing, row.things) for row in sheet.pull] == [("scrap", ("A-02",))]


def test_one_page_a_rig_on_paper(two_books: Books, tmp_path: Path) -> None:
    view = monday_view(two_books, DAY)
    assert [pages(paper_pdf(paper)) for paper in rig_papers(view, "metric")] == [1, 1]
    assert pages(paper_pdf(all_paper(view, "us"))) == 3
    files = write_monday(view, "metric", tmp_path / "lists")
    assert [file.name for file in files] == ["Rig-A-monday.pdf", "Rig-B-monday.pdf"]


def run(monkeypatch: pytest.MonkeyPatch, *arguments: str | Path) -> int:
    monkeypatch.setattr(sys, "argv", ["rodhand", *map(str, arguments)])
    try:
        main()
    except SystemExit as end:
        return int(end.code or 0)
    return 0


def test_the_command(
    two_books: Books,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    out = tmp_path / "monday.pdf"
    assert run(monkeypatch, "monday", *two_books, tmp_path / "none", "--out", out) == 0
    said = capsys.readouterr().out
    assert out.read_bytes().startswith(b"%PDF")
    assert "Rods to pull: scrap: A-02" in said
    assert "Not read: there is nothing at this place" in said
    assert run(monkeypatch, "monday", tmp_path / "none") == 3


def test_the_page_remembers_the_places(two_books: Books) -> None:
    client = TestClient(create_app(BookDesk(two_books[0])), base_url="http://127.0.0.1:8420")
    assert 'href="/monday"' in client.get("/office").text
    assert "No book is named yet" in client.get("/monday").text
    assert client.post("/monday", data={"places": " \n"}).status_code == 400
    places = "\n".join(map(str, (*two_books, "/nowhere/at-all")))
    shown = client.post("/monday", data={"places": places})
    assert shown.status_code == 200
    assert ">Rig-A</h2>" in shown.text
    assert ">Rig-B</h2>" in shown.text
    assert "/nowhere/at-all" in shown.text
    again = client.get("/monday.json").json()
    assert [sheet["rig"] for sheet in again["view"]["sheets"]] == ["Rig-A", "Rig-B"]
    assert client.get("/monday/all.pdf").content.startswith(b"%PDF")
    assert client.get("/monday/2/rig.pdf").content.startswith(b"%PDF")
    assert client.get("/monday/9/rig.pdf").status_code == 404
