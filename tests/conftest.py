"""What every test gets: helpers of this folder can be imported, hypothesis takes its time.

Strings laid into holes are kept in a folder of this run alone, so that no test leans on an
earlier run and a season is worked out once.
"""

from __future__ import annotations

import os
import tempfile

from hypothesis import settings

settings.register_profile("house", deadline=None, derandomize=bool(os.environ.get("CI")))
settings.load_profile("house")

if "PYTEST_XDIST_WORKER" not in os.environ:  # one that runs beside others takes the run's folder
    _WORKED = tempfile.TemporaryDirectory(prefix="rodhand-worked-")
    os.environ["RODHAND_CACHE"] = _WORKED.name
