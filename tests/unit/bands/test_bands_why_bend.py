"""Why a bend: the readings, error, limit and word by hand; its band given all readings."""

from __future__ import annotations

import math
from pathlib import Path
from statistics import NormalDist

import numpy as np
import pytest
from fastapi.testclient import TestClient

from book_builder import YARD, Row, build_book, entries_of
from rodhand.book.bore.bore_page import NoSuchBoreError, bore_view
from rodhand.book.why.bend import why_bend
from rodhand.book.why.why import NoSuchNumberError, WhyInput, WhyPart, WhyView
from rodhand.book.work.assess import assess
from rodhand.record.journal import Journal
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

PITCHES = ("-20", "-20", "-12.8", "-4", "-4", "", "0", "0")
ROD, LIMIT = 3.048, 145 * 0.3048


def _rows(headings: tuple[str, ...] = ("",) * 8) -> list[Row]:
    rows: list[Row] = [
        ("bore", {"bore": "A", "rig": "Rig-40", "bit_to_sensor_m": "0"}, "2025-02-03"),
        ("load", {"rig": "Rig-40", "bore": "A", "things": "M1-01..M1-08", "how": "marked"}),
    ]
    for station, (pitch, heading) in enumerate(zip(PITCHES, headings, strict=True), 1):
        row = {"bore": "A", "station": str(station), "pitch_pct": pitch, "heading_deg": heading}
        rows.append(("reading", {k: v for k, v in row.items() if v}, "2025-02-03"))
    return rows


def _why(station: float, headings: tuple[str, ...] = ("",) * 8) -> WhyView:
    return why_bend(assess(build_book(_rows(headings)), "2025-06-01"), "a", station)


def _value(rows: tuple[WhyInput, ...], code: str) -> float:
    figure = next(each.figure for each in rows if each.code == code)
    assert figure is not None
    assert figure.value is not None
    return figure.value


def _worked_again(part: WhyPart) -> tuple[float, float, float]:
    """Bend, error and chance out of the inputs alone."""
    given = {each.code: each.figure.value for each in part.inputs if each.figure}
    before, after = given["pitch_before"] or 0.0, given["pitch_after"] or 0.0
    turn = (given.get("heading_after") or 0.0) - (given.get("heading_before") or 0.0)
    unit = [
        np.array([math.cos(p) * math.cos(h), math.cos(p) * math.sin(h), math.sin(p)])
        for p, h in ((before, 0.0), (after, turn))
    ]
    bend = math.acos(float(np.clip(unit[0] @ unit[1], -1.0, 1.0)))
    grade = math.hypot(given["repeat"] or 0.0, (given["step"] or 0.0) / math.sqrt(12.0))
    up = grade**2 * (math.cos(before) ** 4 + math.cos(after) ** 4)
    across = (given.get("heading_error") or 0.0) ** 2 * (
        math.cos(before) ** 2 + math.cos(after) ** 2
    )
    share = ((after - before) / bend) ** 2 if turn else 1.0
    error = math.sqrt(share * up + (1.0 - share) * across)
    limit = ((given["to"] or 0.0) - (given["from"] or 0.0)) / (given["limit_radius"] or 1.0)
    return bend, error, NormalDist().cdf((bend - limit) / error)


@pytest.mark.parametrize("headings", [("",) * 8, ("0", "0", "1", "3", "4", "4", "4", "4")])
@pytest.mark.parametrize("station", [3, 4])
def test_a_bend_and_its_word_follow_from_the_inputs_shown(
    station: int, headings: tuple[str, ...]
) -> None:
    part = _why(station, headings).parts[0]
    bend, error, chance = _worked_again(part)
    assert _value(part.results, "bend") == pytest.approx(bend, rel=1e-6)
    assert _value(part.inputs, "error") == pytest.approx(error, rel=1e-6)
    assert _value(part.results, "chance") == pytest.approx(chance, rel=1e-6)
    word = next(each.said for each in part.results if each.code == "word")
    assert word is not None
    lines = ((0.95, "over"), (0.5, "likely"), (0.05, "within_error"), (0.0, "no"))
    assert word.key == f"why.over_{next(name for line, name in lines if chance >= line)}"


def test_by_hand() -> None:
    # -12.8 % to -4 %: atan 0.128 - atan 0.04 = 0.127308 - 0.039979 = 0.087329; limit
    # 3.048 / 44.196 = 0.068966; error: 0.0025166 sqrt(cos^4 + cos^4) =
    # 0.0025166 sqrt(0.96777 + 0.99680) = 0.003527
    part = _why(4).parts[0]
    assert _value(part.results, "bend") == pytest.approx(0.087329, abs=2e-6)
    assert _value(part.results, "limit_bend") == pytest.approx(ROD / LIMIT, rel=1e-9)
    assert _value(part.inputs, "error") == pytest.approx(0.003527, abs=2e-6)
    entries = {each.code: each.entry for each in part.inputs}
    assert entries["pitch_before"] != entries["pitch_after"] != ""
    assert entries["limit_radius"] == "tablet-1-1"


def test_unread_stays_unknown_and_the_gap_says_what_is_sure() -> None:
    view = _why(7)
    assert [part.title.key for part in view.parts][:1] == ["why.bend_rod"]
    own, gap = view.parts[0], view.parts[1]
    assert next(each for each in own.results if each.code == "bend").known_as == "unknown"
    assert gap.title.key == "why.bend_not_read"
    assert _value(gap.results, "bend") == pytest.approx(math.atan(0.04), rel=1e-6)


def test_nowhere() -> None:
    assessment = assess(build_book(_rows()), "2025-06-01")
    with pytest.raises(NoSuchBoreError):
        why_bend(assessment, "Z", 3)
    with pytest.raises(NoSuchNumberError):
        why_bend(assessment, "A", 90)


def test_the_band_given_all_readings_is_that_of_draws() -> None:
    assessment = assess(build_book(_rows()), "2025-06-01")
    view = bore_view(assessment, "A")
    posterior = assessment.works["A"].hole.posterior
    assert posterior is not None
    drawn = np.quantile(posterior.draw(100_000, 7), (0.05, 0.5, 0.95), axis=0)
    for row in (r for r in view.stations if r.station in (2.0, 3.0, 4.0, 7.0)):
        figure = row.figures["best_bend"]
        shown = (figure.low, figure.value, figure.high)
        # the band's grid of 24 points a plane is good to 5 % where a row was not read
        assert shown == pytest.approx(tuple(drawn[:, int(row.station) - 1]), rel=0.05, abs=5e-4)
    told = next(row.best for row in view.over_steers if row.station == 4.0)
    assert told is not None
    assert told.key == "bore.given_all"


def test_pages_and_links(tmp_path: Path) -> None:
    folder = tmp_path / "book"
    with Journal.open(folder) as journal:
        journal.append(entries_of([*YARD, *_rows()]))
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")
    assert "/why/bend/4/A" in client.get("/bore/A").text
    assert client.get("/why/bend/4/A").status_code == 200
    twin = client.get("/why/bend/4/A.json").json()
    assert twin["figures"]["why.bend.A.4.0.limit_radius"]["standing"] == "assumed"
    for nowhere in ("/why/bend/4/Z", "/why/bend/90/A", "/why/bend/x/A", "/why/bend/nan/A"):
        assert client.get(nowhere).status_code == 404
