"""What every paper is made of, and its way to a PDF with the same bytes each time.

A paper is data: headings, tables of cells, items and pictures. The template draws them and holds
no text of its own. Every number is printed by `figure_spans`, so that what stands on the paper can
be compared with the JSON twin by key.
"""

from __future__ import annotations

import json
import os
import re
import tempfile
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Literal

from rodhand import __version__
from rodhand.advice.verdict import Sentence
from rodhand.faults import CannotReadError
from rodhand.record.book import Book
from rodhand.sheets.shown import printed, sentence_parts
from rodhand.units import Figure, Standing, System
from rodhand.words import IN_FORCE, language_in_force, say

FOLDER = Path(__file__).parent
PAGE_SIZE = {"metric": "a4", "us": "us-letter"}
HASH_SHOWN = 12
"""First characters of the hash in the foot of each page; all of it stands on the first."""

Style = Literal["plain", "unit", "band", "second", "assumed", "bold", "alarm"]


@dataclass(frozen=True)
class Span:
    """A piece of text in one style; ``key`` is the figure it is the number or the unit of."""

    text: str
    style: Style = "plain"
    key: str = ""


Line = tuple[Span, ...]


@dataclass(frozen=True)
class Column:
    """A column: its heading, the side its cells stand on, and the heading it shares."""

    label: str
    side: Literal["left", "right"] = "right"
    group: str = ""
    wide: bool = False


@dataclass(frozen=True)
class Table:
    """A table whose heading is repeated on every page."""

    heading: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Line, ...], ...]
    kind: str = "table"


@dataclass(frozen=True)
class Item:
    """Some lines that stay together; loud ones have a heavy rule beside them."""

    lines: tuple[Line, ...]
    loud: bool = False


@dataclass(frozen=True)
class Items:
    """Items under a heading."""

    heading: str
    items: tuple[Item, ...]
    kind: str = "items"


@dataclass(frozen=True)
class Drawn:
    """A picture as SVG."""

    heading: str
    svg: str
    kind: str = "picture"


@dataclass(frozen=True)
class NewPage:
    """A new page, and the heading it begins with."""

    heading: str
    kind: str = "page"


Part = Table | Items | Drawn | NewPage


@dataclass(frozen=True)
class BookFacts:
    """Which book a paper was printed from.

    Parameters
    ----------
    book : str
        Name of the book.
    entries : int
        How many entries it held.
    head : str
        Hash that stands for exactly these entries.
    as_of : str
        Date the book was read as of, ISO 8601; empty when it was read to its end.
    """

    book: str
    entries: int
    head: str
    as_of: str

    @classmethod
    def of(cls, folder: Path, book: Book, as_of: str = "") -> BookFacts:
        """Those of a book in its folder, as of the day it was read unless another is named."""
        return cls(folder.resolve().name, book.entry_count, book.head, as_of or book.as_of)


@dataclass(frozen=True)
class Paper:
    """One paper, ready to be drawn; ``missing`` names in words what nobody read or entered."""

    name: str
    title: str
    subject: str
    invented: str
    facts: tuple[tuple[str, Line], ...]
    parts: tuple[Part, ...]
    book: BookFacts
    system: System
    landscape: bool
    language: str = IN_FORCE
    missing: tuple[str, ...] = ()

    def lines(self) -> Iterator[Line]:
        """Every line of text, pictures left out."""
        yield from (line for _, line in self.facts)
        yield source_line(self.book, self.system, self.language)
        for part in self.parts:
            if isinstance(part, Table):
                yield from (cell for row in part.rows for cell in row)
            elif isinstance(part, Items):
                yield from (line for item in part.items for line in item.lines)


def paper_figures(paper: Paper) -> dict[str, str]:
    """Every figure printed in the text of a paper: key to what is shown, unit included."""
    shown: dict[str, str] = {}
    for line in paper.lines():
        told: dict[str, str] = {}
        for span in line:
            if span.key:
                told[span.key] = told.get(span.key, "") + span.text
        shown.update(told)
    return shown


def plain(text: str, style: Style = "plain") -> Line:
    """A line of one text."""
    return (Span(text, style),)


def figure_spans(
    figure: Figure, system: System, language: str = IN_FORCE, band: bool = True
) -> Line:
    """Print a figure: number as its standing asks, unit held to it, band after it.

    Parameters
    ----------
    figure : Figure
        The figure. Life used is printed in decimals here, where pages use words.
    system : {"metric", "us"}
        Unit system.
    language : str, optional
        Language of the words.
    band : bool, optional
        Whether the band follows.

    Returns
    -------
    tuple of Span
        What is printed; a dash and the word where the value is unknown.
    """
    if figure.value is None:
        dash = Span(figure.shown(system), "plain", figure.key)
        return (dash, Span("\u00a0" + say("number.unknown", language), "unit"))
    number, _, unit = figure.shown(system).partition("\u00a0")
    style: Style = "assumed" if figure.standing is Standing.ASSUMED else "plain"
    spans = [Span(number, style, figure.key)]
    if unit:
        spans.append(Span("\u00a0" + unit, "unit", figure.key))
    limits = printed(figure, system, language).band if band and figure.quantity != "life" else ""
    if limits:
        spans.append(Span(" ({})".format(limits.replace(" ", "\u00a0")), "band"))
    return tuple(spans)


def sentence_line(
    sentence: Sentence, system: System, style: Style = "plain", language: str = IN_FORCE
) -> Line:
    """A sentence of the catalogue as spans, its figures printed with their bands."""
    spans: list[Span] = []
    for part in sentence_parts(sentence, language):
        if isinstance(part, Figure):
            spans += figure_spans(part, system, language)
        else:
            spans.append(Span(part, style))
    return tuple(spans)


def source_line(book: BookFacts, system: System, language: str = IN_FORCE) -> Line:
    """Which book and program a paper comes from, so that it can be printed again."""
    entries = Figure("paper.entries", float(book.entries), "count", Standing.MEASURED)
    sentence = Sentence(
        "paper.from_book",
        {
            "book": book.book,
            "entries": entries,
            "head": book.head or say("number.dash", language),
            "version": __version__,
            "as_of": _as_of(book, language),
        },
    )
    return sentence_line(sentence, system, "second", language)


def _as_of(book: BookFacts, language: str) -> str:
    return book.as_of or say("paper.its_end", language)


def _foot(paper: Paper) -> str:
    return say(
        "paper.foot",
        paper.language,
        title=paper.title,
        subject=paper.subject,
        book=paper.book.book,
        entries=f"{paper.book.entries:,}",
        head=paper.book.head[:HASH_SHOWN] or say("number.dash", paper.language),
        version=__version__,
        as_of=_as_of(paper.book, paper.language),
    )


def paper_json(paper: Paper) -> str:
    """What the template is given; the two private signs stand for page number and pages."""
    return json.dumps(
        {
            "page": PAGE_SIZE[paper.system],
            "landscape": paper.landscape,
            "language": paper.language or language_in_force(),
            "title": paper.title,
            "subject": paper.subject,
            "invented": paper.invented,
            "facts": [[label, [asdict(span) for span in line]] for label, line in paper.facts],
            "source": [
                asdict(span) for span in source_line(paper.book, paper.system, paper.language)
            ],
            "parts": [asdict(part) for part in paper.parts],
            "foot": _foot(paper),
            "page_words": say("paper.page", paper.language, page="\ue000", pages="\ue001"),
        },
        ensure_ascii=False,
    )


def paper_pdf(paper: Paper) -> bytes:
    """Draw a paper as PDF; the same paper gives the same bytes.

    Parameters
    ----------
    paper : Paper
        The paper. Its date of creation is the date the book was read as of.

    Returns
    -------
    bytes
        The PDF: A4 in metric, US Letter in US units, fonts inside.
    """
    import typst

    return typst.compile(
        FOLDER / "typst" / "paper.typ",
        root=FOLDER / "typst",
        font_paths=[FOLDER / "fonts"],
        ignore_system_fonts=True,
        sys_inputs={"paper": paper_json(paper)},
        timestamp=created(paper.book.as_of),
    )


def created(as_of: str) -> datetime:
    """The as-of date at midnight UTC; the first of 2000 when the book gives none."""
    day = re.match(r"\d{4}-\d{2}-\d{2}", as_of)
    return datetime.fromisoformat(day[0] if day else "2000-01-01").replace(tzinfo=UTC)


def file_name(paper: Paper) -> str:
    """Name of the paper's file; signs that some systems refuse become underscores."""
    subject = re.sub(r"[^\w.-]+", "_", paper.subject).strip("._") or "bore"
    return f"{subject}-{paper.name}.pdf"


def write_paper(paper: Paper, folder: Path) -> Path:
    """Write a paper beside the others: whole or not at all.

    Parameters
    ----------
    paper : Paper
        The paper.
    folder : Path
        Where to; made when missing.

    Returns
    -------
    Path
        The file; an earlier one of this name is replaced.

    Raises
    ------
    CannotReadError
        If the folder or the file cannot be written.
    """
    target = folder / file_name(paper)
    content = paper_pdf(paper)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        replace_file(target, content)
    except OSError as error:
        raise CannotReadError(str(target), error.strerror or str(error)) from error
    return target


def write_pdf(paper: Paper, file: Path) -> None:
    """Write a paper as one file: whole or not at all.

    Raises
    ------
    CannotReadError
        If it cannot be written.
    """
    content = paper_pdf(paper)
    try:
        replace_file(file, content)
    except OSError as error:
        raise CannotReadError(str(file), error.strerror or str(error)) from error


def replace_file(target: Path, content: bytes) -> None:
    """Put a file in its place so that it is there whole or not at all. Raises OSError."""
    handle, name = tempfile.mkstemp(prefix=".", suffix=".part", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, 0o644)  # mkstemp's own mode would keep the paper from everybody else
        os.replace(name, target)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
