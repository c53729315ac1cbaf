"""dev.py: what it tells and gives back, with its commands replaced."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType, SimpleNamespace

import pytest

from house import ROOT


@pytest.fixture
def dev(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> ModuleType:
    """The module, its environment in an empty folder, its commands noted and not run."""
    spec = importlib.util.spec_from_file_location("dev", ROOT / "dev.py")
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    venv = tmp_path / ".venv"
    monkeypatch.setattr(module, "VENV", venv)
    monkeypatch.setattr(module, "SCRIPTS", venv / "bin")
    monkeypatch.setattr(module, "STAMP", venv / "rodhand-stamp")
    module.ran = []

    def note(*command: object, **_: object) -> int:
        module.ran.append([str(part) for part in command])
        venv.mkdir(exist_ok=True)
        return 0

    monkeypatch.setattr(module, "call", note)
    monkeypatch.delenv("CI", raising=False)
    monkeypatch.delenv("RODHAND_BROWSER", raising=False)
    return module


def test_set_up_runs_once(dev: ModuleType) -> None:
    dev.set_up()
    assert [command[1:3] for command in dev.ran] == [["-m", "venv"], ["-m", "pip"], ["-m", "pip"]]
    assert {"--require-hashes", "--only-binary"} <= set(dev.ran[1])
    assert {"--no-deps", "--no-build-isolation", "--no-index"} <= set(dev.ran[2])
    dev.set_up()
    assert len(dev.ran) == 3


def test_another_lock_installs_again_and_another_place_starts_anew(dev: ModuleType) -> None:
    dev.set_up()
    python = Path(dev.program("python"))
    python.parent.mkdir()
    python.touch()
    home, content = dev.stamp()
    dev.STAMP.write_text(f"{home}\n{content[::-1]}\n")
    dev.set_up()
    assert [command[2] for command in dev.ran[3:]] == ["pip", "pip"]
    dev.STAMP.write_text(f"{home} moved\n{content}\n")
    dev.set_up()
    assert "--clear" in dev.ran[5]


def test_a_set_up_that_failed_leaves_no_stamp(
    dev: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(dev, "call", lambda *command: 1)
    with pytest.raises(SystemExit) as ended:
        dev.set_up()
    assert ended.value.code == 3
    assert not dev.STAMP.exists()


def test_an_old_python_is_told(
    dev: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(dev, "sys", SimpleNamespace(**vars(sys) | {"version_info": (3, 10, 2)}))
    with pytest.raises(SystemExit) as ended:
        dev.set_up()
    assert ended.value.code == 3
    assert "3.11 or newer; this is 3.10" in capsys.readouterr().err


def test_a_python_without_ensurepip_is_told(
    dev: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "ensurepip", None)
    with pytest.raises(SystemExit) as ended:
        dev.set_up()
    assert ended.value.code == 3
    major, minor = sys.version_info[:2]
    assert f"python{major}.{minor}-venv" in capsys.readouterr().err


@pytest.mark.parametrize(("ci", "code"), [("", 0), ("true", 1)])
def test_without_a_browser_the_rest_runs_and_the_last_line_says_so(
    dev: ModuleType,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    ci: str,
    code: int,
) -> None:
    monkeypatch.setenv("CI", ci)
    monkeypatch.setenv("PATH", "")
    assert dev.main(["test", "tests/unit", "-k", "x"]) == code
    chosen = ["-n", "auto", "--dist", "worksteal", "-m", "not browser", "tests/unit", "-k", "x"]
    assert dev.ran[-1][3:] == chosen
    assert capsys.readouterr().out.splitlines()[-1] == "browser tests NOT RUN: no browser"


def test_with_a_browser_all_tests_run(
    dev: ModuleType,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
) -> None:
    browser = tmp_path / "some browser"
    browser.touch(mode=0o755)
    monkeypatch.setenv("RODHAND_BROWSER", str(browser))
    assert dev.main(["test"]) == 0
    assert dev.ran[-1][1:] == ["-m", "pytest", "-n", "auto", "--dist", "worksteal"]
    assert "NOT RUN" not in capsys.readouterr().out


def test_a_bare_call_lists_the_verbs(dev: ModuleType, capsys: pytest.CaptureFixture[str]) -> None:
    assert dev.main([]) == 0
    told = capsys.readouterr().out
    assert all(verb in told for verb in ("run", "test", "check", "bench"))


@pytest.mark.parametrize("arguments", [["fly"], ["bench", "no_such_benchmark"]])
def test_bad_use_ends_with_two(dev: ModuleType, arguments: list[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        dev.main(arguments)
    assert ended.value.code == 2
