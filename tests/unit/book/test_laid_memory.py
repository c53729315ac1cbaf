"""Laid strings kept by content: the same back, damaged files worked again, nothing lent about."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from rodhand.book.work import laid_memory
from rodhand.wear.bend_powers import BendPowers, Power, Scatter


def _powers(value: float) -> BendPowers:
    each = np.full((5, 2), value)
    by_slope = {3.0: Power(each, each * 2, each * 3), 4.7: Power(each, each, each)}
    scatter = Scatter(np.full((5, 2, 2), value), np.full((5, 2, 2, 4), value))
    wide = dict.fromkeys(by_slope, each * 0.5)
    return BendPowers(np.array([0.0, 1.0, 2.0]), by_slope, each, scatter, (wide, wide), laid=True)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("RODHAND_CACHE", str(tmp_path))
    monkeypatch.setattr(laid_memory, "_MEMORY", type(laid_memory._MEMORY)())
    return tmp_path


def test_back_from_disk(folder: Path) -> None:
    laid_memory.keep("a", (_powers(0.25), None))
    laid_memory.forget()
    found = laid_memory.kept("a")
    assert found is not None
    assert found[1] is None
    assert found[0] is not None
    assert set(found[0].by_slope) == {3.0, 4.7}
    assert (found[0].by_slope[3.0].high == 0.75).all()
    assert found[0].scatter.factors.shape == (5, 2, 2, 4)
    assert [hole[4.7][0, 0] for hole in found[0].by_hole] == [0.125, 0.125]


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04 not a zip", b"x" * 5000])
def test_a_damaged_file_is_as_none(folder: Path, content: bytes) -> None:
    laid_memory.keep("a", (_powers(1.0),))
    (folder / "a.npz").write_bytes(content)
    laid_memory.forget()
    assert laid_memory.kept("a") is None


def test_a_folder_that_cannot_be_written_is_no_fault(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("RODHAND_CACHE", str(tmp_path / "file" / "below"))
    laid_memory.keep("b", (_powers(1.0),))
    assert laid_memory.kept("b") is not None


def test_a_digest_tells_every_number_apart() -> None:
    plain = laid_memory.digest_of(1.0, [np.zeros(3)], None)
    assert plain == laid_memory.digest_of(1.0, [np.zeros(3)], None)
    for other in ((1.5, [np.zeros(3)], None), (1.0, [np.zeros(4)], None), (1.0, [], np.zeros(3))):
        assert laid_memory.digest_of(*other) != plain
