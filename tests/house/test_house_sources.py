"""Every source and every rule that the data files name is told in docs/sources.md."""

from __future__ import annotations

import re

from house import PACKAGE, ROOT
from rodhand.book.work.tables import data_rows

PAGE = (ROOT / "docs" / "sources.md").read_text(encoding="utf-8")
SOURCE = re.compile(r"\bS\d\d\b")


def test_every_source_of_the_scenario_is_told() -> None:
    told = set(re.findall(r"^\| (S\d\d) \|", PAGE, re.MULTILINE))
    cited = SOURCE.findall((PACKAGE / "data" / "scenario.json").read_text(encoding="utf-8"))
    assert cited
    assert set(cited) - told == set()


def test_every_rule_is_told_with_its_source() -> None:
    keys = {row["key"] for row in data_rows("rules.csv")}
    assert keys - set(re.findall(r"[a-z]+(?:-[a-z]+)*", PAGE)) == set()
