"""What the page of a bore's rods in their clearance shows."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.advice.verdict import Sentence
from rodhand.units import Figure


@dataclass(frozen=True)
class BendRow:
    """One place of the string where it stands.

    Parameters
    ----------
    place : int
        Counted from the tool.
    governs : str
        Code of what sets the thrust limit (`rodhand.drillstring.buckling.Governs`).
    figures : dict
        hole_bend, rod_bend: radii; magnification; room; touch: greatest force of the wall;
        thrust_limit. What is not known is left out.
    """

    place: int
    governs: str
    figures: dict[str, Figure]


@dataclass(frozen=True)
class BendDrawing:
    """The string along the hole for the drawing, node by node; SI, empty where not settled.

    Parameters
    ----------
    at_m : tuple of float
        Positions along the hole. [m]
    hole_per_m, rod_per_m : tuple of float
        Bend of the hole and of the steel's tube. [1/m]
    offset_m, room_m : tuple of float
        Height of the steel's axis over the hole's, and how far it may go either way. [m]
    touches : tuple of bool
        Whether steel lies on the wall.
    joints_m : tuple of float
        Where shoulders stand. [m]
    """

    at_m: tuple[float, ...] = ()
    hole_per_m: tuple[float, ...] = ()
    rod_per_m: tuple[float, ...] = ()
    offset_m: tuple[float, ...] = ()
    room_m: tuple[float, ...] = ()
    touches: tuple[bool, ...] = ()
    joints_m: tuple[float, ...] = ()


@dataclass(frozen=True)
class BendView:
    """The rods of one pass of a bore in their clearance.

    Parameters
    ----------
    invented : bool
        Whether the book says of itself that it is invented.
    name, rod_type, at_pass : str
        Bore, rods, pass.
    passes : tuple of str
        Passes to choose from.
    figures : dict
        diameter, thrust or pull, string_weight, frequency, speed; thrust_at_rig where asked.
    warnings : tuple of Sentence
        What is assumed or left out.
    rods : tuple of BendRow
        From the tool to the rig.
    drawing : BendDrawing
        For the drawing.
    free_span : Sentence or None
        What a free rod between rig and ground takes, where that was asked.
    """

    invented: bool
    name: str
    rod_type: str
    at_pass: str
    passes: tuple[str, ...]
    figures: dict[str, Figure]
    warnings: tuple[Sentence, ...]
    rods: tuple[BendRow, ...]
    drawing: BendDrawing
    free_span: Sentence | None = None
