"""Rows of the invented bore B-2: a road crossing, 36 rods of 10 ft, over-steered at station 4.

Source: the project's trade reference, scenario kit, bore B-2 (all invented). Columns: pitch at the
end of the row [%], minutes rotated [min]; 100 rpm throughout; entry pitch -24 %.
"""

from __future__ import annotations

import math

import numpy as np

ROD_LENGTH = 3.048  # 10 ft
TUBE_OD = 2.375 * 0.0254
ENTRY_PITCH_PCT = -24.0
RPM = 100.0
PITCH_END_PCT = (
    -24.0, -18.0, -13.5, -4.0, -0.2, 0.3, -0.1, 0.1, 0.5, -0.1, -0.5, -0.7,
    -0.4, 0.8, 0.7, -0.5, 0.7, -0.1, 0.0, 0.7, -1.0, 0.5, 0.3, 0.5,
    0.0, 0.4, -0.8, -0.1, -1.1, 2.9, 7.6, 11.1, 15.1, 18.3, 18.0, 17.9,
)  # fmt: skip
ROTATE_MIN = (
    4.2, 2.7, 2.9, 2.2, 4.2, 4.5, 4.6, 6.5, 4.5, 6.0, 6.3, 4.5,
    5.0, 4.0, 6.6, 4.0, 4.7, 4.4, 4.4, 5.3, 4.7, 3.6, 4.9, 4.3,
    5.3, 5.5, 4.8, 6.2, 4.0, 2.8, 3.4, 3.3, 3.0, 3.3, 4.0, 4.3,
)  # fmt: skip

STATIONS = ROD_LENGTH * np.arange(37)
TURNS = RPM * np.array(ROTATE_MIN)
_PITCH = np.array([math.atan(p / 100) for p in (ENTRY_PITCH_PCT, *PITCH_END_PCT)])
BEND = np.abs(np.diff(_PITCH)) / ROD_LENGTH
