"""What must not stand in any file: paths of one machine, package registries, lock addresses."""

from __future__ import annotations

import re

import pytest

from house import PACKAGE, ROOT, tracked_texts

# Written in pieces so that this file does not hold what it looks for.
HOSTS = [
    ".".join(parts)
    for parts in (
        ("pypi", "org"),
        ("pythonhosted", "org"),
        ("npmjs", "org"),
        ("npmjs", "com"),
        ("unpkg", "com"),
        ("jsdelivr", "net"),
        ("crates", "io"),
        ("anaconda", "org"),
        ("golang", "org"),
        ("deb.debian", "org"),
    )
]
REGISTRY = re.compile("|".join(map(re.escape, HOSTS)), re.IGNORECASE)
MACHINE_PATH = re.compile(r"(?<![A-Za-z0-9_.])/(?:work|farm|root|home|Users)/|[A-Z]:\\Users\\")
LOCK = re.compile(r"(\.lock|lock\.json|lock\.yaml|requirements[^/]*\.txt)$")
ADDRESS = re.compile(r"[a-z+]{3,}://|^\s*(--?index|-i |--extra-index|--find-links)", re.MULTILINE)


def hits(pattern: re.Pattern[str], texts: dict[str, str]) -> list[str]:
    """Lines that hold the pattern, as `file:line: text`."""
    return [
        f"{name}:{number}: {line.strip()[:120]}"
        for name, text in texts.items()
        if pattern.search(text)
        for number, line in enumerate(text.splitlines(), 1)
        if pattern.search(line)
    ]


def locks(texts: dict[str, str]) -> dict[str, str]:
    """Those of the files that fix versions."""
    return {name: text for name, text in texts.items() if LOCK.search(name)}


def test_no_package_registry_is_named() -> None:
    assert not hits(REGISTRY, tracked_texts())


def test_no_path_of_one_machine() -> None:
    assert not hits(MACHINE_PATH, tracked_texts())


def test_locks_hold_no_address() -> None:
    found = locks(tracked_texts())
    assert "requirements.lock" in found
    assert "uv.lock" not in found
    assert not hits(ADDRESS, found)


def test_types_are_announced() -> None:
    assert (PACKAGE / "py.typed").is_file()


def test_the_house_is_complete() -> None:
    for name in ("README.md", "LICENSE", "CONTRIBUTING.md", "docs/README.md", ".ci/run", "dev.py"):
        assert (ROOT / name).stat().st_size > 0, name


LINK = re.compile(r"\]\(([^)#:]+)(?:#[^)]*)?\)")


def test_links_between_documents_lead_somewhere() -> None:
    pages = {name: text for name, text in tracked_texts().items() if name.endswith(".md")}
    broken = [
        f"{name}: {link}"
        for name, text in pages.items()
        for link in LINK.findall(text)
        if not ((ROOT / name).parent / link).exists()
    ]
    assert not broken, "\n".join(broken)


def test_every_document_is_in_the_index() -> None:
    index = tracked_texts()["docs/README.md"]
    there = {name.removeprefix("docs/") for name in tracked_texts() if name.startswith("docs/")}
    pages = {name for name in there if name.endswith(".md")} - {"README.md"}
    assert pages <= set(LINK.findall(index)), "add a line to docs/README.md"


@pytest.mark.parametrize(
    ("pattern", "bad"),
    [
        (REGISTRY, "see https://" + "pypi" + ".org/project/x"),
        (MACHINE_PATH, "open('" + "/" + "work/main/x')"),
        (MACHINE_PATH, "/" + "home/somebody/x"),
        (ADDRESS, "x @ git+https" + "://example.test/x"),
        (ADDRESS, "--" + "index-url somewhere"),
    ],
)
def test_a_bad_line_is_seen(pattern: re.Pattern[str], bad: str) -> None:
    assert hits(pattern, {"a.txt": f"good line\n{bad}"}) == [f"a.txt:2: {bad}"]


def test_good_lines_pass() -> None:
    text = "a/work/b, net/work, the homework, https://example.test/root/ and ./home/x"
    assert not hits(MACHINE_PATH, {"a": text})
    assert locks(
        {"requirements.lock": "", "src/block.py": "", "web/package-lock.json": ""}
    ).keys() == {
        "requirements.lock",
        "web/package-lock.json",
    }
