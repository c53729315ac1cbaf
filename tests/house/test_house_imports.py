"""Folders are the flow: who may import whom, and what the pure folders may not touch."""

from __future__ import annotations

import ast
from collections.abc import Iterator

import pytest

from house import sources

STEEL = {"units"}
HOLE = {"units", "steel"}
DRILLSTRING = HOLE | {"hole"}
WEAR = DRILLSTRING | {"drillstring"}
ADVICE = WEAR | {"wear", "words"}
BOOK = ADVICE | {"advice", "record", "data", "demo"}
SHEETS = BOOK | {"book"}
MAY_IMPORT = {
    "units": set(),
    "faults": set(),
    "data": set(),
    "words": set(),
    "steel": STEEL,
    "hole": HOLE,
    "drillstring": DRILLSTRING,
    "wear": WEAR,
    "advice": ADVICE,
    "record": {"units", "steel"},
    "demo": {"record", "units"},
    "book": BOOK,
    "sheets": SHEETS,
    "web": {"book", "sheets", "words", "units"},
    # The commands start the pages (serve, demo); nothing else is taken from there.
    "cli": {"book", "sheets", "words", "units", "web"},
    "__main__": {"cli"},
}
"""Folder (or module) to those it may import; `faults` and itself besides."""

PURE = {"steel", "hole", "drillstring", "wear", "advice"}
OUTSIDE_WORLD = {"os", "pathlib", "shutil", "tempfile", "subprocess", "socket", "urllib"}
OUTSIDE_WORLD |= {"time", "sqlite3", "sqlalchemy", "logging"}
CALLS_OUT = {"open", "print", "input", "now", "utcnow", "today", "read_text", "write_text"}


def imported(path: str, tree: ast.Module) -> Iterator[str]:
    """Full dotted names a module imports, relative ones resolved; anywhere in the module."""
    package = ["rodhand", *path.split("/")[:-1]]
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            stem = ".".join([*base, *filter(None, [node.module])])
            yield from (f"{stem}.{alias.name}" for alias in node.names)


def place(path: str) -> str:
    """Folder (or top module) a source file belongs to."""
    return path.split("/")[0].removesuffix(".py")


def wrong_directions(path: str, tree: ast.Module) -> list[str]:
    """Imports of ours that the flow does not allow."""
    here = place(path)
    allowed = MAY_IMPORT[here] | {here, "faults", "__version__"}
    ours = [name.split(".") for name in imported(path, tree) if name.split(".")[0] == "rodhand"]
    return [
        f"{path} imports {'.'.join(name)}"
        for name in ours
        if len(name) < 2 or name[1] not in allowed
    ]


def impurities(path: str, tree: ast.Module) -> list[str]:
    """File, clock, database and print in a folder that must have none of them."""
    found = [
        f"{path} imports {n}" for n in imported(path, tree) if n.split(".")[0] in OUTSIDE_WORLD
    ]
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = getattr(node.func, "id", None) or getattr(node.func, "attr", None)
            if name in CALLS_OUT:
                found.append(f"{path}:{node.lineno} calls {name}")
    return found


def test_every_folder_has_a_rule() -> None:
    folders = {place(path) for path in sources()} - {"__init__"}
    assert folders <= set(MAY_IMPORT), "a new folder needs its line in MAY_IMPORT"


def test_import_directions() -> None:
    wrong = [
        line
        for path, tree in sources().items()
        if path != "__init__.py"
        for line in wrong_directions(path, tree)
    ]
    assert not wrong, "\n".join(wrong)


def test_pure_folders_touch_nothing_outside() -> None:
    wrong = [
        line
        for path, tree in sources().items()
        if place(path) in PURE
        for line in impurities(path, tree)
    ]
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize(
    ("path", "code"),
    [
        ("steel/tube.py", "from rodhand.hole import bend"),
        ("steel/tube.py", "from rodhand import hole"),
        ("steel/tube.py", "import rodhand.hole.bend"),
        ("steel/tube.py", "import rodhand"),
        ("steel/deep/tube.py", "from ...hole import bend"),
        ("hole/bend.py", "def f():\n    from ..record import journal"),
        ("record/journal.py", "from rodhand.hole.bend import curvature"),
        ("web/app.py", "from rodhand.wear import miner"),
        ("cli/main.py", "from rodhand.record import journal"),
        ("demo/season.py", "from rodhand.steel import tube"),
        ("units.py", "from rodhand.words import say"),
    ],
)
def test_a_wrong_direction_is_seen(path: str, code: str) -> None:
    assert wrong_directions(path, ast.parse(code))


@pytest.mark.parametrize(
    ("path", "code"),
    [
        ("steel/tube.py", "from .section import area\nfrom rodhand.units import INCH"),
        ("hole/bend.py", "from rodhand.steel.tube import Tube\nimport numpy"),
        ("cli/main.py", "from rodhand import __version__\nfrom rodhand.faults import Fault"),
    ],
)
def test_a_right_direction_passes(path: str, code: str) -> None:
    assert not wrong_directions(path, ast.parse(code))


@pytest.mark.parametrize(
    "code",
    ["import os.path", "from time import time", "print(1)", "d = date.today()", "open('x')"],
)
def test_an_impurity_is_seen(code: str) -> None:
    assert impurities("wear/miner.py", ast.parse(code))
