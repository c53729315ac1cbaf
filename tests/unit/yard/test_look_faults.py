"""Looks entered without the card: readings that cannot be, rods in the hole."""

from __future__ import annotations

from pathlib import Path

import pytest
from rig_day_book import BORE, RIG, kept, tell
from typer.testing import CliRunner

from rodhand.book.entry.keeping import enter
from rodhand.cli.main import app
from rodhand.faults import BadInputError
from rodhand.record.entry import Draft

LOOK = {"things": "M-09", "end": "pin", "item": "joint-od", "found": "measured"}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Rods 1 to 7 are in the hole of a bore of 2025-09-09; 8 to 12 lie in the box."""
    tell(tmp_path / "book", [*RIG, *BORE])
    return tmp_path / "book"


def refused(folder: Path, *payloads: dict[str, str], happened: str = "") -> list[tuple[str, int]]:
    drafts = [Draft("check", each, happened, "", "", line)
              for line, each in enumerate(payloads, 2)]  # fmt: skip
    before = len(kept(folder))
    with pytest.raises(BadInputError) as error:
        enter(folder, drafts, "looks.csv")
    assert len(kept(folder)) == before
    return [(fault.code, fault.line or 0) for fault in error.value.faults]


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ({"reading_mm": "690"}, "card_od_large"),  # joint 2.75 in = 69.85 mm when new
        ({"reading_mm": "69", "second_reading_mm": "1"}, "card_od_small"),
        ({"reading_mm": "69", "gauge_error_mm": "70"}, "card_error_large"),
        ({"item": "tube-wall", "end": "tube", "reading_mm": "60"}, "card_wall_large"),
        ({"item": "pin-lead", "reading_mm": "51"}, "card_lead_large"),
    ],
)
def test_a_reading_that_cannot_be(folder: Path, typed: dict[str, str], code: str) -> None:
    sound = {**LOOK, "reading_mm": "69"}
    assert refused(folder, sound, {**LOOK, **typed}) == [(code, 3)]


def test_a_rod_in_the_hole_is_not_looked_at(folder: Path) -> None:
    inside = {**LOOK, "things": "M-01, M-09", "found": "sound"}
    assert refused(folder, inside) == [("card_in_hole", 2)]
    assert refused(folder, inside, happened="2025-09-10") == [("card_in_hole", 2)]
    tell(folder, [("check", inside)], "2025-09-01")  # before it went in
    tell(folder, [("whereabouts", {"things": "S1", "where": "row"})], "2025-09-10")
    tell(folder, [("check", inside)], "2025-09-11")


def test_what_is_unlikely_is_kept_and_asked_by_the_command(folder: Path) -> None:
    before = len(kept(folder))
    typed = [x for column, text in {**LOOK, "reading_mm": "50"}.items()
             for x in (f"--{column}", text)]  # fmt: skip
    said = CliRunner().invoke(app, ["enter", "check", *typed, "--book", str(folder)])
    assert said.exit_code == 0
    assert "far below new" in said.output
    assert len(kept(folder)) == before + 1
