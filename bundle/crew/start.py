"""Start Rodhand from an unzipped bundle; needs nothing but Python 3.11 and its own library.

Everything it makes lies beside it: the environment in `program/environment`, the book in `book`.
Sentences stand here and not in the words catalogue because this file runs before anything is
installed. It keeps to syntax that older Pythons can read, so that they can say they are old.
"""

import os
import subprocess
import sys
from pathlib import Path

PROGRAM = Path(__file__).resolve().parent
TOP = PROGRAM.parent
WHEELS = PROGRAM / "wheels"
REQUIREMENTS = PROGRAM / "requirements.txt"
ENVIRONMENT = PROGRAM / "environment"
STAMP = ENVIRONMENT / "rodhand-stamp"
BOOK = TOP / "book"
OLDEST = (3, 11)
CANNOT = 3


def python():
    """Path of the Python inside the private environment."""
    return ENVIRONMENT / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def stop(message):
    """Leave with a message for the person who started it."""
    print("\n" + message, file=sys.stderr, flush=True)
    sys.exit(CANNOT)


def stamp():
    """Where the environment lives, which Python runs it and what is installed in it."""
    wheels = sorted(each.name for each in WHEELS.glob("*.whl"))
    asked = REQUIREMENTS.read_text(encoding="utf-8")
    return "\n".join([sys.version.replace("\n", " "), str(TOP), *wheels, asked])


def one_wheel(name):
    """Path of the wheel of a project inside the bundle."""
    found = sorted(WHEELS.glob(name + "-*.whl"))
    if not found:
        stop(f"A part of the bundle is missing ({name}). Unzip it again, all of it.")
    return found[-1]


def install(*what, quiet=False):
    """Install into the private environment with the bundle's own pip; whether it worked."""
    pip = [str(python()), str(one_wheel("pip") / "pip"), "install", "--quiet"]
    pip += ["--disable-pip-version-check", "--no-cache-dir", "--only-binary", ":all:"]
    told = subprocess.DEVNULL if quiet else None
    return subprocess.call([*pip, *map(str, what)], stderr=told, stdout=told) == 0


def set_up():
    """Make the environment from the wheels of the bundle, or do nothing if it stands."""
    if sys.version_info < OLDEST:
        stop(
            "Rodhand needs Python {}.{} or newer; this is {}.{}. Install a newer Python and "
            "start again.".format(*OLDEST, *sys.version_info[:2])
        )
    wanted = stamp()
    if STAMP.exists() and STAMP.read_text(encoding="utf-8") == wanted:
        return
    print("Setting up, once; this takes about a minute. Nothing outside this folder is changed.")
    print(f"Folder: {TOP}", flush=True)
    # The bundle brings its own pip: some systems ship a Python without one.
    made = [sys.executable, "-m", "venv", "--clear", "--without-pip", str(ENVIRONMENT)]
    if subprocess.call(made) != 0:
        stop(
            "The lines above say why it did not work. Is the folder on a disk that can be written?"
        )
    asked = ["--require-hashes", "--find-links", WHEELS, "-r", REQUIREMENTS]
    if not install("--no-index", *asked, quiet=True):
        print("This bundle was not built for this system and this Python ({}.{}): fetching what "
              "it lacks from the net ...".format(*sys.version_info[:2]), flush=True)  # fmt: skip
        if not install(*asked):
            stop(
                "It could not be fetched; the lines above say why. Use a bundle built for this "
                "system, or start again where there is a net."
            )
    if not install("--no-index", "--no-deps", one_wheel("rodhand")):
        stop("Set-up did not finish; the lines above say why.")
    STAMP.write_text(wanted, encoding="utf-8")


def main(arguments):
    """Set up if need be, then open the pages of the book beside the start file."""
    set_up()
    print(f"Book: {BOOK}")
    print("Leave this window open while you work; closing it ends Rodhand.", flush=True)
    command = [str(python()), "-m", "rodhand", "serve", "--book", str(BOOK), "--open", *arguments]
    try:
        return subprocess.call(command, cwd=str(TOP))
    except KeyboardInterrupt:
        return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
