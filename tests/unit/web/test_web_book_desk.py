"""A book kept by page alone: typed into the forms, shown by the pages, figures as in the twins."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from web_reading import DIGIT_WITH_UNIT, differences, read

from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

# Pitches in percent, up positive: down at 25, one rod turns by 12 %, then level. 3.048 m rods of
# a type whose limit is a radius of 145 ft, 6.9 % of change over one rod.
PITCHES = (-25, -25, -22, -10, -6, -3, 0, 0)
ROD_TYPE = {
    "v.name": "mid",
    "v.tube_od": "2.375",
    "u.tube_od": "in",
    "v.wall": "0.28",
    "u.wall": "in",
    "v.length": "10",
    "u.length": "ft",
    "v.joint_od": "2.75",
    "u.joint_od": "in",
    "v.joint_bore": "1.0",
    "u.joint_bore": "in",
    "v.joint_length": "180",
    "u.joint_length": "mm",
    "v.yield": "135",
    "u.yield": "ksi",
    "v.build": "one-piece",
    "v.limit_radius": "145",
    "u.limit_radius": "ft",
}
RIG = {"v.rig": "Rig-1", "v.rod_type": "mid", "v.pilot_rpm": "100"}
BORE = {"v.bore": "T-1", "v.rig": "Rig-1", "v.ground": "sand"}
SET = {
    "v.set": "T",
    "v.rod_type": "mid",
    "v.count": "8",
    "v.marks_start": "T-01",
    "v.rig": "Rig-1",
}
PAST = {
    "v.set": "T",
    "v.rotating_time": "100",
    "u.rotating_time": "h",
    "v.order": "same",
}
LOAD = {"v.rig": "Rig-1", "v.bore": "T-1", "v.things": "T-01..T-08", "v.how": "marked"}


def entered(client: TestClient, kind: str, typed: dict[str, str], day: str = "2025-05-05") -> str:
    """Id of what the form took."""
    answer = client.post(
        f"/enter/{kind}",
        data={**typed, "happened": day},
        headers={"Accept": "application/json"},
        follow_redirects=False,
    )
    assert answer.status_code == 303, answer.text
    return answer.headers["location"].removeprefix("/entry/")


def reading(station: int, pitch: int) -> dict[str, str]:
    return {
        "v.bore": "T-1",
        "v.pass": "pilot",
        "v.station": str(station),
        "v.pitch": str(pitch),
        "u.pitch": "pct",
        "v.rotating_time": "5",
        "u.rotating_time": "min",
    }


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    folder: Path = tmp_path_factory.mktemp("book")
    with TestClient(create_app(BookDesk(folder / "book")), base_url="http://127.0.0.1") as made:
        for kind, typed in (
            ("rod-type", ROD_TYPE),
            ("rig", RIG),
            ("set", SET),
            ("past", PAST),
            ("bore", BORE),
            ("load", LOAD),
        ):
            entered(made, kind, typed)
        for station, pitch in enumerate(PITCHES, 1):
            entered(made, "reading", reading(station, pitch))
        yield made


@pytest.mark.parametrize(
    "page", ["/", "/yard", "/office", "/bore/T-1", "/bore/T-1?pass=pilot&at=14", "/thing/T-01"]
)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_pages_of_a_real_book_equal_their_twins(client: TestClient, page: str, system: str) -> None:
    path, mark, query = page.partition("?")
    shown = read(client.get(f"{page}{'&' if mark else '?'}units={system}").text)
    twin = client.get(f"{'/index' if path == '/' else path}.json{mark}{query}").json()
    assert shown.figures
    assert differences(shown, twin["figures"], system) == []
    assert [found.group() for found in DIGIT_WITH_UNIT.finditer(shown.text)] == []


@pytest.mark.parametrize("page", ["/yard", "/office", "/bore/T-1", "/thing/T-01"])
def test_every_figure_of_a_real_book_is_labelled_in_words(client: TestClient, page: str) -> None:
    # A code without words would stand there with its underscore; the history shows columns.
    text = read(client.get(page).text.split('<ul class="history">')[0]).text
    assert re.findall(r"\b[a-z]+_[a-z_]+\b", text) == []


def test_the_over_steer_and_its_rods_stand_on_the_page(client: TestClient) -> None:
    view = client.get("/bore/T-1.json").json()["view"]
    worst = view["over_steers"][0]
    # 22 % to 10 % down within rod 4: atan(.22) - atan(.10) = 6.70 deg over 3.048 m, a radius of
    # 26.1 m where 44.2 m is allowed.
    assert (worst["station"], worst["verdict"]) == (4.0, "over")
    assert worst["passed"] == ["T-01", "T-02", "T-03", "T-04"]
    assert worst["in_it"] == ["T-05"]
    assert "T-01..T-04" in read(client.get("/bore/T-1").text).text


def test_the_slider_moves_the_rods_concerned(client: TestClient) -> None:
    # The middle of the bend is 10.7 m in; with the tool at 11 m the first rod is in it.
    early = client.get("/bore/T-1.json?pass=pilot&at=11").json()["view"]["over_steers"][0]
    assert (early["passed"], early["in_it"]) == ([], ["T-01"])
    none_yet = client.get("/bore/T-1.json?pass=pilot&at=8").json()["view"]["over_steers"]
    assert none_yet == []


def test_a_struck_entry_counts_no_more_and_stays_to_be_seen(client: TestClient) -> None:
    wrong = entered(client, "remark", {"v.things": "T-02", "v.text": "looked bent"}, "2025-05-06")
    before = client.get("/thing/T-02.json").json()["view"]["history"]
    assert [line["struck"] for line in before if line["entry"] == wrong] == [False]
    client.post(f"/entry/{wrong}/strike", data={"why": "another rod"})
    after = client.get("/thing/T-02.json").json()["view"]["history"]
    assert [line["struck"] for line in after if line["entry"] == wrong] == [True]
    assert "Struck: another rod" in read(client.get(f"/entry/{wrong}").text).plain


def test_faults_of_the_record_stand_beside_their_fields(client: TestClient) -> None:
    typed = {**reading(9, 0), "v.pitch": "10,5", "v.rotating_time": "-3"}
    answer = client.post("/enter/reading", data=typed, follow_redirects=False)
    assert answer.status_code == 400
    wrong = {
        given["name"]
        for _, given in read(answer.text).tags
        if given.get("aria-invalid") == "true" and "name" in given
    }
    assert wrong == {"v.pitch", "v.rotating_time"}


def test_a_date_nobody_can_read_is_told_at_its_field(client: TestClient) -> None:
    answer = client.post(
        "/enter/remark", data={"v.text": "x", "happened": "last May"}, follow_redirects=False
    )
    assert answer.status_code == 400
    wrong = [given["name"] for _, given in read(answer.text).tags if "aria-invalid" in given]
    assert wrong == ["happened"]


def test_no_book_is_told_and_none_is_made(tmp_path: Path) -> None:
    made = TestClient(create_app(BookDesk(tmp_path / "none")), base_url="http://127.0.0.1")
    answer = made.get("/", headers={"Accept": "application/json"})
    assert answer.status_code == 503
    assert set(answer.json()["error"]) == {"what", "needed", "do", "faults"}
    assert not (tmp_path / "none").exists()
