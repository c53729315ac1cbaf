"""API RP 7G table 10: smallest OD of worn joints (values from memory, rule 0.8 READ).

3-1/2 in 13.30 lb/ft pipe (3.5 x 0.368 in) with NC38; the bores are those of the table's rows.
"""

from __future__ import annotations

import pytest

from rodhand.book.work.tables import connections
from rodhand.steel.joint import joint_strength
from rodhand.steel.minimum_od import minimum_od, worn_pipe_torsional_yield
from rodhand.units import FOOT_POUND, INCH, PSI

NC38 = connections()["NC38"].dimensions
PIPE_OD, PIPE_ID = 3.5 * INCH, 2.764 * INCH


@pytest.mark.parametrize(
    ("yield_psi", "bore", "pipe_torque", "smallest", "ratio"),
    [
        (75_000, 2.4375, 14_361, 4.5, 0.844),
        (135_000, 2.125, 25_850, 4.8125, 0.813),
    ],
)
def test_premium_class(
    yield_psi: float, bore: float, pipe_torque: float, smallest: float, ratio: float
) -> None:
    pipe = worn_pipe_torsional_yield(PIPE_OD, PIPE_ID, 0.8, yield_psi * PSI)
    assert pipe / FOOT_POUND == pytest.approx(pipe_torque, abs=1.0)
    od = minimum_od(NC38, bore * INCH, pipe)
    assert od is not None
    assert od / INCH == pytest.approx(smallest, abs=1e-9)
    joint = joint_strength(NC38, od, bore * INCH).torsional_yield
    assert joint / pipe == pytest.approx(ratio, abs=0.0006)
    smaller = joint_strength(NC38, od - INCH / 32, bore * INCH).torsional_yield
    assert smaller / pipe < 0.8


def test_pin_too_weak_at_any_od() -> None:
    pipe = worn_pipe_torsional_yield(PIPE_OD, PIPE_ID, 1.0, 135_000 * PSI)
    assert minimum_od(NC38, 3.2 * INCH, pipe) is None
