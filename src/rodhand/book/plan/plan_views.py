"""What the pages of planned bores show."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.advice.verdict import Sentence
from rodhand.units import Figure


@dataclass(frozen=True)
class PlanRow:
    """One rod of a path: figures ``pitch``, ``change``, ``across``, ``depth`` at its end.

    ``life`` at its place; where it was driven ``read``, ``off`` and ``aside`` (see `Driven`).
    """

    rod: int
    figures: dict[str, Figure]


@dataclass(frozen=True)
class UtilityRow:
    """A utility: figures ``at``, ``depth_top``, ``size``, ``keep``, ``clear`` of the path shown.

    ``clear`` is what is left beyond what is to keep, and beyond the receiver's error.
    """

    name: str
    what: str
    how: str
    runs: str
    figures: dict[str, Figure]


@dataclass(frozen=True)
class Candidate:
    """One candidate of the table, and what a picture needs of it. [m]"""

    name: str
    figures: dict[str, Figure]


@dataclass(frozen=True)
class PlanDrawing:
    """The side view: ground, paths, rods' ends of the one shown, utilities with what is to keep.

    Level from the entry and up from it. [m]
    """

    distance_m: float
    exit_height_m: float
    paths_m: dict[str, tuple[tuple[float, float], ...]]
    rods_m: tuple[tuple[float, float], ...]
    utilities_m: tuple[tuple[str, float, float, float | None, float, float], ...]
    cover_m: tuple[float, float, float] | None
    aside_m: tuple[tuple[float, float], ...] = ()
    driven_m: tuple[tuple[float, float], ...] = ()
    driven_aside_m: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class LifeRow:
    """One place of the string: figures ``life_plan``, ``life_driven``, ``times``, ``there``.

    ``who`` stood there, empty where nobody can say; ``there`` is of the hole at that station.
    """

    rod: int
    who: str
    figures: dict[str, Figure]


@dataclass(frozen=True)
class PlanView:
    """The page of one plan.

    Parameters
    ----------
    possible : bool
        Whether a path keeps all that is asked and its product can be pulled back.
    told : Sentence
        Possible, refused and why, or what is missing.
    changes : tuple of Sentence
        Each alone makes a refused plan possible.
    shown : str
        Which candidate the table and the picture show.
    chosen : str
        Which one is kept as the plan; empty before one was.
    cautions : tuple of Sentence
        What stands beside every plan.
    differs, loading : tuple of Sentence
        What the other candidates have beside the easiest; which places use the most life.
    life, life_rows : tuple of Sentence, tuple of LifeRow
        Life the driven bends took against the path shown, where the bore is begun and it was
        asked for.
    """

    name: str
    invented: bool
    rig: str
    rod_type: str
    head: str
    happened: str
    possible: bool
    told: Sentence
    changes: tuple[Sentence, ...]
    candidates: tuple[Candidate, ...]
    shown: str
    chosen: str
    rows: tuple[PlanRow, ...]
    utilities: tuple[UtilityRow, ...]
    limits: tuple[Sentence, ...]
    cautions: tuple[Sentence, ...]
    figures: dict[str, Figure]
    drawing: PlanDrawing | None
    driven: tuple[Sentence, ...] = ()
    differs: tuple[Sentence, ...] = ()
    loading: tuple[Sentence, ...] = ()
    life: tuple[Sentence, ...] = ()
    life_rows: tuple[LifeRow, ...] = ()


@dataclass(frozen=True)
class PlanListed:
    """One plan of the list."""

    name: str
    rig: str
    chosen: str
    has_bore: bool
    figures: dict[str, Figure]


@dataclass(frozen=True)
class PlanList:
    """The list of plans."""

    invented: bool
    rows: tuple[PlanListed, ...]
    rigs: tuple[str, ...]
    rod_types: tuple[str, ...]
