"""The words catalogue itself, and faults told to a person."""

from __future__ import annotations

from pathlib import Path

import pytest

from rodhand import words
from rodhand.faults import BadInputError, Fault
from rodhand.words import has, read_catalogue, render_fault, render_faults, say


@pytest.fixture
def odd_words(monkeypatch: pytest.MonkeyPatch) -> None:
    """A fault `odd` beside the real words."""
    texts = {
        **words.catalogue(),
        "fault.odd.needed": "a number in {unit}.",
        "fault.odd.do": "write {column} without a unit",
    }
    monkeypatch.setattr(words, "catalogue", lambda language="en": texts)


def write(folder: Path, **files: str) -> Path:
    for name, text in files.items():
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    return folder


def test_files_are_merged_and_tables_become_dotted_keys(tmp_path: Path) -> None:
    write(tmp_path, a='[one.two]\nthree = "drei"\n', b='[one]\nfour = "vier"\ntop = "1"')
    assert read_catalogue(tmp_path) == {
        "one.two.three": "drei",
        "one.four": "vier",
        "one.top": "1",
    }


def test_the_same_key_twice_is_refused(tmp_path: Path) -> None:
    write(tmp_path, a='[x]\ny = "1"', b='x.y = "2"')
    with pytest.raises(ValueError, match=r"b\.toml: x\.y"):
        read_catalogue(tmp_path)


def test_a_value_that_is_not_a_text_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"x is not a text"):
        read_catalogue(write(tmp_path, a="x = 3"))


def test_a_language_without_words_is_refused() -> None:
    with pytest.raises(KeyError, match="xx"):
        say("number.measured", "xx")


def test_say_names_the_missing_key_and_the_missing_value() -> None:
    assert say("fault_line.line", line=4) == "line 4"
    assert has("fault_line.line")
    assert not has("fault_line.nowhere")
    with pytest.raises(KeyError, match=r"fault_line\.nowhere"):
        say("fault_line.nowhere")
    with pytest.raises(KeyError, match=r"fault_line\.line.*'line'"):
        say("fault_line.line")


@pytest.mark.usefixtures("odd_words")
def test_a_fault_is_told_with_its_place() -> None:
    fault = Fault("odd", found="1O %", line=4, column="pitch_pct", values={"unit": "%"})
    assert render_fault(fault) == (
        "line 4, column pitch_pct: found «1O %»; needed: a number in %; "
        "do: write pitch_pct without a unit"
    )


@pytest.mark.usefixtures("odd_words")
def test_a_fault_without_place_or_finding() -> None:
    assert render_fault(Fault("odd", values={"unit": "m"})).startswith("found nothing; needed: a")
    assert render_fault(Fault("odd", line=0, values={"unit": "m"})).startswith("line 0: found")


@pytest.mark.usefixtures("odd_words")
@pytest.mark.parametrize(
    ("count", "lines", "last"), [(1, 2, "do:"), (50, 51, "do:"), (63, 52, "13 more")]
)
def test_fifty_faults_are_shown_and_the_rest_counted(count: int, lines: int, last: str) -> None:
    fault = Fault("odd", found="x", values={"unit": "m"})
    told = render_faults(BadInputError([fault] * count, "log.csv")).splitlines()
    assert told[0].startswith(f"log.csv: {count} fault")
    assert len(told) == lines
    assert last in told[-1]
