"""What pages share that work long or draw a bore: picture widths, one piece of work at a time."""

from __future__ import annotations

import threading

WIDTHS = (("wide", 1100), ("middle", 700), ("hand", 340))
"""Sizes by name and width; the page's style shows the one that fits. [px]"""
ONE_AT_A_TIME = threading.Lock()
"""Two pages asked for at once must not work the same book through twice."""
