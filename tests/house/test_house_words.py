"""Words: every text a person reads stands in the catalogue, and no state claims safety."""

from __future__ import annotations

import ast
import re
from collections.abc import Mapping
from html.parser import HTMLParser

import pytest

from house import own_web_files, sources
from rodhand.book.work.tables import data_rows
from rodhand.record.kinds import KINDS
from rodhand.words import LANGUAGES, catalogue

SPEAKING = {"advice", "book", "sheets", "web", "cli"}
SENTENCE = re.compile(r"(?<![\w#.])[^\W\d_]+,? [^\W\d_]+,? [^\W\d_]+")
CODES = {choice for kind in KINDS.values() for field in kind.fields for choice in field.choices} | {
    row["finding"] for row in data_rows("found_words.csv")
}
"""Codes that look like a sentence: what may be typed in the record, and findings of looks."""
FOR_PROGRAMMERS = {
    "AssertionError",
    "AttributeError",
    "IndexError",
    "KeyError",
    "LookupError",
    "NotImplementedError",
    "RuntimeError",
    "TypeError",
    "ValueError",
}
NOT_A_STATE = re.compile(
    r"\b(safe|clear|ready|locked|go"
    r"|segur[oa]s?|despejad[oa]s?|list[oa]s?|bloquead[oa]s?|adelante|v[ií]a libre|sin peligro)\b",
    re.IGNORECASE,
)
STATE_KEY = re.compile(r"(^|\.)(state|standing)\.")
PRODUCT = "Rodhand"


# --- states -----------------------------------------------------------------------------


def false_comfort(texts: Mapping[str, str]) -> list[str]:
    """Keys whose text names a state that nobody may read off a screen."""
    return [
        key
        for key, text in texts.items()
        if (STATE_KEY.search(key) and NOT_A_STATE.search(text))
        or NOT_A_STATE.fullmatch(text.strip(" .!¡"))
    ]


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_state_claims_safety(language: str) -> None:
    assert not false_comfort(catalogue(language))


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("standing.fit", "clear"),
        ("bore.state.done", "All clear, carry on"),
        ("state.x", "not ready"),
        ("button.start", "Go"),
        ("page.banner", "SAFE!"),
        ("standing.fit", "segura"),
        ("bore.state.done", "Todo despejado, siga"),
        ("state.x", "no lista"),
        ("button.start", "¡Adelante!"),
        ("page.banner", "BLOQUEADO"),
    ],
)
def test_a_state_that_claims_safety_is_seen(key: str, text: str) -> None:
    assert false_comfort({key: text}) == [key]


def test_the_words_may_stand_in_a_sentence() -> None:
    assert not false_comfort({"caution.exit": "Nothing here says the exit side is clear."})
    assert not false_comfort({"caution.exit": "Nada dice que la salida esté despejada."})
    assert not false_comfort({"standing.set_aside": "set aside", "state.open": "category"})


# --- literals in Python -----------------------------------------------------------------


def _spared(tree: ast.Module) -> set[int]:
    """Ids of the nodes a person never reads: docstrings and what is raised for programmers."""
    spared: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            spared.add(id(node.value))
        raised = node.exc if isinstance(node, ast.Raise) else None
        if isinstance(raised, ast.Call) and getattr(raised.func, "id", None) in FOR_PROGRAMMERS:
            spared.update(id(part) for part in ast.walk(raised))
    return spared


def sentences(path: str, tree: ast.Module) -> list[str]:
    """Texts of three words or more that stand in the code."""
    spared = _spared(tree)
    return [
        f"{path}:{node.lineno} {node.value[:80]!r}"
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and id(node) not in spared
        and node.value not in CODES
        and "sans-serif" not in node.value  # a list of fonts
        and SENTENCE.search(node.value)
    ]


def test_no_sentence_in_the_code() -> None:
    found = [
        line
        for path, tree in sources().items()
        if path.split("/")[0] in SPEAKING
        for line in sentences(path, tree)
    ]
    assert not found, "\n".join(found)


@pytest.mark.parametrize(
    "code",
    [
        "x = 'Pull this rod'",
        "x = f'{n} rods passed the bend'",
        "print('nothing due today')",
        "app.option(help='Folder of the book')",
        "raise CannotReadError(path, 'the disk is full')",
        "x = 'Zurückgelegt, größer als vorher'",
    ],
)
def test_a_sentence_in_the_code_is_seen(code: str) -> None:
    assert len(sentences("web/x.py", ast.parse(code))) == 1


@pytest.mark.parametrize(
    "code",
    [
        "'''A docstring of many words.'''",
        "def f():\n    '''A docstring of many words.'''",
        "raise ValueError(f'radius must be greater than 0, got {r}')",
        "x = 'set_aside'; y = 'text/html; charset=utf-8'; z = '#set page(margin: 2cm)'",
        "x = 'M 10 20 L 30 40 Z'; y = 'one two'; z = 'stroke-width: 2; fill: none'",
    ],
)
def test_keys_and_markup_pass(code: str) -> None:
    assert not sentences("sheets/x.py", ast.parse(code))


# --- literals in templates and scripts --------------------------------------------------

READ_ATTRIBUTES = {"alt", "aria-label", "placeholder", "title"}


class _Visible(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.inside_code = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.inside_code = tag in ("script", "style")
        self.found += [value for name, value in attrs if name in READ_ATTRIBUTES and value]

    def handle_endtag(self, tag: str) -> None:
        self.inside_code = False

    def handle_data(self, data: str) -> None:
        if not self.inside_code:
            self.found.append(data)


def visible_words(template: str) -> list[str]:
    """Letters a template shows by itself, outside `{{ }}`, `{% %}` and `{# #}`."""
    parser = _Visible()
    parser.feed(re.sub(r"\{\{.*?\}\}|\{%.*?%\}|\{#.*?#\}", "", template, flags=re.DOTALL))
    parser.close()
    found = (text.replace(PRODUCT, "").strip() for text in parser.found)
    return [text for text in found if re.search(r"[^\W\d_]", text)]


def script_sentences(script: str) -> list[str]:
    """Texts of three words or more in a script's strings, comments left out."""
    code = re.sub(r"/\*.*?\*/|(?:^|\s)//[^\n]*", " ", script, flags=re.DOTALL)
    strings = re.findall(r"\"[^\"\n]*\"|'[^'\n]*'|`[^`]*`", code)
    return [text for text in strings if SENTENCE.search(text)]


def test_templates_show_catalogue_words_only() -> None:
    found = {p.name: visible_words(p.read_text(encoding="utf-8")) for p in own_web_files("*.html")}
    assert not {name: words for name, words in found.items() if words}


def test_scripts_show_catalogue_words_only() -> None:
    found = {p.name: script_sentences(p.read_text(encoding="utf-8")) for p in own_web_files("*.js")}
    assert not {name: words for name, words in found.items() if words}


@pytest.mark.parametrize(
    "html",
    [
        "<p>Due</p>",
        "<p>{{ n }} m</p>",
        "<button title='Strike'>{{ x }}</button>",
        "<script>1</script>after",
        "{% if a > b %}<td>Größe</td>{% endif %}",
    ],
)
def test_a_word_in_a_template_is_seen(html: str) -> None:
    assert len(visible_words(html)) == 1


@pytest.mark.parametrize(
    "html",
    [
        "<!doctype html><p class='a b c'>{{ say('a.b') }} – 12</p>",
        "<style>p { color: red }</style><script>const a = 1;</script>",
        "{# a remark for the next reader #}<title>Rodhand · {{ title }}</title>",
        "<input aria-label=\"{{ say('x') }}\" name='rod'>&nbsp;&#9679;",
    ],
)
def test_a_template_without_words_passes(html: str) -> None:
    assert not visible_words(html)


def test_a_sentence_in_a_script_is_seen() -> None:
    assert script_sentences("x = 'Pull this rod';") == ["'Pull this rod'"]
    assert not script_sentences("// it isn't the rod's end\n/* a b c */ x = 'use strict';")
