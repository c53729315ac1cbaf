"""The blank sheets and the entry grid have the same columns; the signs of a sheet are kept."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pypdf
import pytest
from fastapi.testclient import TestClient

from book_builder import ROD_TYPE
from rodhand.record.journal import Journal
from rodhand.sheets.importing import book_in
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

PAGES = {
    "rod-log": "/bore/T-9/grid",
    "ream-log": "/bore/T-9/grid?pass=pullback",
    "loading": "/load/grid?rig=Rig-40&happened=2025-05-01",
    "checks": "/checks/grid?rig=Rig-40&happened=2025-05-01",
}


@pytest.fixture(params=["us", "metric"])
def book(tmp_path: Path, request: pytest.FixtureRequest) -> Path:
    folder = tmp_path / "book"
    rows = (
        ("rod-type", ROD_TYPE),
        ("rig", {"rig": "Rig-40", "rod_type": "R-M", "units": request.param}),
        ("set", {"set": "M", "rod_type": "R-M", "count": "3", "marks_start": "M-01",
                 "rig": "Rig-40"}),
        ("load", {"rig": "Rig-40", "things": "M-01..M-03", "how": "by row"}),
        ("bore", {"bore": "T-9", "rig": "Rig-40"}),
        ("pass", {"bore": "T-9", "pass": "pullback", "what": "pullback"}),
    )  # fmt: skip
    with Journal.open(folder) as journal:
        for kind, payload in rows:
            journal.write(kind, payload, "2025-01-02")
    return folder


@pytest.fixture
def client(book: Path) -> TestClient:
    return TestClient(create_app(BookDesk(book)), base_url="http://127.0.0.1")


def bare(text: str) -> str:
    return re.sub(r"\W|_", "", re.sub(r"<[^>]*>", "", text))


@pytest.mark.parametrize("layout", PAGES)
def test_the_printed_sheet_has_the_columns_of_the_grid_in_their_order(
    client: TestClient, layout: str
) -> None:
    page = client.get(PAGES[layout]).text
    headings = re.findall(r'<th scope="col" data-column[^>]*>(.*?)</th>', page)
    names = re.findall(r'<th scope="col" data-column="([^"]*)"', page)
    assert len(names) >= 3
    twin = client.get(PAGES[layout], headers={"accept": "application/json"}).json()
    assert [each["name"] for each in twin["columns"]] == names
    answer = client.get(f"/sheets/{layout}.pdf?rig=Rig-40")
    printed = bare(pypdf.PdfReader(io.BytesIO(answer.content)).pages[0].extract_text())
    place = 0
    for heading in headings:
        label = bare(re.sub(r"<span.*", "", heading))
        assert label in printed[place:], (label, layout)
        place = printed.index(label, place) + len(label)


def test_a_smudged_value_is_unknown_and_a_ditto_is_told(client: TestClient, book: Path) -> None:
    grid = client.get(PAGES["rod-log"], headers={"accept": "application/json"}).json()
    names = [each["name"] for each in grid["columns"]]
    depth = next(name for name in names if name.startswith("depth"))
    form = {"columns": " ".join(names), "happened": "2025-05-01", "by": ""}
    rows = (("1", "-20", "0.5"), ("2", "?", '"'), ("3", "-12", "?"))
    for row, (station, pitch, read) in enumerate(rows, 1):
        form |= {f"e.{row}": "", f"c.{row}.station": station, f"c.{row}.pitch_pct": pitch,
                 f"c.{row}.{depth}": read}  # fmt: skip
    answer = client.post(PAGES["rod-log"], data=form, follow_redirects=False)
    assert answer.status_code == 303
    (pilot,) = [each for each in book_in(book).bores["T-9"].passes if each.name == "pilot"]
    first, second, third = pilot.readings
    assert first.depth is not None
    assert second.pitch is None  # not 0
    assert second.depth == first.depth
    assert third.depth is None
    assert f'{depth} "' in second.typed["signs"]
    assert "pitch_pct ?" in second.typed["signs"]
    assert third.typed["signs"] == f"{depth} ?"
