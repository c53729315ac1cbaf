"""What the house tests share: the checkout, its sources, and walks over their syntax trees."""

from __future__ import annotations

import ast
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "src" / "rodhand"


@cache
def sources() -> dict[str, ast.Module]:
    """Every module of the package: path below `src/rodhand` to its syntax tree."""
    return {
        path.relative_to(PACKAGE).as_posix(): ast.parse(path.read_text(encoding="utf-8"))
        for path in sorted(PACKAGE.rglob("*.py"))
    }


@cache
def tracked_texts() -> dict[str, str]:
    """Every text file git knows of or would add, by its path; binary files are left out."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        check=True,
        capture_output=True,
    )
    texts = {}
    for name in filter(None, listed.stdout.decode().split("\0")):
        path = ROOT / name
        raw = path.read_bytes() if path.is_file() else b"\0"
        if b"\0" not in raw:
            texts[name] = raw.decode("utf-8", errors="replace")
    return texts


def calls_of(tree: ast.AST, name: str) -> Iterator[ast.Call]:
    """Calls of a function by its last name, bare or as an attribute."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            function = node.func
            called = getattr(function, "id", None) or getattr(function, "attr", None)
            if called == name:
                yield node


def own_web_files(pattern: str) -> list[Path]:
    """Files of the pages that are ours, not brought in from elsewhere."""
    return [path for path in (PACKAGE / "web").rglob(pattern) if "vendor" not in path.parts]
