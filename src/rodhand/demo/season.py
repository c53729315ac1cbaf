"""The invented season, whole: what three crews entered from January to November."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from rodhand.demo.bores import Drilled, drill
from rodhand.demo.box import BoxOrder, box_orders, write_orders
from rodhand.demo.care import SECOND_COMPARISON, compare, write_care
from rodhand.demo.diary import ZONE, DemoEntry, Diary, day
from rodhand.demo.kit import write_kit
from rodhand.demo.plan import LAST_FRIDAY, WRONG_CLOCK, PlannedBore, planned_season
from rodhand.demo.planted import GROWN, galled_rods, steered_over, write_planted
from rodhand.demo.written import BoreWriter
from rodhand.record.entry import Chain, Draft, Entry
from rodhand.record.intake import Intake

DEFAULT_SEED = 7
CLOCK_FAST = timedelta(hours=9)
WRONG_DEVICE = "cab-12b"


@dataclass(frozen=True)
class Story:
    """The season before it is written down: plans, box orders and drilled bores."""

    bores: tuple[PlannedBore, ...]
    orders: tuple[BoxOrder, ...]
    drilled: tuple[Drilled, ...]


def story(seed: int, planted: bool) -> Story:
    """Invent one season."""
    bores = planned_season(seed)
    over = steered_over(seed, bores) if planted else {}
    bores = tuple(
        replace(bore, habit=replace(bore.habit, gaps=0.0)) if bore.name in over else bore
        for bore in bores
    )  # a bend past the limit that nobody wrote down could not be found
    return Story(
        bores,
        box_orders(bores, planted),
        tuple(drill(seed, bore, over, planted) for bore in bores),
    )


def as_of() -> str:
    """The day as of which the season is read: the Friday after its last entry. ISO date."""
    return day(LAST_FRIDAY)


def season(seed: int = DEFAULT_SEED, planted: bool = True) -> Iterator[DemoEntry]:
    """Every entry of one season in the order in which they were typed.

    Parameters
    ----------
    seed : int
        Same seed, same entries.
    planted : bool
        Whether the planted truths and the over-limit bends are in it. Without them the season is
        an ordinary one in which nothing should be found; the rows of Rig-40 are turned too, and
        the sets' declared past is short.

    Yields
    ------
    DemoEntry
        Only what a crew would enter.
    """
    told = story(seed, planted)
    diary = Diary(fast={WRONG_DEVICE: CLOCK_FAST})
    write_kit(diary, planted)
    write_orders(diary, told.orders)
    for bore in told.drilled:
        BoreWriter(diary, seed, bore).write()
    by_name = {bore.name: bore for bore in told.bores}
    galled = galled_rods(by_name, told.orders) if planted else []
    write_care(diary, seed, told.bores, told.orders, GROWN if planted else "", galled)
    hours = f"{CLOCK_FAST.total_seconds() / 3600:g}"
    found = {"device": WRONG_DEVICE, "fast_by_h": hours}
    diary.add("clock", found, WRONG_CLOCK[1] + timedelta(hours=9), "office", "office-1")
    if planted:
        write_planted(diary, by_name, told.orders)
    else:
        compare(diary, SECOND_COMPARISON, "4200", "4160")
    yield from diary.entries()


def chained(
    seed: int = DEFAULT_SEED, planted: bool = True, further: Sequence[DemoEntry] = ()
) -> list[Entry]:
    """The season's entries, and some further ones, with ids, device counters and hash chains.

    Ids are made from the seed, so that the same season has the same bytes.
    """
    chains: dict[str, Chain] = {}
    made = []
    for entry in (*season(seed, planted), *further):
        chain = chains.setdefault(entry.device, Chain(entry.device))
        name = f"demo/{seed}/{planted}/{entry.device}/{chain.counter}"
        draft = Draft(entry.kind, entry.payload, entry.happened, ZONE, entry.by)
        id = hashlib.sha256(name.encode()).hexdigest()[:32]
        made.append(chain.add(draft, entry.entered, id))
    return made


def write_season(
    journal: Intake,
    seed: int = DEFAULT_SEED,
    planted: bool = True,
    further: Sequence[DemoEntry] = (),
) -> int:
    """Write one season into a journal, in one go.

    Parameters
    ----------
    journal : Intake
        Any journal open for writing.
    seed : int
        Same seed, same entries.
    planted : bool
        See `season`.
    further : sequence of DemoEntry
        What was entered after it.

    Returns
    -------
    int
        How many entries were new; 0 when the season is already in the journal.

    Raises
    ------
    CannotReadError
        If they cannot be written; then none is kept.
    """
    return journal.append(chained(seed, planted, further))
