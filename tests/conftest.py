"""What every test gets: helpers of this folder can be imported, hypothesis takes its time."""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("house", deadline=None, derandomize=bool(os.environ.get("CI")))
settings.load_profile("house")
