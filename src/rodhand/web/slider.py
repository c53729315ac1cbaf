"""The slider of a bore: the ends of the pass, and one rod back and on."""

from __future__ import annotations

from dataclasses import dataclass

from rodhand.book.views import BoreView


@dataclass(frozen=True)
class Steps:
    """Positions of the tool the slider offers. [m]

    Parameters
    ----------
    low, high, at : float
        Ends of the slider and where it stands.
    back, on : float
        One rod earlier and one rod later in the work of this pass; ``at`` at its ends.
    passes : tuple of (str, float)
        Every pass with the position at its end.
    on_sign : int
        -1 in a pass toward the rig, where going on makes the position smaller; else 1.
    """

    low: float
    high: float
    at: float
    back: float
    on: float
    passes: tuple[tuple[str, float], ...]
    on_sign: int


def steps(view: BoreView) -> Steps:
    """The slider of the pass shown.

    Parameters
    ----------
    view : BoreView
        The bore at the moment shown.

    Returns
    -------
    Steps
        In a pass toward the rig "on" means a smaller position.
    """
    ends = {name: (first, last) for name, first, last in view.slider}
    first, last = ends.get(view.at_pass, (0.0, view.picture.drilled))
    low, high = min(first, last), max(first, last)
    sign = 1 if last >= first else -1
    rod = sign * view.picture.rod_length
    return Steps(
        low=low,
        high=high,
        at=min(max(view.at, low), high),
        back=round(min(max(view.at - rod, low), high), 3),
        on=round(min(max(view.at + rod, low), high), 3),
        passes=tuple((name, end) for name, _, end in view.slider),
        on_sign=sign,
    )
