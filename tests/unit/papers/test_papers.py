"""The two papers of a bore: what they hold, what they must not, and that they stay the same."""

from __future__ import annotations

import io
import os
import re
from dataclasses import replace
from pathlib import Path

import pypdf
import pytest
from paper_views import BOOK, HASH, HEAD, PERSONS, SET, bore, mark

from rodhand import __version__
from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_page import bore_view
from rodhand.book.twin import twin
from rodhand.book.views import BoreView
from rodhand.book.work.assess import Assessment, assess
from rodhand.demo.season import chained
from rodhand.faults import CannotReadError
from rodhand.record.reading_back import read_book
from rodhand.sheets import paper as papers
from rodhand.sheets.bore_log import bore_log
from rodhand.sheets.paper import (
    BookFacts,
    Paper,
    file_name,
    paper_figures,
    paper_pdf,
    write_paper,
)
from rodhand.sheets.rod_sheet import rod_sheet
from rodhand.units import Figure, Standing, System, show

# DEFINITIONS of the project: "the bore log holds none of: a mark, a set, a person, life used,
# turns, make-up, inspect, set aside, scrap, chance".
FORBIDDEN = (
    "life",
    "turns",
    "make-up",
    "makeup",
    "inspect",
    "set aside",
    "scrap",
    "chance",
    "mark",
)


def log_of(view: BoreView, system: System = "metric") -> Paper:
    return bore_log(view, BOOK, system)


def sheet_of(view: BoreView, system: System = "metric") -> Paper:
    return rod_sheet(view, view, BOOK, system)


MAKERS = {"bore-log": log_of, "rod-sheet": sheet_of}
both = pytest.mark.parametrize("which", MAKERS)


def pages_of(paper: Paper) -> list[str]:
    """Text of each page, white space drawn together."""
    reader = pypdf.PdfReader(io.BytesIO(paper_pdf(paper)))
    return [" ".join(page.extract_text().split()) for page in reader.pages]


def text_of(paper: Paper) -> str:
    return " ".join(pages_of(paper))


def drawn_together(text: str) -> str:
    return "".join(text.split())


def leaks(text: str, names: list[str]) -> list[str]:
    """Names that stand in a text as words of their own, and words that must not."""
    named = [name for name in names if re.search(rf"(?<!\w){re.escape(name)}(?!\w)", text)]
    return named + [word for word in FORBIDDEN if word in text.lower()]


def steel_and_people(view: BoreView) -> list[str]:
    return [SET, HEAD, *PERSONS, *(row.name for row in view.rods if row.name), view.rod_type]


@pytest.mark.parametrize("heading", [True, False])
def test_the_client_reads_nothing_of_steel_people_or_wear(heading: bool) -> None:
    view = bore(heading=heading)
    # Pictures are drawn as outlines in the PDF, so their text is read from the drawing itself.
    paper = log_of(view)
    drawings = " ".join(part.svg for part in paper.parts if isinstance(part, papers.Drawn))
    words = re.sub(r"<[^>]*>", " ", drawings)
    assert not leaks(text_of(paper), steel_and_people(view))
    assert not leaks(words, steel_and_people(view))


def test_what_must_not_leak_is_found_where_it_stands() -> None:
    found = leaks(text_of(sheet_of(bore())), steel_and_people(bore()))
    assert {mark(1), mark(36), PERSONS[0], "life", "turns", "set aside", "scrap"} <= set(found)


@both
@pytest.mark.parametrize("system", ["metric", "us"])
def test_every_figure_stands_on_the_paper_as_the_twin_shows_it(which: str, system: System) -> None:
    view = bore(heading=True)
    paper = MAKERS[which](view, system)
    shown, text = paper_figures(paper), drawn_together(text_of(paper))
    assert len(shown) > 300
    assert not [key for key, value in shown.items() if drawn_together(value) not in text]
    figures = twin(view)["figures"]
    for key, value in shown.items():
        own, _, end = key.rpartition(".")
        if key in figures:
            assert value == figures[key][f"shown_{system}"], key
        elif own in figures:  # an end of a life's band has a cell of its own
            part = {"low": "low", "best": "value", "high": "high"}[end]
            assert value == show(figures[own][part], "life", system), key
        else:
            assert key.startswith("paper."), key


@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_path_is_whole(system: System) -> None:
    view = bore(heading=True)
    shown = paper_figures(log_of(view, system))
    for row in view.stations:
        for name in ("measured_length", "north", "east", "depth", "pitch", "heading"):
            assert row.figures[name].key in shown


@both
@pytest.mark.parametrize(("system", "other"), [("metric", r"ft|in|lb"), ("us", r"m|mm|kN")])
def test_one_paper_one_system(which: str, system: System, other: str) -> None:
    text = text_of(MAKERS[which](bore(heading=True), system))
    assert not re.search(rf"\d\s(?:{other})(?![\w/])(?! )", text)
    assert re.search(r"\d ?(?:m|ft)\b", text)


@both
def test_each_page_says_which_book_it_comes_from(which: str) -> None:
    paper = MAKERS[which](bore(100))
    pages = pages_of(paper)
    assert len(pages) > 2
    for number, text in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in text
        for fact in ("yard-book", "5,210 entries", HASH[:12], __version__, "2025-09-26"):
            assert fact in text
    assert HASH in drawn_together(pages[0])


@both
def test_invented_is_said_only_where_it_is(which: str) -> None:
    view = bore()
    assert "Invented" in pages_of(MAKERS[which](view))[0]
    assert "Invented" not in text_of(MAKERS[which](replace(view, invented=False)))


@both
def test_the_same_bytes_each_time(which: str) -> None:
    view = bore()
    first = paper_pdf(MAKERS[which](view))
    assert first == paper_pdf(MAKERS[which](bore()))
    assert first != paper_pdf(MAKERS[which](replace(view, ground="clay")))
    made = pypdf.PdfReader(io.BytesIO(first)).metadata
    assert made is not None
    assert made.creation_date is not None
    assert made.creation_date.date().isoformat() == BOOK.as_of


ROWS = (rf"{SET}-\d\d\d [◌●◐◧⊘✕]", rf"{SET}-\d\d\d [\d,]+ turns")
"""A rod's row in the table of life used, and in that of turns."""


@pytest.mark.parametrize("count", [97, 98, 99, 100])
def test_long_tables_repeat_their_heading_and_leave_no_lone_row(count: int) -> None:
    pages = pages_of(sheet_of(bore(count)))
    for row, heading in zip(ROWS, ("known by", "turned in bends tighter"), strict=True):
        rows = [len(re.findall(row, text)) for text in pages]
        assert sum(rows) == count - 1  # all but the one rod without a mark
        assert sum(shown > 0 for shown in rows) >= 2
        assert not {1, 2} & set(rows)
        assert all(heading in text for shown, text in zip(rows, pages, strict=True) if shown)


@both
def test_typed_text_is_shown_and_never_read_as_markup(which: str) -> None:
    typed = '#panic("x") $a_b$ *c* _d_ `e` [f] @g <h> \\i "j" ]]} #{1/0}'
    view = replace(bore(), place=typed, ground=typed)
    assert drawn_together(text_of(MAKERS[which](view))).count(drawn_together(typed)) == 2


@both
def test_other_scripts_and_long_names_pass(which: str) -> None:
    name = "Łódź, Straße, Ωμέγα, Улица, " + "north embankment " * 12
    assert "Straße" in text_of(MAKERS[which](replace(bore(), place=name)))


def test_columns_nobody_read_are_told_and_left_out() -> None:
    text, paper = text_of(log_of(bore())), log_of(bore())
    assert not [key for key in paper_figures(paper) if key.endswith((".heading", ".east"))]
    assert "heading 0 of 36 not read unknown: sideways position" in text
    assert "for a straight line in plan" in text
    assert "Cover: none entered" in text
    assert "Plan: none entered" in text
    assert {"heading: not known", "plan: none entered", "cover: none entered"} <= set(paper.missing)


def test_a_station_nobody_read_has_a_dash_and_the_word() -> None:
    shown = paper_figures(log_of(bore()))
    assert shown["station.18.pitch"] == "–"
    assert "– unknown" in text_of(log_of(bore()))


def test_how_pitch_was_read() -> None:
    """34 of 36 stations read to a tenth of a percent; 0.25 % of grade is atan 0.0025 = 0.14°."""
    shown = paper_figures(log_of(bore()))
    assert "34 of 36" in text_of(log_of(bore()))
    assert shown["paper.pitch_step"] == "0.1\u00a0%"
    assert shown["paper.pitch_repeat"] == "0.14\u00a0°"


def test_what_headings_are_counted_from() -> None:
    told = (Sentence("paper.well.heading_unknown", {"reference": "magnetic"}),)
    text = text_of(log_of(replace(bore(heading=True), measured_how=told)))
    assert "from magnetic north" in text
    assert "magnetic" not in text_of(log_of(bore(heading=True)))


def test_the_plan_stands_beside_what_was_drilled_where_there_is_one() -> None:
    view = bore()
    rows = tuple(
        replace(row, figures={**row.figures, "plan_depth": row.figures["depth"]})
        for row in view.stations
    )
    text = text_of(log_of(replace(view, stations=rows)))
    assert "planned depth" in text
    assert "Plan: none entered" not in text


def test_the_rod_sheet_says_who_passed_what_to_do_and_who_governs() -> None:
    text = text_of(sheet_of(bore()))
    assert f"passed: {mark(1)}..{mark(32)} in it now: {mark(33)} still to come: none" in text
    assert text.index("STOP AND LOOK") < text.index("Note: ")
    for word in ("place 12", "by row", "set only", "not known", "rpm × logged minutes"):
        assert word in text
    for word in ("not recorded", "Caution:", "manuals", "No figure here permits a bore"):
        assert word in text


def test_the_rod_sheet_with_nothing_found() -> None:
    view = replace(bore(), over_steers=(), verdicts=(), warnings=())
    text = text_of(sheet_of(view))
    assert "No bend over, likely over or within reading error" in text
    assert "None asked for" in text
    assert "What is not known" not in text


def test_turns_and_life_stand_at_the_end_of_the_last_pass() -> None:
    """The tables come from the second view, the bends from the first."""
    paper = rod_sheet(bore(), replace(bore(40), at_pass="pullback"), BOOK, "metric")
    assert "rod.40.turns" in paper_figures(paper)
    text = text_of(paper)
    assert "after the last pass, pullback" in text
    assert "tool at 109.7 m" in text


def test_a_straight_is_known_without_a_radius() -> None:
    """Of 36 stations 18 and 19 are unread; station 1 made a straight has a bend and no radius."""
    view = bore()
    first = view.stations[0]
    figures = {
        **first.figures,
        "bend": replace(first.figures["bend"], value=0.0, low=0.0, high=0.001),
        "bend_radius": Figure("station.1.bend_radius", None, "radius", Standing.UNKNOWN),
    }
    rows = (replace(first, figures=figures), *view.stations[1:])
    text = text_of(log_of(replace(view, stations=rows)))
    assert " straight " in text
    assert "bend radius 34 of 36" in text


def test_greatest_depth_is_taken_from_the_path_where_the_view_has_none() -> None:
    view = bore()
    figures = {name: each for name, each in view.figures.items() if name != "deepest"}
    deepest = max(row.figures["depth"].value or 0.0 for row in view.stations)
    text = text_of(log_of(replace(view, figures=figures)))
    assert f"Deepest below entry {deepest:.2f} m" in text


def test_a_reading_inside_a_length_is_explained_where_there_is_one() -> None:
    view = bore()
    inside = replace(view.stations[3], station=3.6, inside=True)
    rows = (*view.stations[:3], inside, *view.stations[3:])
    assert "decimal was read inside" in text_of(log_of(replace(view, stations=rows)))
    assert "decimal was read inside" not in text_of(log_of(view))


# --- the invented season ------------------------------------------------------------------------


@pytest.fixture(scope="module")
def season() -> tuple[Assessment, BookFacts, set[str]]:
    """The season worked through, and every mark, set and person in it."""
    entries = chained()
    book = read_book(entries)
    names = {mark.text for thing in book.things.values() for mark in thing.marks}
    names |= {*book.sets, *book.things, *(entry.by for entry in entries)}
    facts = BookFacts("season", book.entry_count, book.head, "2025-11-14")
    return assess(book), facts, names


@pytest.mark.parametrize("name", ["B-1", "B-2", "L-15"])
def test_no_mark_set_or_person_of_the_season_reaches_the_client(
    name: str, season: tuple[Assessment, BookFacts, set[str]]
) -> None:
    assessment, facts, names = season
    assert len(names) > 240
    paper = bore_log(bore_view(assessment, name), facts, "us")
    drawings = " ".join(part.svg for part in paper.parts if isinstance(part, papers.Drawn))
    text = text_of(paper) + re.sub(r"<[^>]*>", " ", drawings)
    assert not leaks(text, sorted(filter(None, names)))


def test_the_over_steer_of_the_season_on_the_rod_sheet(
    season: tuple[Assessment, BookFacts, set[str]],
) -> None:
    """DEFINITIONS: bore B-2 station 4 is over at 1.366 of the limit; rods 1-32 passed, 33 in it."""
    assessment, facts, _ = season
    view = bore_view(assessment, "B-2")
    done = bore_view(assessment, "B-2", view.slider[-1][0])
    text = text_of(rod_sheet(view, done, facts, "metric"))
    assert "Over the limit at station 4: 9.4 % over one rod, 137 % of the limit" in text
    assert "passed: M1-01..M1-32 in it now: M1-33 still to come: none" in text
    # DEFINITIONS: pilot 15,890. The crew's pullback: 80 rpm for 193 min, so 15,440; 31,330 in all.
    assert "Turns in all 31,330 turns" in text
    assert "M1-01 31,330 turns" in text
    # Told once: the verdict under it names no rods a second time.
    assert text.split("Rods in the order")[0].count("M1-01..M1-32") == 1


def test_life_used_of_all_bores_has_its_design_value_beside_it(
    season: tuple[Assessment, BookFacts, set[str]],
) -> None:
    """The owner's lines are compared with design, so the sheet must print it for the whole life."""
    assessment, facts, _ = season
    view = bore_view(assessment, "b-2")
    assert view.name == "B-2"
    shown = paper_figures(rod_sheet(view, view, facts, "metric"))
    first = view.rods[0]
    design = first.figures["life_used_all_design"]
    history = assessment.histories[first.key]
    assert shown[design.key] == f"{design.value:.4f}"
    # Design stands above best: its curve lies two standard deviations below the mean one.
    assert (design.value or 0.0) > (first.figures["life_used_all"].value or 0.0) > 0.0
    assert history.contributions


def test_only_what_is_assumed_is_in_italics() -> None:
    """A rod of mostly assumed history keeps upright figures for this bore's recorded work."""
    view = bore(36)
    (row,) = [each for each in view.rods if each.place == 7]
    figures = {**row.figures, "life_used": replace(
        row.figures["life_used"], standing=Standing.COMPUTED)}  # fmt: skip
    rows = tuple(replace(r, figures=figures) if r.place == 7 else r for r in view.rods)
    paper = sheet_of(replace(view, rods=rows))
    style = {span.key: span.style for line in paper.lines() for span in line if span.key}
    assert style["rod.7.life_used.best"] == "plain"
    assert style["rod.7.life_used_all.best"] == "assumed"


def test_at_least_so_much_prints_the_low_and_unknown() -> None:
    view = bore(36)
    first = view.rods[0]
    life = Figure("rod.1.life_used_all", None, "life", Standing.UNKNOWN, 0.1234)
    rows = (replace(first, figures={**first.figures, "life_used_all": life}), *view.rods[1:])
    shown = paper_figures(sheet_of(replace(view, rods=rows)))
    assert shown["rod.1.life_used_all.low"] == "0.1234"
    assert "rod.1.life_used_all.high" not in shown


def test_a_heading_nobody_read_is_counted_from_nothing(
    season: tuple[Assessment, BookFacts, set[str]],
) -> None:
    assessment, facts, _ = season
    without = text_of(bore_log(bore_view(assessment, "B-2"), facts, "metric"))
    assert "heading 0 of 37 not read unknown" in without
    with_it = text_of(bore_log(bore_view(assessment, "L-15"), facts, "metric"))
    assert "from magnetic north" in with_it
    # The bend of a bore with heading has its error from both.
    assert "from how pitch and heading repeat" in with_it


# --- files --------------------------------------------------------------------------------------


def test_a_paper_is_written_whole(tmp_path: Path) -> None:
    paper = log_of(bore())
    folder = tmp_path / "new folder"
    path = write_paper(paper, folder)
    assert path.name == "B-2-bore-log.pdf"
    assert path.read_bytes() == paper_pdf(paper)
    write_paper(paper, folder)
    assert [file.name for file in folder.iterdir()] == [path.name]


def test_a_failed_write_leaves_the_paper_before(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "B-2-bore-log.pdf"
    target.write_bytes(b"before")

    def full(_file: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(CannotReadError, match="No space left"):
        write_paper(log_of(bore()), tmp_path)
    assert target.read_bytes() == b"before"
    assert list(tmp_path.iterdir()) == [target]


def test_a_folder_that_is_a_file_is_told(tmp_path: Path) -> None:
    (tmp_path / "x").write_text("")
    with pytest.raises(CannotReadError):
        write_paper(log_of(bore()), tmp_path / "x")


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("B-2", "B-2"),
        ("../../etc/x", "etc_x"),
        ("A/1: b", "A_1_b"),
        ("…", "bore"),
        ("Zürich 3", "Zürich_3"),
    ],
)
def test_a_bore_name_makes_a_plain_file_name(name: str, file: str) -> None:
    assert file_name(log_of(bore(name=name))) == f"{file}-bore-log.pdf"
