"""The rig of the rig day, for tests of the order of its rods."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "rig_day"))
