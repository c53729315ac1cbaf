"""The file on disk: written whole, never over anything, and every change of it found."""

from __future__ import annotations

import io
import json
import re
import shutil
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import pypdf
import pytest
from claim_books import SEASON, on_disk

from rodhand.cli.main import main
from rodhand.faults import CannotReadError
from rodhand.record.entry import entry_from_json
from rodhand.record.journal import Journal
from rodhand.sheets.claim_file import ENTRIES, FIGURES, MANIFEST, PAPER
from rodhand.sheets.claim_verify import verify_claim
from rodhand.words import say

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run a command: exit code, output, errors."""
    monkeypatch.delenv("RODHAND_BOOK", raising=False)

    def run_command(*arguments: str | Path) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["rodhand", *map(str, arguments)])
        capsys.readouterr()
        try:
            main()
            code = 0
        except SystemExit as end:
            code = int(end.code or 0)
        said = capsys.readouterr()
        return code, said.out, said.err

    return run_command


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A book and the file made from it."""
    from rodhand.book.claim.claim import claim_of
    from rodhand.sheets.claim_file import claim_file, write_claim

    folder = tmp_path_factory.mktemp("made")
    book = on_disk(folder / "book", SEASON)
    write_claim(claim_file(claim_of(book, "M1-03"), "book", "us"), folder / "file")
    return book, folder / "file"


@pytest.fixture
def copied(made: tuple[Path, Path], tmp_path: Path) -> tuple[Path, Path]:
    """The same, to spoil."""
    book = shutil.copytree(made[0], tmp_path / "book")
    return book, shutil.copytree(made[1], tmp_path / "file")


def broken(file: Path, book: Path | None = None) -> set[str]:
    return {each.code for each in verify_claim(file, book).broken}


def test_the_command_writes_it_and_verify_proves_it(run: Run, tmp_path: Path) -> None:
    book = on_disk(tmp_path / "book", SEASON)
    before = (book / "journal.sqlite").read_bytes()
    code, out, err = run("claim", "M1-03", "--book", book, "--out", tmp_path / "file")
    assert code == 0, err
    assert say("claim.read_first") in err
    hashed = re.search(r"[0-9a-f]{64}", out)
    assert hashed
    code, told, _ = run("verify", tmp_path / "file", "--book", book)
    assert code == 0
    assert hashed[0] in told
    assert (book / "journal.sqlite").read_bytes() == before
    code, told, _ = run("verify", tmp_path / "file")
    assert code == 0
    assert say("claim_verify.not_against_book") in told


def test_the_same_book_gives_the_same_bytes_as_folder_and_zip(run: Run, tmp_path: Path) -> None:
    book = on_disk(tmp_path / "book", SEASON)
    for name in ("one", "two", "three.zip", "four.zip"):
        assert run("claim", "M1-03", "--book", book, "--out", tmp_path / name)[0] == 0
    for part in (PAPER, FIGURES, ENTRIES, MANIFEST):
        assert (tmp_path / "one" / part).read_bytes() == (tmp_path / "two" / part).read_bytes()
        with zipfile.ZipFile(tmp_path / "three.zip") as packed:
            assert packed.read(part) == (tmp_path / "one" / part).read_bytes()
    assert (tmp_path / "three.zip").read_bytes() == (tmp_path / "four.zip").read_bytes()
    assert run("verify", tmp_path / "three.zip", "--book", book)[0] == 0


def test_nothing_is_ever_written_over(run: Run, tmp_path: Path) -> None:
    book = on_disk(tmp_path / "book", SEASON)
    (tmp_path / "there").mkdir()
    code, _, err = run("claim", "M1-03", "--book", book, "--out", tmp_path / "there")
    assert code == 2
    assert say("fault.claim_there.do") in err
    assert list((tmp_path / "there").iterdir()) == []
    assert run("claim", "M9-99", "--book", book, "--out", tmp_path / "new")[0] == 2
    code, _, _ = run("claim", "M1-03", "--book", book, "--photos", tmp_path / "none")
    assert code == 3
    assert sorted(path.name for path in tmp_path.iterdir()) == ["book", "there"]


def test_the_json_holds_the_paper_s_figures(made: tuple[Path, Path]) -> None:
    figures = json.loads((made[1] / FIGURES).read_text())["figures"]
    text = "".join(
        page.extract_text() for page in pypdf.PdfReader(made[1] / PAPER).pages
    )  # fmt: skip
    drawn = "".join(text.split())
    for key in ("claim.values", "claim.rests_on", "claim.entries", "claim.string.ahead"):
        assert "".join(figures[key]["shown_us"].split()) in drawn, key
    assert figures["claim.values"]["standing"] == "computed"


def test_the_paper_begins_with_the_warning_and_names_no_cause(made: tuple[Path, Path]) -> None:
    text = "".join(page.extract_text() + " " for page in pypdf.PdfReader(made[1] / PAPER).pages)
    flat = " ".join(text.split())
    assert 0 < flat.index(say("claim.first")) < 600
    assert flat.index(say("claim.first")) < flat.index("M1-03 ", 30)
    assert "[M]" in flat
    assert "[C]" in flat
    for word in ("because", "blame it", "fault of", "negligen", "chance of a break"):
        assert word not in flat.replace("because it is inconvenient", ""), word


def test_every_entry_line_can_be_read_back(made: tuple[Path, Path]) -> None:
    lines = (made[1] / ENTRIES).read_text().splitlines()
    entries = [entry_from_json(line) for line in lines]
    assert all(entry.holds() for entry in entries)
    assert len(entries) == json.loads((made[1] / MANIFEST).read_text())["entries"] > 10


@pytest.mark.parametrize("part", [PAPER, FIGURES, ENTRIES])
def test_one_changed_byte_is_found(copied: tuple[Path, Path], part: str) -> None:
    book, file = copied
    assert broken(file, book) == set()
    data = bytearray((file / part).read_bytes())
    at = len(data) // 2
    data[at] ^= 1
    (file / part).write_bytes(data)
    assert "changed" in broken(file)


def test_a_missing_and_an_added_part_are_found(copied: tuple[Path, Path]) -> None:
    _, file = copied
    (file / PAPER).unlink()
    (file / "letter.txt").write_text("x")
    assert broken(file) == {"missing", "extra"}


def refit(file: Path) -> None:
    """Make the manifest fit the entries again, as somebody would who hides a change."""
    import hashlib

    manifest = json.loads((file / MANIFEST).read_text())
    data = (file / ENTRIES).read_bytes()
    manifest["files"][ENTRIES] = {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}
    manifest["entries"] = len(data.splitlines())
    (file / MANIFEST).write_text(json.dumps(manifest))


def test_an_entry_changed_with_its_manifest_is_found_by_its_own_hash(
    copied: tuple[Path, Path],
) -> None:
    _, file = copied
    text = (file / ENTRIES).read_text()
    (file / ENTRIES).write_text(text.replace("jaw bite on the tube", "sound"))
    refit(file)
    assert broken(file) == {"entry_changed"}


def test_an_entry_made_up_whole_is_found_by_the_book(copied: tuple[Path, Path]) -> None:
    from rodhand.record.entry import hash_of

    book, file = copied
    lines = (file / ENTRIES).read_text().splitlines()
    fields = json.loads(next(line for line in lines if '"kind":"check"' in line))
    fields["payload"]["found"] = "sound"
    fields.pop("hash")
    forged = json.dumps({**fields, "hash": hash_of(**fields)})
    kept = [forged if '"kind":"check"' in line else line for line in lines]
    (file / ENTRIES).write_text("\n".join(kept) + "\n")
    refit(file)
    assert broken(file) == set()  # it fits in itself: only the book knows
    assert broken(file, book) == {"other_in_book"}


def test_another_book_and_a_book_cut_short_are_found(
    copied: tuple[Path, Path], tmp_path: Path
) -> None:
    _, file = copied
    other = on_disk(tmp_path / "other", SEASON[:-1])
    assert {"not_in_book", "chain", "digest"} <= broken(file, other)


def test_a_book_that_grew_still_holds(copied: tuple[Path, Path]) -> None:
    book, file = copied
    on_disk(book, [("remark", {"text": "later"}, "2025-08-01")])
    found = verify_claim(file, book)
    assert (found.broken, found.since) == ((), 1)


def test_what_is_no_such_file_is_told(run: Run, tmp_path: Path) -> None:
    book = on_disk(tmp_path / "book", SEASON[:3])
    assert run("backup", tmp_path / "copy.zip", "--book", book)[0] == 0
    (tmp_path / "text.zip").write_text("no zip")
    with zipfile.ZipFile(tmp_path / "bad.zip", "w") as packed:
        packed.writestr(MANIFEST, '{"what": "rodhand claim", "form": 1, "files": 3}')
    for name in ("copy.zip", "text.zip", "bad.zip", "nothing"):
        with pytest.raises(CannotReadError):
            verify_claim(tmp_path / name)
        assert run("verify", tmp_path / name)[0] == 3


def test_verify_without_a_file_is_of_the_book(run: Run, tmp_path: Path) -> None:
    book = on_disk(tmp_path / "book", SEASON[:3])
    code, out, _ = run("verify", "--book", book)
    assert code == 0
    assert "3 entries" in out


def test_a_whole_string_lost_is_told_without_sixty_chapters(tmp_path: Path) -> None:
    from rodhand.book.claim.claim import claim_of
    from rodhand.sheets.claim_file import claim_file

    lost = ("whereabouts", {"things": "M1-01..M1-10", "where": "lost in hole"}, "2025-06-02")
    book = on_disk(tmp_path / "book", [*SEASON, lost])
    found = claim_of(book, "T-2")
    assert len(found.view.things) == 10
    assert found.view.things[0].name == "M1-03"  # what broke comes first
    pages = pypdf.PdfReader(io.BytesIO(claim_file(found, "b", "us").parts[PAPER])).pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert say("claim.heading.more_things") in text
    with Journal.open(book, write=False) as journal:
        assert len(journal.entries()) == len(SEASON) + 1


def test_a_bad_unit_system_is_refused(run: Run, tmp_path: Path) -> None:
    book = on_disk(tmp_path / "book", SEASON[:3])
    assert run("claim", "M1-03", "--book", book, "--units", "yards")[0] == 2
