#!/usr/bin/env python3
"""Set up and run Rodhand from a checkout; needs nothing but Python 3.11 and its own library.

Sentences stand here and not in the words catalogue because this file runs before anything
is installed. It keeps to syntax that older Pythons can read, so that they can say they are old.
"""

import hashlib
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
SCRIPTS = VENV / ("Scripts" if os.name == "nt" else "bin")
STAMP = VENV / "rodhand-stamp"
BROWSERS = ("chromium", "chromium-browser", "google-chrome")
EVERY_CORE = ["-n", "auto", "--dist", "worksteal"]
OLDEST = (3, 11)
BAD_USE, CANNOT = 2, 3


def program(name):
    """Path of a program inside the virtual environment."""
    return str(SCRIPTS / (name + ".exe" if os.name == "nt" else name))


def call(*command, **options):
    """Run a command in the checkout and give back its exit code."""
    try:
        return subprocess.call([str(part) for part in command], cwd=str(ROOT), **options)
    except KeyboardInterrupt:
        return 130


def stop(message, code=CANNOT):
    """Leave with a message for the person who typed the command."""
    print(message, file=sys.stderr)
    sys.exit(code)


def stamp():
    """Two lines: where this environment lives and runs, and what is installed in it."""
    home = "{} {}".format(sys.version.replace("\n", " "), ROOT)
    wanted = hashlib.sha256()
    for name in ("requirements.lock", "pyproject.toml"):
        wanted.update((ROOT / name).read_bytes())
    return [home, wanted.hexdigest()]


def set_up():
    """Make the virtual environment hold exactly what the lock names, or do nothing if it does."""
    if sys.version_info < OLDEST:
        stop(
            "Rodhand needs Python {}.{} or newer; this is {}.{}. Start dev.py with a newer "
            "one, for example: python3.11 dev.py".format(*OLDEST, *sys.version_info[:2])
        )
    wanted = stamp()
    standing = STAMP.read_text(encoding="utf-8").splitlines() if STAMP.exists() else None
    if standing == wanted:
        return
    try:
        import ensurepip  # noqa: F401
        import venv  # noqa: F401
    except ImportError:
        stop(
            "This Python lacks the module ensurepip. On Debian or Ubuntu install the package "
            "python{}.{}-venv, then start again.".format(*sys.version_info[:2])
        )
    print("Setting up .venv (about a minute the first time) ...", flush=True)
    # Moved or run by another Python: programs inside point at the old place, so start anew.
    # Anything else (a new lock, a set-up cut short) is brought up to date in place.
    anew = ["--clear"] if standing is not None and standing[:1] != wanted[:1] else []
    STAMP.unlink(missing_ok=True)
    pip = [program("python"), "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    steps = [
        [*pip, "--require-hashes", "--only-binary", ":all:", "-r", "requirements.lock"],
        [*pip, "--no-deps", "--no-build-isolation", "--no-index", "-e", "."],
    ]
    if anew or not Path(program("python")).exists():
        steps.insert(0, [sys.executable, "-m", "venv", *anew, VENV])
    for step in steps:
        if call(*step) != 0:
            stop("Set-up did not finish; the lines above say why. Mend it and start again.")
    STAMP.write_text("\n".join(wanted) + "\n", encoding="utf-8")


def run(arguments):
    """Build the demo book, print this week and serve the pages; --no-serve ends after printing."""
    set_up()
    command = [program("rodhand"), "demo", "--book", str(ROOT / "demo-book"), *arguments]
    if os.name != "nt":
        sys.stdout.flush()
        os.execv(command[0], command)  # so that a signal reaches the server itself
    return call(*command)


def find_browser():
    """Path of the Chromium the browser tests drive, or None."""
    named = os.environ.get("RODHAND_BROWSER")
    return next(filter(None, map(shutil.which, [named] if named else BROWSERS)), None)


def test(arguments):
    """Run the tests on every core; what follows is handed to pytest."""
    set_up()
    browser = find_browser()
    environment = dict(os.environ)
    chosen = EVERY_CORE
    if browser:
        environment["RODHAND_BROWSER"] = browser
    else:
        chosen = [*chosen, "-m", "not browser"]
    code = call(program("python"), "-m", "pytest", *chosen, *arguments, env=environment)
    if not browser:
        print("browser tests NOT RUN: no browser", flush=True)
        if os.environ.get("CI") == "true":
            return code or 1
    return code


def check(arguments):
    """Look at style and types with ruff and mypy."""
    set_up()
    codes = [
        call(program("ruff"), "check", "."),
        call(program("ruff"), "format", "--check", "."),
        call(program("mypy")),
    ]
    return max(codes)


def bench(arguments):
    """Run the benchmarks, all or the named ones; they print figures and judge nothing."""
    set_up()
    there = {path.stem: path for path in sorted((ROOT / "benchmarks").glob("[!_]*.py"))}
    missing = [name for name in arguments if name not in there]
    if missing:
        stop("No benchmark {}; there are: {}".format(", ".join(missing), ", ".join(there)), BAD_USE)
    return max([call(program("python"), there[name]) for name in arguments or there], default=0)


def bundle(arguments):
    """Build a zip that a crew unzips and starts by double click; --help tells its options."""
    set_up()
    return call(program("python"), ROOT / "bundle" / "build.py", *arguments)


VERBS = {"run": run, "test": test, "check": check, "bench": bench, "bundle": bundle}


def main(arguments):
    """Do one verb; without one, list them."""
    if not arguments or arguments[0] in ("-h", "--help"):
        print("python3 dev.py VERB [...]")
        for name, verb in VERBS.items():
            print(f"  {name:7} {verb.__doc__}")
        return 0
    if arguments[0] not in VERBS:
        stop("No verb {!r}; there are: {}".format(arguments[0], ", ".join(VERBS)), BAD_USE)
    return VERBS[arguments[0]](arguments[1:])


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
