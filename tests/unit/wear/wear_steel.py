"""Rod and curves the wear tests use.

Rod: the invented mid rod of the scenario kit (2-3/8 in tube, 10 ft). Curves: high-strength base
metal 17.446 - 4.7 log S (from memory), class C in air 12.592 (m 3) and 16.320 (m 5) above 1e7
(READ in a transcription), category 50 as 11.398 (m 3) without knee (from memory).
"""

from __future__ import annotations

from dataclasses import replace

from rodhand.steel.curves import Curve
from rodhand.steel.rod_type import RodType
from rodhand.wear.sections import CurveSet

INCH = 0.0254

ROD = RodType(
    name="R-M",
    tube_od=2.375 * INCH,
    wall=0.28 * INCH,
    length=120 * INCH,
    joint_od=2.75 * INCH,
    joint_bore=1.0 * INCH,
    joint_length=0.18,
    yield_stress=931e6,
    build="one-piece",
    weld_flash="unknown",
    limit_radius=145 * 12 * INCH,
)
WELDED = replace(ROD, name="welded", build="friction-welded")
CURVES = CurveSet(
    tube=Curve("high strength", 4.7, 17.446, 0.20),
    weld=Curve("C air", 3.0, 12.592, 0.20, second_slope=5.0, second_log_a=16.320, knee=1e7),
    thread=Curve("category 50", 3.0, 11.398, 0.20),
)
