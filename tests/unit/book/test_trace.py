"""A bad end traced in a book: who met whom by hand, the planted sub, and the page with its twin."""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from found_truths import worked

from book_builder import YARD, Row, build_book, log_rows
from rodhand.book.tasks.walking import walking_order
from rodhand.book.tasks.week import tasks_of
from rodhand.book.work.assess import assess
from rodhand.book.work.make_ups import make_ups_on_record
from rodhand.book.yard.thing_page import NoSuchThingError
from rodhand.book.yard.trace import TraceView, trace_view
from rodhand.demo.season import DEFAULT_SEED, as_of
from rodhand.record.journal import Journal
from rodhand.sheets.trace_drawing import trace_svg
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

SUB: Row = ("thing", {"thing": "SS-1", "what": "saver sub", "rig": "Rig-40"}, "2025-01-02")


def load(how: str, day: str = "2025-05-01") -> Row:
    return ("load", {"rig": "Rig-40", "things": "SET-M1", "how": how}, day)


def bore(name: str, day: str, rods: int = 3) -> list[Row]:
    rows = [{"station": f"{n}", "pitch_pct": "-10"} for n in range(1, rods + 1)]
    return [("bore", {"bore": name, "rig": "Rig-40"}, day), *log_rows(name, rows, day=day)]


def look(things: str, end: str, found: str, day: str) -> Row:
    return ("check", {"things": things, "item": "galling", "end": end, "found": found}, day)


def traced(name: str, end: str, *rows: Row) -> TraceView:
    return trace_view(assess(build_book(list(rows)), "2025-07-01"), name, end)


def met(view: TraceView) -> list[tuple[str, str, int]]:
    return [(row.name, row.end, row.hand) for row in (*view.first, *view.further)]


def test_ends_met_in_one_bore_by_hand() -> None:
    """Pins look toward the rig: the pin of rod 1 was in the sub's box, then in rod 2's box.

    Rod 2's pin and then rod 3's were in the sub's box after it, and rod 2's pin went from there
    into rod 3's box. Rod 2's box met no other pin; rod 1's own box met nothing, there is no head.
    """
    view = traced("M1-01", "pin", SUB, load("by row"), *bore("A", "2025-06-01"))
    assert met(view) == [
        ("SS-1", "box", 1), ("M1-02", "box", 1), ("M1-02", "pin", 2), ("M1-03", "pin", 2),
        ("M1-03", "box", 3),
    ]  # fmt: skip
    assert {row.known for row in view.first} == {"by row"}
    assert met(traced("M1-01", "box", SUB, load("by row"), *bore("A", "2025-06-01"))) == []


def test_an_end_seen_sound_since_is_not_listed() -> None:
    rows = [SUB, load("by row"), *bore("A", "2025-06-01")]
    rows.append(look("M1-02", "box", "sound", "2025-06-03"))
    view = traced("M1-01", "pin", *rows)
    assert ("M1-02", "box", 1) not in met(view)
    assert view.cleared == {"box": ("M1-02",)}


def test_only_what_was_met_since_last_seen_sound() -> None:
    rows = [SUB, load("by row"), *bore("A", "2025-06-01", 3)]
    rows.append(look("M1-01", "pin", "sound", "2025-06-03"))
    assert met(traced("M1-01", "pin", *rows)) == []
    assert traced("M1-01", "pin", *rows).lead.key == "trace.not_found_alone"
    rows += bore("B", "2025-06-05", 1)
    assert met(traced("M1-01", "pin", *rows)) == [("SS-1", "box", 1)]


def test_rods_known_by_set_only_may_have_met_any_of_the_set() -> None:
    view = traced("M1-01", "pin", SUB, load("set only"), *bore("A", "2025-06-01"))
    assert {row.known for row in view.first} == {"set only"}
    boxes = {row.name for row in view.first if row.end == "box"}
    assert boxes == {"SS-1", *(f"M1-{n:02}" for n in range(2, 41))}


def test_the_likely_pin_is_the_one_that_spoiled_most() -> None:
    """The sub's box met all three pins, two are found galled after: it leads, rod 2's box not."""
    rows = [SUB, load("by row"), *bore("A", "2025-06-01")]
    rows += [look("M1-01, M1-03", "pin", "galled", "2025-06-04")]
    first = traced("M1-01", "pin", *rows).suspects[0]
    counts = {name: figure.value for name, figure in first.figures.items()}
    assert (first.name, first.end, counts) == ("SS-1", "box", {"spoiled": 2.0, "met": 3.0})


@pytest.mark.parametrize("place", range(5))
def test_the_planted_sub_comes_first_from_each_rod_it_spoiled(place: int) -> None:
    season = worked(DEFAULT_SEED, True)
    record = make_ups_on_record(season)
    spoiled = sorted(
        season.book.things[key].name
        for (key, end), life in record.lives.items()
        if end == "box" and any(finding == "light galling" for _, finding in life.bad)
    )
    assert len(spoiled) == 5
    view = trace_view(season, spoiled[place], "box")
    assert (view.suspects[0].name, view.suspects[0].end) == ("SS-12-2", "pin")
    assert view.suspects[0].figures["spoiled"].value == 5.0


def test_the_line_of_the_week_leads_to_the_trace_which_names_the_five() -> None:
    season = worked(DEFAULT_SEED, True)
    task = next(task for task in tasks_of(season) if task.verdict.what.key == "verdict.sub.what")
    assert task.link == "/trace/SS-12-2/pin"
    first = {row.name for row in trace_view(season, "SS-12-2", "pin").first if row.found}
    assert first == set(task.things) - {"SS-12-2"}
    assert season.today == as_of()


def test_walking_order_is_row_by_row_each_rod_once() -> None:
    season = worked(DEFAULT_SEED, True)
    names = [row.name for row in trace_view(season, "SS-12-2", "pin").first]
    stops = walking_order(season, [*names, *names])
    assert sorted(name for stop in stops for name in stop.things) == sorted(names)
    assert [stop.where for stop in stops] == sorted(stop.where for stop in stops)


def test_nothing_of_that_name_or_end() -> None:
    season = worked(DEFAULT_SEED, True)
    for name, end in (("nobody", "pin"), ("SS-12-2", "tube")):
        with pytest.raises(NoSuchThingError):
            trace_view(season, name, end)


def test_page_and_twin(tmp_path: Path) -> None:
    with Journal.open(tmp_path / "book") as journal:
        for row in (*YARD, SUB, load("by row"), *bore("A", "2025-06-01")):
            journal.write(row[0], row[1], row[2] if len(row) == 3 else "")
    client = TestClient(create_app(BookDesk(tmp_path / "book")), base_url="http://127.0.0.1")
    told = client.get("/trace/M1-01/pin.json").json()
    assert [row["name"] for row in told["view"]["first"]] == ["SS-1", "M1-02"]
    page = client.get("/trace/M1-01/pin").text
    assert "<svg" in page
    assert "/trace/M1-02/box" in page
    assert "/trace/M1-01/pin" in client.get("/thing/M1-01").text
    assert client.get("/trace/M1-99/pin").status_code == 404


def test_drawing_has_a_broken_line_only_where_a_rod_is_known_by_set() -> None:
    sure = traced("M1-01", "pin", SUB, load("by row"), *bore("A", "2025-06-01"))
    unsure = traced("M1-01", "pin", SUB, load("set only"), *bore("A", "2025-06-01"))
    assert "stroke-dasharray" not in trace_svg(sure)
    assert "stroke-dasharray" in trace_svg(unsure)
