"""Every text the code asks for stands in the catalogue, and every fault has its two sentences."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable, Mapping
from string import Formatter

from house import calls_of, own_web_files, sources
from rodhand.words import catalogue


def _literal(node: ast.expr | None) -> str | None:
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else None


def _is_catalogue_say(call: ast.Call) -> bool:
    """Whether it is `say` of the words and not a method of that name, which may add a prefix."""
    owner = getattr(call.func, "value", None)
    return owner is None or getattr(owner, "id", None) == "words"


def unanswered(path: str, tree: ast.Module, texts: Mapping[str, str]) -> list[str]:
    """Calls of `say` whose key is missing or whose text names a value that is not given."""
    found = []
    for call in filter(_is_catalogue_say, calls_of(tree, "say")):
        key = _literal(call.args[0]) if call.args else None
        if key is None:
            continue
        if key not in texts:
            found.append(f"{path}:{call.lineno} {key}")
            continue
        given = {keyword.arg for keyword in call.keywords}
        lacking = {
            re.split(r"[.\[]", field)[0]
            for _, field, _, _ in Formatter().parse(texts[key])
            if field
        } - given
        if lacking and None not in given:  # None: values given as **mapping
            found.append(f"{path}:{call.lineno} {key} needs {sorted(lacking)}")
    return found


def fault_makers(trees: Iterable[ast.Module]) -> dict[str, int]:
    """`Fault` and the functions that hand their own parameter `code` to it, with its place."""
    makers = {"Fault": 0}
    for tree in trees:
        for node in ast.walk(tree):
            if not isinstance(node, ast.FunctionDef):
                continue
            names = [argument.arg for argument in node.args.args if argument.arg != "self"]
            handed = (call.args[0] for call in calls_of(node, "Fault") if call.args)
            if "code" in names and any(getattr(first, "id", None) == "code" for first in handed):
                makers[node.name] = names.index("code")
    return makers


def untold_faults(
    path: str, tree: ast.Module, texts: Mapping[str, str], makers: Mapping[str, int]
) -> list[str]:
    """Fault codes without their two sentences."""
    found = []
    for name, place in makers.items():
        for call in calls_of(tree, name):
            if name == "add" and "fault" not in ast.unparse(call.func):
                continue  # a set's own add
            named = next((k.value for k in call.keywords if k.arg == "code"), None)
            code = _literal(call.args[place] if len(call.args) > place else named)
            for part in ("needed", "do"):
                if code is not None and f"fault.{code}.{part}" not in texts:
                    found.append(f"{path}:{call.lineno} fault.{code}.{part}")
    return found


def test_every_text_asked_for_is_there() -> None:
    found = [line for p, tree in sources().items() for line in unanswered(p, tree, catalogue())]
    assert not found, "\n".join(found)


def test_every_fault_is_told() -> None:
    makers = fault_makers(sources().values())
    found = [
        line
        for path, tree in sources().items()
        for line in untold_faults(path, tree, catalogue(), makers)
    ]
    assert not found, "\n".join(found)


def test_every_text_a_template_asks_for_is_there() -> None:
    asked = {
        key
        for path in own_web_files("*.html")
        for key in re.findall(
            r"\bsay\(\s*['\"]([\w.]+)['\"]\s*[,)]", path.read_text(encoding="utf-8")
        )
    }
    assert not asked - set(catalogue())


def test_a_text_not_there_is_seen() -> None:
    texts = {"a.b": "{n} rods", "fault.odd.needed": "x"}
    assert unanswered("x.py", ast.parse("say('a.c')"), texts) == ["x.py:1 a.c"]
    assert unanswered("x.py", ast.parse("words.say('a.b', m=1)"), texts) == [
        "x.py:1 a.b needs ['n']"
    ]
    fine = "say('a.b', n=1)\nsay('a.b', **v)\nsay(key)\npen.say('c')"
    assert not unanswered("x.py", ast.parse(fine), texts)


def test_an_untold_fault_is_seen() -> None:
    texts = {"fault.odd.needed": "x"}
    code = "def note(self, line, code): self.faults.append(Fault(code, 'x'))"
    makers = fault_makers([ast.parse(code)])
    assert makers == {"Fault": 0, "note": 1}
    for call in ("Fault('odd', 'x')", "Fault(code='odd')", "reader.note(3, 'odd')"):
        found = untold_faults("x.py", ast.parse(call), texts, makers)
        assert found == ["x.py:1 fault.odd.do"]
    assert not untold_faults("x.py", ast.parse("seen.add('odd')"), texts, {"add": 0})
    assert untold_faults("x.py", ast.parse("self.faults.add('odd')"), texts, {"add": 0})
