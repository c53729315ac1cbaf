"""Options that every command with a book takes."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rodhand.words import say

BookFolder = Annotated[
    Path, typer.Option("--book", envvar="RODHAND_BOOK", help=say("keep.book"), file_okay=False)
]
AsOf = Annotated[str, typer.Option("--as-of", help=say("keep.as_of"))]
By = Annotated[str, typer.Option("--by", help=say("keep.by"))]

DEFAULT_BOOK = Path("book")
