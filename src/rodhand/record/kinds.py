"""The words of the record: every kind of entry, its fields, and what may be typed in them.

One table serves the page's forms, the workbook's sheets, the columns of a rows file and the
`enter` command, so a fact is written with the same words whichever way it comes in. A quantity
keeps its unit in its column name (`joint_od_in`), and its digits as typed.
"""

from __future__ import annotations

from collections.abc import Mapping

from rodhand.record.kind import Kind
from rodhand.record.kinds_ahead import AHEAD
from rodhand.record.kinds_book import OF_THE_BOOK
from rodhand.record.kinds_bores import BORES
from rodhand.record.kinds_looks import LOOKS
from rodhand.record.kinds_rig import AT_THE_RIG
from rodhand.record.kinds_things import THINGS

KINDS: Mapping[str, Kind] = {
    kind.name: kind for kind in (*THINGS, *BORES, *LOOKS, *AT_THE_RIG, *AHEAD, *OF_THE_BOOK)
}
"""Every kind of entry by name."""
