"""A book with a rig at work."""

from __future__ import annotations

from pathlib import Path

import pytest
from rig_day_book import BORE, RIG, tell


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Seven rods of twelve in the hole of bore B1."""
    tell(tmp_path / "book", (*RIG, *BORE))
    return tmp_path / "book"
