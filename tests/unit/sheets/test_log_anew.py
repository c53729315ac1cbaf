"""A log whose crew wrote the hole drilled anew: the column ``anew``, with and without a book."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodhand.faults import BadInputError
from rodhand.sheets.log import read_log
from rodhand.sheets.log_bore import bore_of_log

ROWS = "station,pitch_pct,turns,anew\n1,-10,400,\n2,-8,400,\n3,-2,400,\n2,-9,400,1\n3,-7,400,1\n"


def test_the_rows_written_again_are_the_new_hole(tmp_path: Path) -> None:
    log = tmp_path / "log.csv"
    log.write_text(ROWS)
    pilot = bore_of_log(read_log(log, rod_length=3.048)).passes[0]
    assert [row.typed["pitch_pct"] for row in pilot.readings] == ["-10", "-9", "-7"]
    (old,) = pilot.old_holes
    assert (old.left_at, [row.station for row in old.abandoned]) == (1, [2, 3])
    assert not [flag for flag in read_log(log, rod_length=3.048).flags if "left_out" in str(flag)]


def test_without_the_column_a_station_twice_is_refused_and_so_is_a_word_in_it(
    tmp_path: Path,
) -> None:
    log = tmp_path / "log.csv"
    for text in (ROWS.replace(",1\n", ",\n"), ROWS.replace(",1\n", ",again\n")):
        log.write_text(text)
        with pytest.raises(BadInputError):
            read_log(log, rod_length=3.048)
