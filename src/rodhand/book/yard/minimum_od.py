"""The oilfield's minimum joint OD for a rod type, on request; never a verdict by itself."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.book.work.tables import load_rod_type
from rodhand.faults import BadInputError, Fault
from rodhand.steel.minimum_od import minimum_od, worn_pipe_torsional_yield

WALL_LEFT = {"premium": 0.8, "class 2": 0.7}
"""Share of wall left in the two oilfield classes (READ: wall factors). [-]"""


@dataclass(frozen=True)
class MinimumOd:
    """Minimum joint OD of a rod type for one oilfield class; None when the pin is too weak. [m]"""

    oilfield_class: str
    od: float | None
    new_od: float


def minimum_ods(rod_type_name: str) -> tuple[MinimumOd, ...]:
    """Smallest joint OD, in 1/32 in steps, that yields at 0.8 of the worn tube's torque.

    Parameters
    ----------
    rod_type_name : str
        Built-in rod type or TOML file, with thread sizes.

    Returns
    -------
    tuple of MinimumOd
        Premium and class 2.

    Raises
    ------
    BadInputError
        If the rod type has no thread sizes, or is not known.

    Notes
    -----
    Oilfield rule (RP 7G table 10 basis; 0.8 READ, table MEMORY). Many new small rods fail it, so it
    is shown on request and decides nothing.
    """
    rod = load_rod_type(rod_type_name)
    if rod.joint is None:
        raise BadInputError([Fault("minimum_od_no_thread", rod_type_name)], rod_type_name)
    found = []
    for name, left in WALL_LEFT.items():
        pipe = worn_pipe_torsional_yield(rod.tube_od, rod.tube_id, left, rod.yield_stress)
        found.append(MinimumOd(name, minimum_od(rod.joint, rod.joint_bore, pipe), rod.joint_od))
    return tuple(found)
