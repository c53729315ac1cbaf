"""Pull and measured bows in life used, from entries."""

from __future__ import annotations

import pytest
from test_shoulders import DAY, worked

from book_builder import Row, log_rows
from rodhand.book.work.assess import Assessment
from rodhand.book.work.bows import bow_on, bows_of
from rodhand.wear.sections import SECTIONS, Section

UPSET, THREAD = SECTIONS.index(Section.PIN_UPSET), SECTIONS.index(Section.PIN_THREAD)
CURVED = [{"station": str(n), "length_ft": "10", "pitch_pct": str(-24 + 5 * n), "rpm": "100",
           "rotating_min": "3"} for n in range(1, 9)]  # fmt: skip


def rows(pull: str = "", hole: str = "") -> list[Row]:
    said = {"pull_kN": pull} if pull else {}
    wide = {"hole_diameter_mm": hole} if hole else {}
    return [
        ("load", {"rig": "Rig-40", "things": "M1-01..M1-40", "how": "by row"}, "2025-05-01"),
        ("bore", {"bore": "A", "rig": "Rig-40", **wide}, DAY),
        *log_rows("A", CURVED),
        ("pass", {"bore": "A", "pass": "pullback", "what": "pullback", "turns": "900", **said},
         DAY),
    ]  # fmt: skip


def bow(share_mm_per_m: float, day: str) -> Row:
    """A bow by a string line of 2 m on M1-03."""
    height = f"{share_mm_per_m * 2:g}"
    told = {"things": "M1-03", "item": "straightness", "found": "bow", "method": "line"}
    return ("check", {**told, "span_m": "2", "reading_mm": height, "gauge_error_mm": "0.5"}, day)


def factor(assessment: Assessment, number: int, place: int, section: int) -> float:
    best = assessment.works["A"].factors[number].best
    row = min(place - 1, best.shape[0] - 1)
    return float(best[row, section].max())


def test_pull_of_the_pullback_counts_on_upset_ends_only() -> None:
    pulled = worked(rows(pull="60"))
    assert factor(pulled, 0, 1, UPSET) == pytest.approx(1.0)  # the pilot is pushed
    assert 1.1 < factor(pulled, 1, 1, UPSET) <= 1.25**4.7 + 1e-9
    assert factor(pulled, 1, 1, THREAD) == 1.0
    assert factor(worked(rows()), 1, 1, UPSET) == pytest.approx(1.0)


def test_a_measured_bow_counts_only_beyond_the_clearance_and_until_straightened() -> None:
    """20 mm/m on 3.048 m is 61 mm. In a 100 mm hole 34.9 mm of it lie free, in 150 mm all."""
    tight = worked([*rows(hole="100"), bow(20, "2025-05-10")])
    assert factor(tight, 0, 3, UPSET) > 1.05
    assert factor(tight, 0, 2, UPSET) == pytest.approx(1.0)
    wide = worked([*rows(hole="150"), bow(20, "2025-05-10")])
    assert factor(wide, 0, 3, UPSET) == pytest.approx(1.0)
    later = worked([*rows(hole="100"), bow(20, "2025-06-10")])
    assert factor(later, 0, 3, UPSET) == pytest.approx(1.0)
    mended: Row = ("dressing", {"things": "M1-03", "what": "straightened"}, "2025-05-20")
    straight = worked([*rows(hole="100"), bow(20, "2025-05-10"), mended])
    assert factor(straight, 0, 3, UPSET) == pytest.approx(1.0)


def test_the_last_measurement_counts() -> None:
    book = worked([*rows(), bow(20, "2025-05-10"), bow(3, "2025-05-20")]).book
    (bows,) = bows_of(book).values()
    assert bow_on(bows, "2025-05-15") == pytest.approx(0.020)
    assert bow_on(bows, "2025-05-25") == pytest.approx(0.003)
    assert bow_on(bows, "2025-05-01") == 0.0
