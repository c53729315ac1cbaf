"""The bundle's layout and start files, with made-up wheels and nothing fetched."""

from __future__ import annotations

import importlib.util
import re
import shlex
import subprocess
import sys
import zipfile
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[3]
MACHINE_PATH = re.compile(r"/(?:work|farm|root|home|Users|tmp|usr)/|[A-Z]:\\")
PLACE = re.compile(r"\{\w+\}")


def module_at(path: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"bundle_{path.stem}", path)
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def build() -> ModuleType:
    return module_at(ROOT / "bundle" / "build.py")


@pytest.fixture(scope="module")
def zipped(build: ModuleType, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("bundle")
    wheels = [folder / "pip-1-py3-none-any.whl", folder / "rodhand-0.1.0-py3-none-any.whl"]
    for wheel in wheels:
        wheel.write_bytes(b"made up")
    target: Path = folder / "out" / "bundle.zip"
    build.write_zip(target, wheels, "numpy==1 \\\n    --hash=sha256:0\n", ["3.12"], "a test")
    return target


def contents(zipped: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(zipped) as made:
        return {each.removeprefix("Rodhand/"): made.read(each) for each in made.namelist()}


def modes(zipped: Path) -> dict[str, int]:
    with zipfile.ZipFile(zipped) as made:
        found = made.infolist()
    return {each.filename.removeprefix("Rodhand/"): each.external_attr >> 16 for each in found}


def test_everything_lies_in_one_folder_with_the_start_files_on_top(zipped: Path) -> None:
    with zipfile.ZipFile(zipped) as made:
        assert all(name.startswith("Rodhand/") for name in made.namelist())
    names = set(contents(zipped))
    assert {name for name in names if "/" not in name} == {
        "READ-ME-FIRST.txt", "Start-Rodhand-Linux.desktop", "Start-Rodhand-Linux.sh",
        "Start-Rodhand-Windows.bat", "Start-Rodhand-macOS.command",
    }  # fmt: skip
    assert {name for name in names if name.startswith("phones-too/")} == {
        "phones-too/Start-with-phones-Linux.sh", "phones-too/Start-with-phones-Windows.bat",
        "phones-too/Start-with-phones-macOS.command",
    }  # fmt: skip
    assert {name for name in names if name.startswith("program/")} == {
        "program/start.py", "program/requirements.txt",
        "program/wheels/pip-1-py3-none-any.whl", "program/wheels/rodhand-0.1.0-py3-none-any.whl",
    }  # fmt: skip


def test_line_ends_are_those_of_the_system(zipped: Path) -> None:
    for name, content in contents(zipped).items():
        if name.endswith((".bat", ".txt")) and not name.startswith("program/"):
            assert content.count(b"\n") == content.count(b"\r\n") > 0, name
        elif not name.endswith(".whl"):
            assert b"\r" not in content, name


def test_start_files_may_be_run(zipped: Path) -> None:
    for name, mode in modes(zipped).items():
        runs = name.endswith((".sh", ".command", ".desktop"))
        assert mode == (0o100755 if runs else 0o100644), name


def test_no_path_of_one_machine_no_host_and_no_place_left_open(zipped: Path) -> None:
    for name, content in contents(zipped).items():
        if not name.endswith((".whl", ".py")):
            text = content.decode("ascii")  # an old console shows nothing else right
            assert not MACHINE_PATH.search(text), name
            assert "://" not in text, name
            assert not PLACE.search(text), name
    assert not MACHINE_PATH.search(contents(zipped)["program/start.py"].decode())


@pytest.mark.parametrize("name", ["Start-Rodhand-Linux.sh", "Start-Rodhand-macOS.command"])
def test_the_python_it_was_built_for_is_looked_for_first(zipped: Path, name: str) -> None:
    line = next(x for x in contents(zipped)[name].decode().splitlines() if x.startswith("for "))
    assert line.split()[3:5] == ["python3.12", "python3"]
    assert "-3.12 -3)" in contents(zipped)["Start-Rodhand-Windows.bat"].decode()


def unzipped(zipped: Path, folder: Path) -> Path:
    """The bundle unzipped with modes kept, its start.py replaced by one that tells of itself."""
    with zipfile.ZipFile(zipped) as made:
        made.extractall(folder)
    for name, mode in modes(zipped).items():
        (folder / "Rodhand" / name).chmod(mode & 0o777)
    told = "import os, sys\nprint([os.path.dirname(sys.argv[0]), *sys.argv[1:]])\n"
    (folder / "Rodhand" / "program" / "start.py").write_text(told)
    return folder / "Rodhand"


def desktop_command(text: str, place: str) -> list[str]:
    """Exec of a desktop entry as a desktop runs it (Desktop Entry Specification, from memory):
    the string's own escapes first, then the quoting, then %k for the entry's own place."""
    line = next(x for x in text.splitlines() if x.startswith("Exec="))
    bare = line.removeprefix("Exec=").replace("\\\\", "\\")
    words = [each.replace("\\$", "$") for each in shlex.split(bare)]  # shlex leaves \$ as it is
    return [place if each == "%k" else each for each in words]


@pytest.mark.skipif(sys.platform == "win32", reason="shell start files")
@pytest.mark.parametrize("start", ["sh", "command", "desktop", "phones"])
def test_shell_start_files_start_from_anywhere_in_a_path_with_a_blank(
    zipped: Path, tmp_path: Path, start: str
) -> None:
    top = unzipped(zipped, tmp_path / "my rods & 'more'")
    desktop = top / "Start-Rodhand-Linux.desktop"
    command = {
        "sh": [str(top / "Start-Rodhand-Linux.sh")],
        "command": [str(top / "Start-Rodhand-macOS.command")],
        "phones": [str(top / "phones-too" / "Start-with-phones-Linux.sh")],
        "desktop": desktop_command(desktop.read_text(), str(desktop)),
    }[start]
    done = subprocess.run(
        command, cwd=tmp_path, capture_output=True, text=True, timeout=60, stdin=subprocess.DEVNULL
    )
    assert done.returncode == 0, done.stderr
    more = ["--network"] if start == "phones" else []
    assert done.stdout.strip() == repr([str(top / "program"), *more])


def test_a_start_file_alone_says_that_the_rest_is_missing(zipped: Path, tmp_path: Path) -> None:
    alone = tmp_path / "start.sh"
    alone.write_bytes(contents(zipped)["Start-Rodhand-Linux.sh"])
    done = subprocess.run(
        ["sh", str(alone)], capture_output=True, text=True, timeout=60, stdin=subprocess.DEVNULL
    )
    assert done.returncode == 3
    assert "Unzip the bundle again" in done.stdout


LOCK = """\
colorama==0.4.6 ; sys_platform == 'win32' \\
    --hash=sha256:aa
numpy==2.4.6 ; python_full_version < '3.12' \\
    --hash=sha256:bb \\
    --hash=sha256:cc
numpy==2.5.5 ; python_full_version >= '3.12' \\
    --hash=sha256:dd
pytest==9.0 \\
    --hash=sha256:ee
"""


def test_the_lock_is_cut_to_what_runs(build: ModuleType) -> None:
    cut = build.runtime_lock(LOCK, {"numpy", "colorama", "not-locked"})
    assert cut == LOCK.partition("pytest")[0]


@pytest.mark.parametrize(
    ("system", "python", "kept"),
    [
        ("windows", "3.12", ["colorama==0.4.6", "numpy==2.5.5", "pytest==9.0"]),
        ("windows", "3.11", ["colorama==0.4.6", "numpy==2.4.6", "pytest==9.0"]),
        ("linux", "3.13", ["numpy==2.5.5", "pytest==9.0"]),
        ("macos-arm", "3.11", ["numpy==2.4.6", "pytest==9.0"]),
    ],
)
def test_lines_of_another_system_by_its_markers(
    build: ModuleType, system: str, python: str, kept: list[str]
) -> None:
    cut = build.for_system(LOCK, build.SYSTEMS[system].environment, python)
    assert re.findall(r"(?m)^\w\S+", cut) == kept
    assert ";" not in cut
    assert cut.count("--hash") == len(kept) + ("numpy==2.4.6" in kept)


def test_what_rodhand_needs_follows_the_projects_it_names(build: ModuleType) -> None:
    names = build.needed_names("rodhand")
    assert {"numpy", "scipy", "typst", "fastapi", "starlette", "markupsafe"} <= names
    assert not {"pytest", "mypy", "ruff", "playwright"} & names


def test_the_environment_is_made_once_and_again_after_a_move(
    build: ModuleType, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    start = module_at(ROOT / "bundle" / "crew" / "start.py")
    program = tmp_path / "program"
    (program / "wheels").mkdir(parents=True)
    for name in ("pip-1-py3-none-any.whl", "rodhand-1-py3-none-any.whl"):
        (program / "wheels" / name).touch()
    (program / "requirements.txt").write_text("numpy==1\n")
    ran: list[list[str]] = []

    def note(command: list[str], **_: object) -> int:
        ran.append(command)
        (program / "environment").mkdir(exist_ok=True)
        return 1 if "--no-index" in command and "-r" in command else 0

    monkeypatch.setattr(start.subprocess, "call", note)
    for name, path in {
        "TOP": tmp_path, "WHEELS": program / "wheels", "ENVIRONMENT": program / "environment",
        "REQUIREMENTS": program / "requirements.txt",
        "STAMP": program / "environment" / "rodhand-stamp",
    }.items():  # fmt: skip
        monkeypatch.setattr(start, name, path)
    start.set_up()
    first, offline, online, own = ran
    assert first[1:3] == ["-m", "venv"]
    assert "--no-index" in offline
    assert "--no-index" not in online
    assert "--require-hashes" in offline
    assert "--require-hashes" in online
    assert own[-1].endswith("rodhand-1-py3-none-any.whl")
    start.set_up()
    assert len(ran) == 4
    monkeypatch.setattr(start, "TOP", tmp_path / "moved")
    start.set_up()
    assert len(ran) == 8
