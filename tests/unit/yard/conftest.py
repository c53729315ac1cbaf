"""A yard of twelve rods in three rows, none in the hole."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "rig_day"))

from rig_day_book import RIG, tell


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The book's folder."""
    tell(tmp_path / "book", RIG)
    return tmp_path / "book"
