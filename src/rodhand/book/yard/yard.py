"""The yard: rods as they lie in their boxes, with standing and life used."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rodhand.advice.fitness import ORDER
from rodhand.advice.verdict import Sentence
from rodhand.book.bore.bore_page import life_figure
from rodhand.book.rig.left_in_hole import left_in_hole
from rodhand.book.tasks.findings import all_tasks
from rodhand.book.tasks.standings import all_standings
from rodhand.book.views import YardRod, YardRow, YardView
from rodhand.book.work.assess import Assessment
from rodhand.book.work.box_of import latest_load
from rodhand.record.book_things import Rig
from rodhand.units import Figure, Standing

LOUD = ("set aside", "dress", "watch", "not looked at")
"""Standings that ask for something, loudest first; of scrap nothing is asked any more."""
Box = tuple[str, tuple[YardRow, ...]]
"""A rig's box or a set, and its rows."""


def rod_in_yard(assessment: Assessment, key: str) -> YardRod:
    """A rod as the yard shows it: standing, life used, metres."""
    thing = assessment.book.things[key]
    own = f"yard.{thing.name}"
    history = assessment.histories.get(key)
    figures: dict[str, Figure] = {}
    assumed = False
    if history is not None:
        life = history.life.worst
        assumed = life.assumed > 0.5
        standing = Standing.ASSUMED if assumed else Standing.COMPUTED
        figures["life_used"] = life_figure(f"{own}.life_used", life, standing)
        if life.assumed > 0.0 and not life.at_least:
            figures["assumed_share"] = Figure(
                f"{own}.assumed_share", life.assumed, "share", Standing.COMPUTED
            )
        figures["metres"] = Figure(f"{own}.metres", history.metres, "distance", Standing.COMPUTED)
    return YardRod(key, thing.name, all_standings(assessment)[key][0], assumed, figures)


def _counted(standings: Sequence[str], key: str) -> dict[str, Figure]:
    """How many have each standing, best known first."""
    return {
        name: Figure(
            f"{key}.{name.replace(' ', '_')}",
            float(standings.count(name)),
            "count",
            Standing.COMPUTED,
        )
        for name in ORDER
        if name in standings
    }


def _row(label: Sentence, rods: tuple[YardRod, ...], key: str) -> YardRow:
    return YardRow(label, rods, _counted([rod.standing for rod in rods], key))


def _loudness(row: YardRow) -> tuple[float, ...]:
    """How many rods have the loudest standing, then the next, and so on."""
    return tuple((row.counts[name].value or 0.0) if name in row.counts else 0.0 for name in LOUD)


def _with_loudest(boxes: Sequence[Box]) -> tuple[Box, ...]:
    """The same boxes, the row that asks for most marked; none where all rods are fit."""
    loudest = max((row for _, rows in boxes for row in rows), key=_loudness, default=None)
    if loudest is None or not any(_loudness(loudest)):
        return tuple(boxes)
    return tuple(
        (title, tuple(replace(row, loudest=row is loudest) for row in rows))
        for title, rows in boxes
    )


def _rows(assessment: Assessment, rig: Rig, keys: Sequence[str], own: str) -> list[YardRow]:
    """A box's rods row by row, the row that is used first nearest."""
    per_row = rig.rods_per_row or max(len(keys), 1)
    rows = []
    for start in range(0, len(keys), per_row):
        label = Sentence("yard.row", {"row": f"{start // per_row + 1}"})
        rods = tuple(rod_in_yard(assessment, key) for key in keys[start : start + per_row])
        rows.append(_row(label, rods, f"{own}.{start // per_row + 1}"))
    return rows


def _elsewhere(assessment: Assessment, placed: set[str]) -> list[Box]:
    """Rods that lie in no box, by set."""
    boxes: list[Box] = []
    for name, each in assessment.book.sets.items():
        keys = [key for key in each.things if key not in placed]
        if keys:
            rods = tuple(rod_in_yard(assessment, key) for key in keys)
            boxes.append((name, (_row(Sentence("yard.not_in_box"), rods, f"yard.set.{name}"),)))
    return boxes


def yard_view(assessment: Assessment) -> YardView:
    """Rods as they lie, per rig, then those in no box."""
    boxes: list[Box] = []
    placed: set[str] = set()
    for name, rig in assessment.book.rigs.items():
        load = latest_load(assessment.book, name)
        if load is None:
            continue
        keys = [key for key in load.things if key in assessment.book.things]
        placed |= set(keys)
        boxes.append((name, tuple(_rows(assessment, rig, keys, f"yard.box.{name}"))))
    boxes += _elsewhere(assessment, placed)
    standings = [all_standings(assessment)[key][0] for key in assessment.histories]
    counts = _counted(standings, "yard.count")
    due = tuple(
        task.verdict
        for task in all_tasks(assessment)
        if task.verdict.what.key.startswith(("verdict.look_due", "verdict.never_looked"))
    )
    left = {
        name: each
        for name in assessment.book.rigs
        if (each := left_in_hole(assessment.book, name, assessment.today)) is not None
    }
    unloaded = tuple(
        name for name in assessment.book.rigs if latest_load(assessment.book, name) is None
    )
    return YardView(assessment.invented, _with_loudest(boxes), counts, due, left, unloaded)
