"""A set handed over: the new book holds what the old one said, as assumed, and refuses the rest."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from book_builder import ROD_TYPE
from rodhand.book.opening import open_assessment
from rodhand.book.owner.handover import digest_of, handover_of, write_handover
from rodhand.book.owner.handover_taken import take_handover, take_handover_file
from rodhand.cli.main import app
from rodhand.faults import BadInputError
from rodhand.record.journal import Journal
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

RIG = {"rig": "Rig-40", "rod_type": "R-M", "pin_toward": "rig", "pilot_rpm": "100"}


def begin(folder: Path, *more: tuple[str, dict[str, str], str]) -> Path:
    with Journal.open(folder) as journal:
        rows = [("rod-type", ROD_TYPE, "2025-01-01"), ("rig", RIG, "2025-01-01"), *more]
        for kind, payload, day in rows:
            journal.write(kind, payload, day)
    return folder


def bore(name: str, day: str, pitches: list[str]) -> list[tuple[str, dict[str, str], str]]:
    rows = [
        ("reading", {"bore": name, "station": f"{n}", "length_ft": "10", "pitch_pct": pitch,
                     "rotating_min": "10", "rpm": "100"}, day)
        for n, pitch in enumerate(pitches, 1)
    ]  # fmt: skip
    return [("bore", {"bore": name, "rig": "Rig-40"}, day), *rows]


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """A book of six rods, one of them unmarked, one scrapped, one set aside, one re-cut."""
    return begin(
        tmp_path / "old",
        ("set", {"set": "S", "rod_type": "R-M", "count": "5", "marks_start": "M-1",
                 "rig": "Rig-40"}, "2025-01-01"),
        ("thing", {"thing": "M-6", "what": "rod", "set": "S", "rod_type": "R-M",
                   "length_m": "3.05", "serial": "A77", "value": "850"}, "2025-01-01"),
        ("past", {"set": "S", "rotating_h": "20", "order": "turned"}, "2025-01-01"),
        ("load", {"rig": "Rig-40", "things": "M-1..M-6", "how": "marked"}, "2025-02-01"),
        *bore("B1", "2025-02-03", ["-20", "-17", "-15", "-14"]),
        ("dressing", {"things": "M-2", "what": "re-cut", "end": "pin", "new_length_m": "2.98"},
         "2025-02-10"),
        ("whereabouts", {"things": "M-5", "where": "scrapped"}, "2025-02-11"),
        ("standing", {"things": "M-3", "standing": "set aside", "why": "bent"}, "2025-02-12"),
        *bore("B2", "2025-02-20", ["-9", "-7", "-5", "-6"]),
    )  # fmt: skip


@pytest.fixture
def file(old: Path, tmp_path: Path) -> Path:
    target = tmp_path / "S-handover.json"
    write_handover(handover_of(old, "s"), target)
    return target


@pytest.fixture
def new(tmp_path: Path) -> Path:
    return begin(tmp_path / "new")


def life(folder: Path, mark: str) -> list[tuple[float, ...]]:
    made = open_assessment(folder)
    thing = made.book.thing_named(mark)
    assert thing is not None
    sections = made.histories[thing.key].life.sections
    return [(s.low, s.best, s.high, s.design) for s in sections]


def codes(error: pytest.ExceptionInfo[BadInputError]) -> list[str]:
    return [fault.code for fault in error.value.faults]


def test_every_rod_comes_with_its_whole_band_and_all_of_it_assumed(
    old: Path, new: Path, file: Path
) -> None:
    taken = take_handover_file(new, file)
    assert (taken.rods, taken.set, taken.new_set) == (5, "S", True)
    assert taken.told_on == ("M-3",)
    made = open_assessment(new)
    for mark in ("M-1", "M-2", "M-3", "M-4", "M-6"):
        for was, now in zip(life(old, mark), life(new, mark), strict=True):
            assert now == pytest.approx(was, rel=1e-6)
        thing = made.book.thing_named(mark)
        assert thing is not None
        history = made.histories[thing.key]
        assert history.known_share == 0.0
        assert {each.assumed for each in history.life.sections} <= {0.0, 1.0}
        assert history.life.worst.assumed == 1.0
    assert made.book.thing_named("M-5") is None


def test_threads_length_serial_and_standing_come_along(new: Path, file: Path) -> None:
    take_handover_file(new, file)
    made = open_assessment(new)
    recut, other = made.book.thing_named("M-2"), made.book.thing_named("M-6")
    assert recut is not None
    assert other is not None
    assert (recut.length, recut.generation_of("pin", "2030-01-01")) == (2.98, 2)
    assert recut.generation_of("box", "2030-01-01") == 1
    assert (other.length, other.serial, other.value) == (3.05, "A77", 850.0)
    aside = [each for each in made.book.standings if each.standing == "set aside"]
    bent = made.book.thing_named("M-3")
    assert bent is not None
    assert [each.things for each in aside] == [(bent.key,)]


def by_hand(**changes: Any) -> dict[str, Any]:
    """A file with one rod, its numbers written by hand."""
    five = [0.2, 0.05, 0.1, 0.3, 0.4]
    damage = dict.fromkeys(("pin_thread", "pin_upset", "mid_tube", "box_upset", "box_thread"), five)
    rod = {
        "mark": "Q-1", "number": 0, "rod_type": "R-M", "serial": "", "value": None,
        "length_m": None, "pin_cuts": 0, "box_cuts": 0, "since": "2024-01-01",
        "until": "2024-12-31", "rotating_h": 300.0, "hours": "", "standing": "fit",
        "damage": {"standing": "computed", **damage},
    }  # fmt: skip
    document = {
        "what": "rodhand handover", "form": 1, "owner": "elsewhere 123456", "set": "Q",
        "rod_type": "R-M", "rod_types": {"R-M": ROD_TYPE}, "book": {"id": "x"},
        "numbers": ["design", "low", "best", "high", "width"], "rods": [{**rod, **changes}],
    }  # fmt: skip
    return {**document, "sha256": digest_of(document)}


def as_bytes(document: dict[str, Any]) -> bytes:
    return json.dumps(document, indent=3).encode()


def test_figures_by_hand(new: Path) -> None:
    """DEFINITIONS: median of the critical sum 1/sqrt(1.09); spread 1.645 sd of scatter, stress
    model (m 0.198) and the former book's own width, here 0.4; the thread's m is 3."""
    take_handover(new, as_bytes(by_hand()), "q.json")
    median = 1 / math.sqrt(1.09)
    variance = (0.2 * math.log(10)) ** 2 + math.log(1.09) + (3 * 0.198) ** 2 + 0.4**2
    spread = math.exp(1.645 * math.sqrt(variance))
    pin = (0.05 / median / spread, 0.1 / median, 0.3 / median * spread, 0.2)
    assert life(new, "Q-1")[0] == pytest.approx(pin, rel=1e-3)


def test_hours_nobody_knew_stay_unknown(new: Path) -> None:
    take_handover(new, as_bytes(by_hand(hours="unknown")), "q.json")
    made = open_assessment(new)
    thing = made.book.thing_named("Q-1")
    assert thing is not None
    assert made.histories[thing.key].life.worst.at_least
    assert made.histories[thing.key].known_share is None


def test_a_cut_here_takes_the_former_owners_part_of_that_thread_alone(new: Path) -> None:
    take_handover(new, as_bytes(by_hand()), "q.json", happened="2025-01-10")
    with Journal.open(new) as journal:
        journal.write("dressing", {"things": "Q-1", "what": "re-cut", "end": "box"}, "2025-02-01")
    design = [values[3] for values in life(new, "Q-1")]
    assert design == pytest.approx([0.2, 0.2, 0.2, 0.2, 0.0])


def test_taken_in_twice_is_refused(new: Path, file: Path) -> None:
    take_handover_file(new, file)
    with pytest.raises(BadInputError) as error:
        take_handover_file(new, file, "Other")
    assert codes(error) == ["handover_taken"]


def test_a_later_file_of_the_same_book_for_the_same_rods_is_refused(
    new: Path, old: Path, file: Path
) -> None:
    take_handover_file(new, file)
    with Journal.open(old) as journal:
        journal.write("remark", {"text": "one more entry"}, "2025-03-01")
    later = handover_of(old, "S")
    with pytest.raises(BadInputError) as error:
        take_handover(new, later.text.encode(), "later.json", "S")
    assert codes(error) == ["handover_told"] * 5


def change_a_number(document: dict[str, Any]) -> None:
    document["rods"][0]["damage"]["mid_tube"][0] /= 2


def change_a_mark(document: dict[str, Any]) -> None:
    document["rods"][0]["mark"] = "M-9"


def drop_a_rod(document: dict[str, Any]) -> None:
    document["rods"].pop()


@pytest.mark.parametrize("change", [change_a_number, change_a_mark, drop_a_rod])
def test_a_changed_file_is_refused(
    new: Path, file: Path, change: Callable[[dict[str, Any]], None]
) -> None:
    document = json.loads(file.read_text())
    change(document)
    with pytest.raises(BadInputError) as error:
        take_handover(new, as_bytes(document), "changed.json")
    assert codes(error) == ["handover_changed"]
    assert not open_assessment(new).book.things


def test_laid_out_anew_it_is_still_the_same_file(new: Path, file: Path) -> None:
    document = json.loads(file.read_text())
    turned = dict(reversed(list(document.items())))
    assert take_handover(new, json.dumps(turned).encode(), "flat.json").rods == 5


@pytest.mark.parametrize(
    "data", [b"", b"station,pitch_pct\n1,-3\n", b"\xff\xfe", b"[1, 2]", b'{"what": "a claim"}',
             b"[" * 100_000]
)  # fmt: skip
def test_another_file_is_refused(new: Path, data: bytes) -> None:
    with pytest.raises(BadInputError) as error:
        take_handover(new, data, "x.json")
    assert codes(error) == ["handover_not_one"]


def test_a_newer_form_and_numbers_that_cannot_be_are_refused(new: Path) -> None:
    newer = {**by_hand(), "form": 2}
    for document, code in (
        ({**newer, "sha256": digest_of(newer)}, "handover_newer"),
        (by_hand(pin_cuts=-1), "handover_not_whole"),
        (by_hand(damage={"pin_thread": [0.2, 0.3, 0.1, 0.3, 0.4]}), "handover_not_whole"),
    ):
        with pytest.raises(BadInputError) as error:
            take_handover(new, as_bytes(document), "q.json")
        assert codes(error) == [code]


def test_the_book_that_wrote_it_does_not_take_it(old: Path, file: Path) -> None:
    with pytest.raises(BadInputError) as error:
        take_handover_file(old, file, "S2")
    assert codes(error) == ["handover_own"]


def test_another_set_of_that_name_is_not_taken_for_it(new: Path, file: Path) -> None:
    with Journal.open(new) as journal:
        journal.write("set", {"set": "S", "rod_type": "R-M", "count": "5"}, "2025-01-01")
    with pytest.raises(BadInputError) as error:
        take_handover_file(new, file)
    assert codes(error) == ["handover_set_there"]
    with pytest.raises(BadInputError) as error:
        take_handover_file(new, file, "S")
    assert codes(error) == ["handover_no_such_rod"] * 5
    assert take_handover_file(new, file, "S from elsewhere").set == "S from elsewhere"


def test_rods_that_are_here_already_get_their_past(new: Path, old: Path, file: Path) -> None:
    with Journal.open(new) as journal:
        journal.write("set", {"set": "Bought", "rod_type": "R-M", "count": "6",
                              "marks_start": "M-1"}, "2025-03-01")  # fmt: skip
    taken = take_handover_file(new, file, "bought", "2025-03-02")
    assert not taken.new_set
    assert life(new, "M-4")[0] == pytest.approx(life(old, "M-4")[0], rel=1e-6)


def test_unmarked_rods_come_by_number(tmp_path: Path, new: Path) -> None:
    bare = begin(
        tmp_path / "bare",
        ("set", {"set": "U", "rod_type": "R-M", "count": "3"}, "2025-01-01"),
        ("load", {"rig": "Rig-40", "things": "U", "how": "by row"}, "2025-02-01"),
        *bore("B1", "2025-02-03", ["-20", "-14", "-6"]),
    )
    take_handover(new, handover_of(bare, "U").text.encode(), "u.json", "V")
    for number in (1, 2, 3):
        was, now = life(bare, f"U no. {number}"), life(new, f"V no. {number}")
        assert now[2] == pytest.approx(was[2], rel=1e-6)


def test_a_rod_type_of_the_same_name_with_other_steel_is_refused(
    tmp_path: Path, file: Path
) -> None:
    other = tmp_path / "other"
    with Journal.open(other) as journal:
        journal.write("rod-type", {**ROD_TYPE, "wall_in": "0.3"}, "2025-01-01")
    with pytest.raises(BadInputError) as error:
        take_handover_file(other, file)
    assert codes(error) == ["handover_rod_type"]
    assert error.value.faults[0].values == {"parts": "wall"}


def test_by_command(old: Path, tmp_path: Path) -> None:
    target, fresh = tmp_path / "out.json", tmp_path / "fresh"
    run = CliRunner()
    wrote = run.invoke(app, ["handover", "S", "--out", str(target), "--book", str(old)])
    assert wrote.exit_code == 0
    assert "M-5" in wrote.output
    took = run.invoke(app, ["import", str(target), "--set", "T", "--book", str(fresh)])
    assert took.exit_code == 0
    assert "5 rods" in took.output
    again = run.invoke(app, ["handover", "S", "--out", str(target), "--book", str(old)])
    assert isinstance(again.exception, BadInputError)
    assert [each.code for each in again.exception.faults] == ["handover_there"]


def client(folder: Path) -> TestClient:
    return TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")


def test_by_pages(old: Path, new: Path) -> None:
    giver, taker = client(old), client(new)
    assert 'href="/handover"' in giver.get("/office").text
    assert 'href="/handover/S"' in giver.get("/handover").text
    page = giver.get("/handover/S")
    assert 'href="/handover/S/file"' in page.text
    assert giver.get("/handover/S.json").json()["view"]["document"]["rods"][0]["mark"] == "M-1"
    saved = giver.get("/handover/S/file")
    assert "S-handover.json" in saved.headers["content-disposition"]
    sent = {"file": ("S-handover.json", saved.content, "application/json")}
    assert "5 rods" in taker.post("/handover", files=sent, data={"set": "T"}).text
    again = taker.post("/handover", files=sent)
    assert again.status_code == 400
    assert "taken in before" in again.text
    assert "handed over (former old" in taker.get("/thing/M-1").text
    none = taker.post("/handover", data={"set": "T"})
    assert none.status_code == 400
