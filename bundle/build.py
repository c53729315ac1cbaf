"""Build the bundle: a zip that a crew unzips and starts by double click.

It holds a wheel of Rodhand, the wheels it needs for the systems and Pythons asked for, pip, and
the start files of `bundle/crew`. Run it through `python3 dev.py bundle`.
"""

from __future__ import annotations

import argparse
import importlib.metadata
import platform
import re
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from packaging.markers import Marker, default_environment
from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[1]
CREW = ROOT / "bundle" / "crew"
THIS_PYTHON = "{}.{}".format(*sys.version_info[:2])
PYTHONS = ("3.14", "3.13", "3.12", "3.11")
"""Pythons a start file looks for by name, after those the bundle was built for."""
RUN, PLAIN = 0o755, 0o644
CANNOT = 3
TOP = "Rodhand"
IN_PROGRAM = ("start.py",)


@dataclass(frozen=True)
class System:
    """A system other than this one, as pip and markers name it."""

    title: str
    tags: tuple[str, ...]
    environment: Mapping[str, str]


def _environment(sys_platform: str, os_name: str, system: str, machine: str) -> dict[str, str]:
    return {
        "sys_platform": sys_platform, "os_name": os_name, "platform_system": system,
        "platform_machine": machine,
    }  # fmt: skip


LINUX_TAGS = (
    *(f"manylinux_2_{minor}_x86_64" for minor in range(28, 16, -1)),
    "manylinux2014_x86_64",
)
SYSTEMS = {
    "windows": System(
        "Windows, 64 bit", ("win_amd64",), _environment("win32", "nt", "Windows", "AMD64")
    ),
    "macos-arm": System(
        "macOS 14 or newer, Apple silicon", ("macosx_14_0_arm64",),
        _environment("darwin", "posix", "Darwin", "arm64"),
    ),
    "macos-intel": System(
        "macOS 14 or newer, Intel", ("macosx_14_0_x86_64",),
        _environment("darwin", "posix", "Darwin", "x86_64"),
    ),
    "linux": System(
        "Linux, 64 bit x86", LINUX_TAGS, _environment("linux", "posix", "Linux", "x86_64")
    ),
}  # fmt: skip


def lock_lines(text: str) -> dict[str, str]:
    """Each project of a lock with its whole line: version, marker and hashes.

    Notes
    -----
    A project may stand twice, for different Pythons; its lines are then kept together.
    """
    found: dict[str, str] = {}
    for each in re.split(r"(?m)^(?=[A-Za-z0-9])", text):
        if each.strip() and not each.startswith("#"):
            name = re.split(r"[=\s]", each, maxsplit=1)[0]
            found[name] = found.get(name, "") + each
    return found


def needed_names(start: str) -> set[str]:
    """Projects that one needs when it runs, with all they need; extras are left out."""
    found: set[str] = set()
    waiting = [start]
    while waiting:
        name = waiting.pop()
        try:
            wanted = importlib.metadata.requires(name) or []
        except importlib.metadata.PackageNotFoundError:
            continue  # one of another system; the lock names its line all the same
        for requirement in map(Requirement, wanted):
            own = _normal(requirement.name)
            if "extra" not in str(requirement.marker or "") and own not in found:
                found.add(own)
                waiting.append(own)
    return found


def _normal(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def runtime_lock(text: str, names: Iterable[str]) -> str:
    """The part of a lock that is needed to run, without what serves building and tests."""
    lines = lock_lines(text)
    return "".join(lines[name] for name in sorted(set(names) & set(lines)))


def for_system(lock: str, environment: Mapping[str, str], python: str) -> str:
    """The lines of a lock that hold for one system and Python, without their markers.

    Notes
    -----
    pip weighs markers by the machine it runs on, not by the one it fetches for.
    """
    about = {**default_environment(), **environment, "python_version": python,
             "python_full_version": f"{python}.0"}  # fmt: skip
    kept = []
    for each in re.split(r"(?m)^(?=[A-Za-z0-9])", lock):
        head, _, hashes = each.partition("\\\n")
        requirement, _, marker = head.partition(";")
        if requirement.strip() and (not marker.strip() or Marker(marker.strip()).evaluate(about)):
            kept.append(f"{requirement.strip()} \\\n{hashes}")
    return "".join(kept)


def _pip(*arguments: object) -> int:
    command = [sys.executable, "-m", "pip", *map(str, arguments), "--quiet"]
    return subprocess.call([*command, "--disable-pip-version-check"], cwd=ROOT)


def fetch(lock: str, folder: Path, system: System | None, python: str) -> bool:
    """Fetch the wheels of a lock for a system (None: this one); whether all could be had."""
    environment = system.environment if system else {}
    with tempfile.TemporaryDirectory() as scratch:
        asked = Path(scratch) / "asked.txt"
        asked.write_text(for_system(lock, environment, python), encoding="utf-8")
        more: list[str] = []
        if system or python != THIS_PYTHON:
            more += ["--python-version", python, "--implementation", "cp"]
        for tag in system.tags if system else ():
            more += ["--platform", tag]
        return _pip("download", "--no-deps", "--only-binary", ":all:", "--require-hashes",
                    "-r", asked, "-d", folder, *more) == 0  # fmt: skip


def build_wheel(folder: Path) -> None:
    """Build Rodhand's own wheel from this checkout."""
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    if subprocess.call(command, cwd=ROOT, stdout=subprocess.DEVNULL) != 0:
        sys.exit(CANNOT)


def filled(text: str, pythons: Sequence[str], systems: str) -> str:
    """A start file's text with the Pythons to look for, best first, and what it was built for."""
    order = [*pythons, *(each for each in PYTHONS if each not in pythons)]
    named = [f"python{each}" for each in order]
    places = {
        "{pythons}": " ".join([*named[: len(pythons)], "python3", *named[len(pythons) :]]),
        "{py_versions}": " ".join([*(f"-{each}" for each in pythons), "-3"]),
        "{systems}": systems,
        "{version}": importlib.metadata.version("rodhand"),
    }
    for place, what in places.items():
        text = text.replace(place, what)
    return text


def crew_files(pythons: Sequence[str], systems: str) -> dict[str, tuple[bytes, int]]:
    """Start files by their path in the zip: content, with the line ends of its system, and mode."""
    found = {}
    for path in sorted(each for each in CREW.rglob("*") if each.is_file()):
        name = path.relative_to(CREW).as_posix()
        text = filled(path.read_text(encoding="utf-8"), pythons, systems)
        if path.suffix in (".bat", ".txt"):
            text = text.replace("\n", "\r\n")
        place = f"program/{name}" if name in IN_PROGRAM else name
        mode = RUN if path.suffix in (".sh", ".command", ".desktop") else PLAIN
        found[place] = (text.encode("utf-8"), mode)
    return found


def write_zip(
    target: Path, wheels: Sequence[Path], lock: str, pythons: Sequence[str], systems: str
) -> None:
    """Write the bundle.

    Parameters
    ----------
    target : Path
        The zip to write.
    wheels : sequence of Path
        Everything that goes into `program/wheels`.
    lock : str
        What the first start installs, with hashes.
    pythons : sequence of str
        Pythons it was built for, as ``3.12``, best first.
    systems : str
        What it was built for, in words.
    """
    files = crew_files(pythons, systems)
    files["program/requirements.txt"] = (lock.encode("utf-8"), PLAIN)
    target.parent.mkdir(parents=True, exist_ok=True)
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as made:
        for name, (content, mode) in files.items():
            made.writestr(_entry(name, mode), content, zipfile.ZIP_DEFLATED)
        for wheel in wheels:
            entry = _entry(f"program/wheels/{wheel.name}", PLAIN)
            made.writestr(entry, wheel.read_bytes(), zipfile.ZIP_STORED)


def _entry(name: str, mode: int) -> zipfile.ZipInfo:
    """An entry with a Unix mode, which unzipping keeps."""
    entry = zipfile.ZipInfo(f"{TOP}/{name}")
    entry.create_system = 3  # Unix
    entry.external_attr = (0o100000 | mode) << 16
    return entry


def build(systems: Sequence[str], pythons: Sequence[str], out: Path) -> int:
    """Build wheel and zip; 0, or 3 if wheels could not be had."""
    lock = runtime_lock(
        (ROOT / "requirements.lock").read_text(encoding="utf-8"), needed_names("rodhand")
    )
    wanted = [SYSTEMS[name] for name in systems] or [None]
    here = f"{platform.system()} {platform.machine()}"
    titles = ", ".join(each.title if each else here for each in wanted)
    told = f"{titles}; Python {', '.join(pythons)}"
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        build_wheel(folder)
        got = [_pip("download", "--no-deps", "--only-binary", ":all:", "--require-hashes",
                    "-r", ROOT / "bundle" / "pip.lock", "-d", folder) == 0]  # fmt: skip
        for system in wanted:
            for python in pythons:
                got.append(fetch(lock, folder, system, python))
                title = system.title if system else here
                if not got[-1]:
                    print(f"Wheels for {title}, Python {python}, could not be had.")
        if not all(got):
            return CANNOT
        name = "+".join(systems) or here.lower().replace(" ", "-")
        version = importlib.metadata.version("rodhand")
        target = out / f"rodhand-{version}-{name}-python{'+'.join(pythons)}.zip"
        write_zip(target, sorted(folder.glob("*.whl")), lock, pythons, told)
        for wheel in folder.glob("rodhand-*.whl"):
            (out / wheel.name).write_bytes(wheel.read_bytes())
    print(f"{target}  ({target.stat().st_size / 1e6:.0f} MB)")
    print(f"It starts without a net on: {told}. Elsewhere its first start needs one.")
    return 0


def main(arguments: Sequence[str]) -> int:
    """Read the options and build."""
    parser = argparse.ArgumentParser(prog="dev.py bundle", description=__doc__)
    parser.add_argument("--for", dest="systems", action="append", default=[], choices=SYSTEMS)
    parser.add_argument("--python", dest="pythons", action="append", default=[], metavar="X.Y")
    parser.add_argument("--out", type=Path, default=ROOT / "dist")
    asked = parser.parse_args(arguments)
    return build(asked.systems, asked.pythons or [THIS_PYTHON], asked.out)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
