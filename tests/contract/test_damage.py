"""A book destroyed at a random byte: noticed in words, brought back, nothing acknowledged lost."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
from damaging import HOW, Kept, damage_once, keep

from rodhand.faults import CannotReadError, DamagedError
from rodhand.record.backup import back_up
from rodhand.record.damage import readable_entries, whole_entries
from rodhand.record.database import FILE_NAME

DAMAGES = 20


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Kept:
    return keep(tmp_path_factory.mktemp("kept"), 60, 20)


@pytest.mark.parametrize("seed", range(DAMAGES))
def test_a_damage_is_noticed_and_nothing_acknowledged_is_lost(
    kept: Kept, tmp_path: Path, seed: int
) -> None:
    told = damage_once(kept, tmp_path, Random(seed))
    assert not told.wrong, told
    if told.how != "flip":  # a flipped byte may lie where the file holds nothing
        assert told.noticed, told


@pytest.mark.parametrize("how", HOW)
def test_a_damaged_book_is_not_copied(kept: Kept, tmp_path: Path, how: str) -> None:
    """Damage in the middle of the entries, so that no good copy is joined by a bad one."""
    book = tmp_path / "book"
    book.mkdir()
    file = book / FILE_NAME
    content = (kept.book / FILE_NAME).read_bytes()
    file.write_bytes(content)
    HOW[how](file, content.rindex(b"at the rig 7 "), Random(1))
    with pytest.raises(CannotReadError):
        back_up(book, tmp_path / "copy.zip")
    assert not (tmp_path / "copy.zip").exists()


def test_one_changed_letter_names_its_entry(kept: Kept, tmp_path: Path) -> None:
    file = tmp_path / FILE_NAME
    file.write_bytes(
        (kept.book / FILE_NAME).read_bytes().replace(b"at the rig 7 ", b"at the rip 7 ")
    )
    with pytest.raises(DamagedError, match="do not fit their hash"):
        whole_entries(tmp_path)
    saved = readable_entries(file)
    changed = len(kept.acknowledged) - len(saved)
    assert changed == 2  # the seventh of each of the two times the tablet wrote
    assert all(kept.acknowledged[entry.id] == entry.hash for entry in saved)
