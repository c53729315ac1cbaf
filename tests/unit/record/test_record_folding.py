"""A book gone on with is the book read from scratch, and what others write is noticed."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from book_builder import YARD, entries_of
from rodhand.record.entry import Chain, Draft, Entry
from rodhand.record.folding import with_more
from rodhand.record.journal import Journal
from rodhand.record.kept_open import journal_of
from rodhand.record.reading_back import read_back, read_book

BORES = [("bore", {"bore": name, "rig": "Rig-40"}, "2025-06-01") for name in ("B1", "B2")]
BEGUN = entries_of(
    [*YARD, *BORES, ("load", {"rig": "Rig-40", "things": "SET-M1", "how": "by row"})]
)
DEVICES = ("tablet-1", "tablet-2", "phone-3")
bores = st.sampled_from(["B1", "b2", "B2", "nowhere"])
stations = st.sampled_from(["1", "2", "2.5", "3"])
rods = st.sampled_from(["M1-01", "M1-02", "SET-M1", "NEW-1", "no such rod"])
sayings = st.one_of(
    st.fixed_dictionaries(
        {"bore": bores, "station": stations},
        optional={"pitch_pct": st.sampled_from(["-3", "-3.5", "x"]), "rod": rods,
                  "torque_Nm": st.sampled_from(["900", "950"]),
                  "pass": st.sampled_from(["pilot", "Ream 1"])},
    ).map(lambda said: ("reading", said)),
    st.fixed_dictionaries(
        {"bore": bores, "pass": st.sampled_from(["pilot", "Ream 1", "pullback"]),
         "what": st.sampled_from(["pilot", "ream", "pullback"])},
        optional={"tail_rods": rods, "note": st.sampled_from(["a", "b"])},
    ).map(lambda said: ("pass", said)),
    st.fixed_dictionaries({"bore": bores, "what": st.just("jerk")}, optional={"station": stations})
    .map(lambda said: ("event", said)),
    st.fixed_dictionaries({"bore": bores, "from_station": stations, "to_station": stations})
    .map(lambda said: ("makeup", said)),
    st.fixed_dictionaries({"things": rods, "item": st.just("full-look"), "found": st.just("ok")})
    .map(lambda said: ("check", said)),
    st.fixed_dictionaries({"rig": st.just("rig-40"), "bore": bores, "things": rods})
    .map(lambda said: ("slip", said)),
    st.fixed_dictionaries({"things": rods, "standing": st.just("set aside"), "why": st.just("w")})
    .map(lambda said: ("standing", said)),
    st.fixed_dictionaries({"text": st.just("x")}, optional={"bore": bores, "things": rods})
    .map(lambda said: ("remark", said)),
    st.fixed_dictionaries({"thing": rods}).map(lambda said: ("break", said)),
    st.fixed_dictionaries({"things": rods, "what": st.just("re-cut")})
    .map(lambda said: ("dressing", said)),
    st.fixed_dictionaries({"things": rods, "where": st.sampled_from(["row", "sold"])})
    .map(lambda said: ("whereabouts", said)),
    st.just(("thing", {"thing": "NEW-1", "what": "rod"})),
    st.just(("bore", {"bore": "nowhere", "rig": "Rig-40"})),
    st.fixed_dictionaries({"device": st.sampled_from(DEVICES), "fast_by_min": st.just("90")})
    .map(lambda said: ("clock", said)),
    st.integers(0, 30).map(lambda which: ("strike", {"entry": str(which), "why": "w"})),
)  # fmt: skip
rows = st.tuples(
    st.sampled_from(DEVICES),
    sayings,
    st.sampled_from(["2025-06-02", "2025-06-03 07:30", "2025-06-03 09:00", "sometime"]),
)


def made_of(said: list[tuple[str, tuple[str, dict[str, str]], str]]) -> list[Entry]:
    """Entries of three devices; a strike's number is the place of the entry it strikes."""
    chains = {device: Chain(device) for device in DEVICES}
    made: list[Entry] = []
    for number, (device, (kind, payload), when) in enumerate(said):
        if kind == "strike":
            aim = int(payload["entry"])
            payload = {**payload, "entry": f"e{aim:03}"}
        draft = Draft(kind, payload, when, "+00:00", "p1")
        stamp = "2025-06-03T08:00:00+00:00"
        made.append(chains[device].add(draft, entered=stamp, id=f"e{number:03}"))
    return made


@settings(max_examples=150)
@given(st.lists(rows, min_size=1, max_size=25), st.randoms(), st.integers(1, 5))
def test_gone_on_with_is_read_from_scratch(
    said: list[tuple[str, tuple[str, dict[str, str]], str]], chance: object, together: int
) -> None:
    made = made_of(said)
    chance.shuffle(made)  # type: ignore[attr-defined]
    read = read_back(BEGUN)
    for start in range(0, len(made), together):
        before, head = read.book, read.book.head
        read = with_more(read, made[start : start + together])
        assert read.book == read_book([*BEGUN, *made[: start + together]])
        assert before.head == head
    assert read.book.head == read_book([*made, *BEGUN]).head


def test_a_row_is_folded_in_and_struck_without_reading_the_rest(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    read = read_back(BEGUN)
    monkeypatch.setattr("rodhand.record.folding.read_back", lambda _entries: pytest.fail("anew"))
    reading = (
        "tablet-2",
        ("reading", {"bore": "B1", "station": "1", "pitch_pct": "-3"}),
        "2025-06-02",
    )
    strike = ("tablet-2", ("strike", {"entry": "0", "why": "w"}), "2025-06-02")
    row, struck = made_of([reading, strike])
    there = with_more(read, [row])
    assert [len(each.readings) for each in there.book.bores["B1"].passes] == [1]
    assert there.book.bores["B2"] is read.book.bores["B2"]
    gone = with_more(there, [struck])
    assert gone.book.bores == read.book.bores
    assert gone.book.entry_count == len(BEGUN) + 2


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    with Journal.open(tmp_path / "book") as journal:
        journal.append(BEGUN)
    return tmp_path / "book"


REMARK = """
import sys
from rodhand.record.journal import Journal
with Journal.open(sys.argv[1]) as journal:
    journal.write("remark", {"text": "from elsewhere"})
"""


def test_what_another_program_writes_is_noticed(folder: Path) -> None:
    ours = journal_of(folder, write=True)
    ours.write("remark", {"text": "ours"})
    subprocess.run([sys.executable, "-c", REMARK, str(folder)], check=True)
    assert [each.text for each in journal_of(folder).book().remarks] == ["ours", "from elsewhere"]
    journal_of(folder, write=True).write("remark", {"text": "ours again"})
    book = journal_of(folder).book()
    assert len(book.remarks) == 3
    assert book == read_book(journal_of(folder).entries())
    assert journal_of(folder) is ours


def test_a_file_put_in_its_place_is_noticed(folder: Path, tmp_path: Path) -> None:
    shutil.copytree(folder, tmp_path / "copy")
    with Journal.open(folder) as journal:
        journal.write("remark", {"text": "only here"})
    assert len(journal_of(folder).book().remarks) == 1
    shutil.copy(tmp_path / "copy" / "journal.sqlite", folder / "new")
    (folder / "new").replace(folder / "journal.sqlite")
    assert journal_of(folder).book().remarks == ()
    shutil.rmtree(folder)
    with pytest.raises(Exception, match="no book"):
        journal_of(folder)


def test_an_entry_changed_in_the_file_is_read_as_it_stands(folder: Path) -> None:
    assert journal_of(folder, write=True).book().rigs["Rig-40"].note == ""
    file = folder / "journal.sqlite"
    file.write_bytes(file.read_bytes().replace(b"2025-01-01", b"2024-01-01"))
    entries = journal_of(folder).entries()
    assert entries[0].happened == "2024-01-01"
    assert journal_of(folder).book() == read_book(entries)
