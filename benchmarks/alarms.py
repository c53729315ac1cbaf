"""How often the rod screen tells an over-steer on the invented season's bores.

Run: python benchmarks/alarms.py
Every pilot row of every bore is taken as the rod read last, with the rows up to it. A rod counts
as an alarm where `rodhand.book.rig.bends_now` would tell one; as true where the season's truth
names a bend past the limit there. Figures, no test.
"""

from __future__ import annotations

import json
import sys
import tempfile
from dataclasses import replace
from pathlib import Path

from rodhand.book.rig.bends_now import bends_now
from rodhand.book.work.bore_done import front_of
from rodhand.book.work.hole_of import hole_of
from rodhand.book.work.rod_types import rod_type_of_bore
from rodhand.demo.season import chained
from rodhand.demo.truth import write_truth
from rodhand.record.book import Book
from rodhand.record.book_bores import Bore
from rodhand.record.reading_back import read_book


def alarms_of(book: Book, bore: Bore) -> tuple[set[int], int]:
    """Stations at which the screen tells an over-steer, and how many rods were read."""
    pilot, rod_type = bore.pass_of("pilot"), rod_type_of_bore(book, bore)
    if pilot is None or rod_type is None:
        return set(), 0
    front = front_of(book, bore)
    found, stations = set(), sorted({int(r.station) for r in pilot.readings if r.station % 1 == 0})
    for station in stations:
        rows = tuple(row for row in pilot.readings if row.station <= station)
        so_far = replace(pilot, readings=rows)
        hole = hole_of(so_far, rod_type.length, front.length, front.bit_to_sensor, bore.rig_pitch)
        if bends_now(book, bore, hole, "").over is not None:
            found.add(station)
    return found, len(stations)


def main() -> int:
    """Count over both seasons."""
    for planted in (True, False):
        book = read_book(chained(planted=planted))
        with tempfile.TemporaryDirectory() as folder:
            write_truth(Path(folder) / "truth.json", planted=planted)
            truth = json.loads((Path(folder) / "truth.json").read_text())
        true = {(each["bore"], int(each["station"])) for each in truth["over_limit"]}
        told, rods = set(), 0
        for name, bore in book.bores.items():
            found, count = alarms_of(book, bore)
            told |= {(name, station) for station in found}
            rods += count
        near = {(b, s) for b, s in told if any(b == c and abs(s - t) <= 1 for c, t in true)}
        print(
            f"{'planted' if planted else 'ordinary'}: {len(book.bores)} bores, {rods} rods, "
            f"{len(told)} alarms, {len(told - near)} at no bend past the limit "
            f"({100 * len(told - near) / max(rods, 1):.2f} in 100 rods), "
            f"{len({b for b, _ in near})} of {len({b for b, _ in true})} bores with one told"
        )
    return 0


if __name__ == "__main__":
    sys.exit(main())
