"""Every module and every public class and function of the package says what it is."""

from __future__ import annotations

import ast
from collections.abc import Iterator

import pytest

from house import sources

Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


def public(tree: ast.Module | ast.ClassDef) -> Iterator[Definition]:
    """Public definitions of a module and the public methods of its public classes."""
    for node in tree.body:
        if isinstance(node, Definition) and not node.name.startswith("_"):
            yield node
            if isinstance(node, ast.ClassDef):
                yield from public(node)


def silent(path: str, tree: ast.Module) -> list[str]:
    """Module and public definitions without a docstring."""
    module = [path] if tree.body and not ast.get_docstring(tree) else []
    return module + [
        f"{path}:{node.lineno} {node.name}" for node in public(tree) if not ast.get_docstring(node)
    ]


def test_public_docstrings() -> None:
    missing = [line for path, tree in sources().items() for line in silent(path, tree)]
    assert not missing, "\n".join(missing)


@pytest.mark.parametrize(
    "code",
    [
        "x = 1",
        '"""Module."""\ndef f(): pass',
        '"""Module."""\nclass C:\n    x = 1',
        '"""Module."""\nclass C:\n    """It."""\n    def m(self): pass',
        '"""Module."""\nasync def f(): pass',
    ],
)
def test_a_silent_definition_is_seen(code: str) -> None:
    assert silent("steel/x.py", ast.parse(code))


def test_private_and_empty_may_be_silent() -> None:
    assert not silent(
        "x.py", ast.parse('"""M."""\ndef _f(): pass\nclass _C:\n    def m(self): pass')
    )
    assert not silent("__init__.py", ast.parse(""))
