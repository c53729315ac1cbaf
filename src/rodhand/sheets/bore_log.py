"""The bore log: the paper of a bore for the client. The path and how well it is known.

It says nothing of steel, people or wear; what it may hold is chosen here column by column, never
taken over from the view as a whole.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from rodhand.book.views import BoreView, StationRow
from rodhand.hole.pilot_log import step_seen
from rodhand.hole.readings import ReadingError
from rodhand.sheets.bore_profile import profile_svg
from rodhand.sheets.paper import (
    BookFacts,
    Column,
    Drawn,
    Item,
    Items,
    Line,
    Paper,
    Span,
    Table,
    figure_spans,
    plain,
    sentence_line,
)
from rodhand.sheets.shown import Sentence
from rodhand.units import Figure, Standing, System, from_si, to_si
from rodhand.words import IN_FORCE, say

PLANNED = ("plan_depth", "plan_east")
COLUMNS = (
    "measured_length",
    "north",
    "depth",
    "plan_depth",
    "east",
    "plan_east",
    "pitch",
    "heading",
    "bend",
    "bend_radius",
    "read_depth",
    "rotating_time",
    "push",
)
"""Figures of a station that the client sees, in the order of the columns."""

SPOKEN_OF = tuple(name for name in COLUMNS if name not in PLANNED)
FACTS = ("length", "deepest", "stations", "rotating_time")


def bore_log(view: BoreView, book: BookFacts, system: System, language: str = IN_FORCE) -> Paper:
    """The paper for the client.

    Parameters
    ----------
    view : BoreView
        The bore at the end of its work.
    book : BookFacts
        Which book it comes from.
    system : {"metric", "us"}
        Unit system of the whole paper.
    language : str, optional
        Language of the words.

    Returns
    -------
    Paper
        Head, profile, path, how each column was measured, plan and cover.

    Notes
    -----
    A column nobody read is left out of the path and told in the table of measurements. The
    maker's bend limit is about steel and is left out.
    """
    there = tuple(name for name in COLUMNS if _count(view.stations, name))
    return Paper(
        name="bore-log",
        title=say("paper.bore_log", language),
        subject=view.name,
        invented=say("paper.invented", language) if view.invented else "",
        facts=_facts(view, system, language),
        parts=(
            Drawn(say("paper.heading.profile", language), profile_svg(view, system, language)),
            _path(view.stations, there, system, language),
            _measured_how(view, there, system, language),
            _plan_and_cover(there, language),
        ),
        book=book,
        system=system,
        landscape=True,
        language=language,
        missing=_missing(there, language),
    )


def _known(row: StationRow, name: str) -> bool:
    figure = row.figures.get(name)
    return figure is not None and figure.value is not None


def _count(rows: Sequence[StationRow], name: str) -> int:
    return sum(_known(row, name) for row in rows)


def _facts(view: BoreView, system: System, language: str) -> tuple[tuple[str, Line], ...]:
    typed = (
        ("place", view.place),
        ("happened", view.happened),
        ("rig", view.rig),
        ("ground", view.ground),
        ("under", view.under),
    )
    unknown = plain(f"{say('number.dash', language)}\u00a0{say('number.unknown', language)}")
    facts = [
        (say(f"paper.fact.{name}", language), plain(text) if text else unknown)
        for name, text in typed
    ]
    facts += [
        (say(f"paper.fact.{name}", language), figure_spans(view.figures[name], system, language))
        for name in FACTS
        if name in view.figures
    ]
    deepest = _deepest(view.stations)
    if deepest is not None and "deepest" not in view.figures:
        depth = figure_spans(deepest.figures["depth"], system, language)
        facts.append((say("paper.fact.deepest", language), depth))
    tightest = _tightest(view.stations)
    if tightest is not None:
        where = say("paper.tightest", language, station=f"{tightest.station:g}")
        radius = figure_spans(tightest.figures["bend_radius"], system, language)
        facts.append((say("paper.fact.tightest", language), (*radius, Span(where))))
    return tuple(facts)


def _deepest(rows: Sequence[StationRow]) -> StationRow | None:
    """The row with the greatest known depth."""
    known = [row for row in rows if _known(row, "depth")]
    return max(known, key=lambda row: row.figures["depth"].value or -math.inf, default=None)


def _tightest(rows: Sequence[StationRow]) -> StationRow | None:
    """The row with the smallest known bend radius."""
    known = [row for row in rows if _known(row, "bend_radius")]
    return min(known, key=lambda row: row.figures["bend_radius"].value or math.inf, default=None)


def _path(rows: Sequence[StationRow], there: Sequence[str], system: System, language: str) -> Table:
    columns = [Column(say("paper.column.station", language), "left")]
    columns += [Column(say(f"paper.column.{name}", language)) for name in there]
    cells = [
        (
            plain(f"{row.station:g}"),
            *(_cell(row, name, system, language) for name in there),
        )
        for row in rows
    ]
    return Table(say("paper.heading.path", language), tuple(columns), tuple(cells))


def _cell(row: StationRow, name: str, system: System, language: str) -> Line:
    """A figure of a station; a known bend without a radius is a straight."""
    if name == "bend_radius" and _known(row, "bend") and not _known(row, name):
        return plain(say("paper.straight", language))
    return figure_spans(row.figures[name], system, language) if name in row.figures else ()


# --- how each column was measured ---------------------------------------------------------------


def _measured_how(view: BoreView, there: Sequence[str], system: System, language: str) -> Table:
    rows = view.stations
    columns = tuple(
        Column(say(f"paper.column.{name}", language), "left", wide=name.startswith("how"))
        for name in ("column", "read_at", "how", "how_well")
    )
    heading = "heading" in there
    cells = []
    for name in SPOKEN_OF:
        # A straight has a bend and no radius; it is known all the same.
        known = _count(rows, "bend" if name == "bend_radius" else name)
        count = say("paper.read_at", language, count=known, all=len(rows))
        way = _way(_inside(name, rows), name in there, heading, language)
        if name in there:
            way += _reference(view, name, language)
        cells.append(
            (
                plain(say(f"paper.column.{name}", language), "bold"),
                plain(count),
                plain(way),
                _how_well(name, rows, heading, system, language),
            )
        )
    return Table(say("paper.heading.how", language), columns, tuple(cells))


def _inside(name: str, rows: Sequence[StationRow]) -> str:
    """The way of pitch says so where some readings were taken inside a length."""
    return "pitch_inside" if name == "pitch" and any(row.inside for row in rows) else name


def _way(name: str, known: bool, heading: bool, language: str) -> str:
    """How a column was measured or computed."""
    if not known:
        return say("paper.how.not_read", language)
    if not heading and name in ("north", "bend"):
        name = f"{name}_straight"
    return say(f"paper.how.{name}", language)


def _reference(view: BoreView, name: str, language: str) -> str:
    """What headings are counted from, where the book says so; nothing for other columns."""
    said = (sentence.values.get("reference") for sentence in view.measured_how)
    code = next((value for value in said if isinstance(value, str)), "")
    return say(f"paper.reference.{code}", language) if name == "heading" and code else ""


def _how_well(
    name: str, rows: Sequence[StationRow], heading: bool, system: System, language: str
) -> Line:
    """How well a column is known; the errors of reading are common practice, so assumed."""
    if _count(rows, name) == 0:
        return plain(say(_unknown_key(name), language))
    if name == "measured_length":
        return plain(_lengths_well(rows, language))
    if name == "pitch":
        return _pitch_well(rows, system, language)
    if name in ("heading", "bend"):
        return sentence_line(_error_of(name, heading), system, "plain", language)
    if name in ("rotating_time", "push"):
        return plain(say("paper.well.as_logged", language))
    if name == "north" and not heading:
        return plain(say("paper.well.north_straight", language))
    key = "path" if name in ("north", "depth") else name
    return plain(say(f"paper.well.{key}", language))


def _unknown_key(name: str) -> str:
    """Why nothing is known of a column: the reading it would come from was not taken."""
    if name in ("read_depth", "rotating_time", "push"):
        return f"paper.well.{name}_unknown"
    return "paper.well.heading_unknown" if name in ("heading", "east") else "number.unknown"


def _lengths_well(rows: Sequence[StationRow], language: str) -> str:
    assumed = sum(
        row.figures["measured_length"].standing is Standing.ASSUMED
        for row in rows
        if _known(row, "measured_length")
    )
    if assumed:
        return say("paper.well.measured_length_assumed", language, count=assumed)
    return say("paper.well.measured_length", language)


def _pitch_well(rows: Sequence[StationRow], system: System, language: str) -> Line:
    repeat = Figure(
        "paper.pitch_repeat",
        math.atan(ReadingError().pitch_repeat),
        "angle",  # a slope is printed to 0.1 %, too coarse for this
        Standing.ASSUMED,
    )
    step = sentence_line(_step_of(rows), system, "plain", language)
    told = sentence_line(
        Sentence("paper.well.pitch", {"repeat": repeat, "step": "\ue000"}),
        system,
        "plain",
        language,
    )
    return tuple(
        part
        for span in told
        for part in (_spliced(span, step) if "\ue000" in span.text else (span,))
    )


def _spliced(span: Span, inner: Line) -> Line:
    before, _, after = span.text.partition("\ue000")
    return tuple(part for part in (Span(before), *inner, Span(after)) if part.text)


def _step_of(rows: Sequence[StationRow]) -> Sentence:
    """The step the display of pitch shows, in percent or in degrees; whichever is coarser."""
    pitches = [
        row.figures["pitch"].value or 0.0
        for row in rows
        if _known(row, "pitch") and row.figures["pitch"].standing is Standing.MEASURED
    ]
    for unit in ("pct", "deg"):
        step = step_seen([round(from_si(pitch, "slope", unit), 9) for pitch in pitches])
        if step is not None and any(pitches):
            # A slope is printed to 0.1 %: finer steps are told as an angle.
            quantity = "slope" if unit == "pct" and step >= 0.1 else "angle"
            value = to_si(step, "slope", unit)
            figure = Figure("paper.pitch_step", value, quantity, Standing.COMPUTED)
            return Sentence("paper.well.step", {"step": figure})
    return Sentence("paper.well.step_unseen")


def _error_of(name: str, heading: bool) -> Sentence:
    error = ReadingError()
    if name == "heading":
        repeat = Figure("paper.heading_repeat", error.heading, "angle", Standing.ASSUMED)
        return Sentence("paper.well.heading", {"repeat": repeat})
    if heading:
        return Sentence("paper.well.bend")
    # Two neighbouring readings, each with its own error, on the flat.
    grade = math.hypot(error.pitch_repeat, error.pitch_step / math.sqrt(12))
    sd = Figure("paper.bend_sd", math.sqrt(2) * grade, "angle", Standing.ASSUMED)
    return Sentence("paper.well.bend_straight", {"sd": sd})


def _missing(there: Sequence[str], language: str) -> tuple[str, ...]:
    unread = [say(f"paper.column.{name}", language) for name in SPOKEN_OF if name not in there]
    absent = [say(f"paper.missing.{name}", language) for name in _not_entered(there)]
    return (
        *(say("paper.missing.unread", language, what=what) for what in unread),
        *(say("paper.missing.not_entered", language, what=what) for what in absent),
    )


def _not_entered(there: Sequence[str]) -> tuple[str, ...]:
    return ("cover",) if any(name in there for name in PLANNED) else ("plan", "cover")


def _plan_and_cover(there: Sequence[str], language: str) -> Items:
    plan = "plan_none" if "plan" in _not_entered(there) else "plan_there"
    texts = (f"paper.log.{plan}", "paper.log.cover_none", "paper.log.utilities")
    lines = tuple(plain(say(key, language)) for key in texts)
    return Items(say("paper.heading.plan", language), (Item(lines),))
