"""The steps that bring a book's file from an older form to this one, in order."""

from __future__ import annotations

from pathlib import Path

FOLDER = Path(__file__).parent

NEWEST = "0001"
"""The newest step; a test compares it with the files, so that opening need not read them."""
