"""The certificate by which a device trusts this machine: an own issuer, bound to private networks.

Made with the system's ``openssl``. The issuer may sign for addresses of private networks and for
names ending in ``.local`` only (name constraints, RFC 5280 section 4.2.1.10, from memory): whoever
installs it on a tablet lets it vouch for nothing else.
"""

from __future__ import annotations

import os
import platform
import re
import shutil
import subprocess
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from rodhand.faults import CannotReadError
from rodhand.web.door import own_addresses

FOLDER = "trust"
ISSUER, ISSUER_KEY, SERVER, SERVER_KEY = "issuer.crt", "issuer.key", "server.crt", "server.key"
ISSUER_DAYS = 3650
SERVER_DAYS = 800
"""Below the 825 days beyond which some devices refuse a server's certificate (from memory)."""
RENEW_BEFORE = 30 * 24 * 3600
"""A server's certificate with less time left than this is made anew. [s]"""
PRIVATE = (
    "10.0.0.0/255.0.0.0", "172.16.0.0/255.240.0.0", "192.168.0.0/255.255.0.0",
    "169.254.0.0/255.255.0.0", "127.0.0.0/255.0.0.0",
)  # fmt: skip
"""Networks the issuer may vouch in (RFC 1918, 3927 and 1122, from memory)."""
NAMES = ("local", "localhost")
TIME_LIMIT = 60.0
"""Longest that openssl may take for one step. [s]"""


@dataclass(frozen=True)
class Trust:
    """Files of a machine's certificate.

    Parameters
    ----------
    issuer : Path
        What a device installs once.
    server, key : Path
        What the pages are served with.
    fingerprint : str
        SHA-256 of the issuer's certificate, to be compared on the device.
    names : tuple of str
        Addresses and names the server's certificate holds for.
    """

    issuer: Path
    server: Path
    key: Path
    fingerprint: str
    names: tuple[str, ...]


def names_here() -> tuple[str, ...]:
    """Addresses and names by which devices reach this machine, its loopback first."""
    host = re.sub(r"[^a-z0-9-]", "", platform.node().partition(".")[0].lower())
    own = (f"{host}.local",) if host else ()
    return ("127.0.0.1", "localhost", *own_addresses(), *own)


def trust_of(folder: Path, names: Sequence[str] = ()) -> Trust:
    """The certificate of a book's machine; made where there is none, renewed where it must be.

    Parameters
    ----------
    folder : Path
        The book's folder; the files lie in its folder ``trust`` and are in no copy of the book.
    names : sequence of str, optional
        Addresses and names of this machine; found out when empty.

    Returns
    -------
    Trust
        The issuer stays the same for ten years, so that a device installs it once. The server's
        certificate is made anew when the machine has other addresses, or it runs out.

    Raises
    ------
    CannotReadError
        If there is no ``openssl``, it fails, or the files cannot be written.
    """
    place = folder / FOLDER
    wanted = tuple(dict.fromkeys(names or names_here()))
    try:
        place.mkdir(parents=True, exist_ok=True, mode=0o700)
        if not (place / ISSUER).exists() or not (place / ISSUER_KEY).exists():
            _make_issuer(place)
            (place / SERVER).unlink(missing_ok=True)
        if not _serves(place, wanted):
            _make_server(place, wanted)
    except OSError as error:
        raise CannotReadError(str(place), f"{error.strerror or error}") from error
    told = _openssl("x509", "-in", place / ISSUER, "-noout", "-fingerprint", "-sha256")
    return Trust(
        place / ISSUER, place / SERVER, place / SERVER_KEY, told.partition("=")[2].strip(), wanted
    )


def _make_issuer(place: Path) -> None:
    allowed = [f"permitted;IP:{each}" for each in PRIVATE]
    allowed += [f"permitted;DNS:{each}" for each in NAMES]
    key = _new_key(place / ISSUER_KEY)
    _openssl(
        "req", "-x509", "-new", "-key", key, "-sha256", "-days", str(ISSUER_DAYS),
        "-subj", f"/CN=Rodhand {platform.node()[:40] or FOLDER}", "-out", place / ISSUER,
        "-addext", "basicConstraints=critical,CA:TRUE,pathlen:0",
        "-addext", "keyUsage=critical,keyCertSign,cRLSign",
        "-addext", f"nameConstraints=critical,{','.join(allowed)}",
    )  # fmt: skip


def _make_server(place: Path, names: tuple[str, ...]) -> None:
    key = _new_key(place / SERVER_KEY)
    with tempfile.TemporaryDirectory() as made:
        asked, more = Path(made) / "server.csr", Path(made) / "server.cnf"
        more.write_text(
            f"subjectAltName={','.join(_alternative(each) for each in names)}\n"
            "basicConstraints=critical,CA:FALSE\nkeyUsage=critical,digitalSignature\n"
            "extendedKeyUsage=serverAuth\n",
            encoding="ascii",
        )
        _openssl("req", "-new", "-key", key, "-subj", "/CN=Rodhand", "-out", asked)
        _openssl(
            "x509", "-req", "-in", asked, "-CA", place / ISSUER, "-CAkey", place / ISSUER_KEY,
            "-CAcreateserial", "-sha256", "-days", str(SERVER_DAYS), "-extfile", more,
            "-out", place / SERVER,
        )  # fmt: skip


def _alternative(name: str) -> str:
    return f"IP:{name}" if re.fullmatch(r"[0-9.]+", name) else f"DNS:{name}"


def _serves(place: Path, names: tuple[str, ...]) -> bool:
    """Whether the server's certificate holds for all the names, and long enough."""
    if not (place / SERVER).exists() or not (place / SERVER_KEY).exists():
        return False
    told = _openssl("x509", "-in", place / SERVER, "-noout", "-ext", "subjectAltName")
    known = set(re.findall(r"(?:IP Address|DNS):([^,\s]+)", told))
    return set(names) <= known and _holds_on(place / SERVER)


def _holds_on(certificate: Path) -> bool:
    done = _run("x509", "-in", certificate, "-noout", "-checkend", str(RENEW_BEFORE))
    return done.returncode == 0


def _new_key(file: Path) -> Path:
    """A new key on the curve P-256, for its owner's eyes only."""
    file.unlink(missing_ok=True)
    os.close(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
    _openssl("ecparam", "-name", "prime256v1", "-genkey", "-noout", "-out", file)
    return file


def _openssl(*arguments: str | Path) -> str:
    done = _run(*arguments)
    if done.returncode:
        raise CannotReadError("openssl", done.stderr.strip()[-300:])
    return done.stdout


def _run(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
    program = shutil.which("openssl")
    if program is None:
        raise CannotReadError("openssl", "not found")
    try:
        return subprocess.run(
            [program, *map(str, arguments)],
            capture_output=True, text=True, timeout=TIME_LIMIT, check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired as error:
        raise CannotReadError("openssl", f"{error}") from error
