"""Where a figure of the tables comes from, in the language in force."""

from __future__ import annotations

import re

from rodhand.words import has, say

LONGEST = 60


def source_in_words(text: str) -> str:
    """A source as the tables name it; one an owner wrote stays as written.

    Parameters
    ----------
    text : str
        As it stands in a table of ``data``, or in an owner's own.
    """
    key = f"source_text.{source_key(text)}"
    return say(key) if has(key) else text


def source_key(text: str) -> str:
    """Key of a source's words: its first letters and digits. [at most 60 characters]"""
    return re.sub(r"[^a-z0-9]+", "_", text.casefold()).strip("_")[:LONGEST].strip("_")
