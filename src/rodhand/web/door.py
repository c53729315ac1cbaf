"""Who may come in from the network: a key for phones and tablets, kept beside the book."""

from __future__ import annotations

import contextlib
import os
import secrets
import socket
from pathlib import Path

from rodhand.faults import CannotReadError

FILE = "phones-key.txt"
LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
"""Letters and digits that nobody takes for one another."""
LENGTH, GROUP = 10, 5
PROBES = ("192.0.2.1", "10.255.255.255", "172.31.255.255", "192.168.255.255")
"""Addresses a socket is pointed at to learn its own: one for documentation (RFC 5737, from
memory), three of private networks (RFC 1918, from memory). Nothing is sent to them."""


def new_key() -> str:
    """A key nobody guesses: 10 of 31 letters by the system's random source, about 49 bits."""
    drawn = "".join(secrets.choice(LETTERS) for _ in range(LENGTH))
    return f"{drawn[:GROUP]}-{drawn[GROUP:]}"


def plain(typed: str) -> str:
    """A key as compared: capital letters and digits only."""
    return "".join(each for each in typed.upper() if each.isascii() and each.isalnum())


class Door:
    """The key of a book served on a network.

    Parameters
    ----------
    folder : Path
        The book's folder; the key lies in it as a file of its own and is in no copy of the book.
    port : int
        Port the pages are served on.
    scheme : {"http", "https"}
        How they are served.

    Raises
    ------
    CannotReadError
        If the key cannot be read or written.
    """

    def __init__(self, folder: Path, port: int, scheme: str = "http") -> None:
        self._file = folder / FILE
        self.port = port
        self.scheme = scheme
        self.key = self._read() or self.renew()

    def _read(self) -> str:
        try:
            text = self._file.read_text(encoding="utf-8").strip()
        except FileNotFoundError:
            return ""
        except (OSError, UnicodeDecodeError) as error:
            raise CannotReadError(str(self._file), f"{error}") from error
        return text if len(plain(text)) >= LENGTH else ""

    def renew(self) -> str:
        """Make and keep another key; whoever holds the old one is out."""
        key = new_key()
        try:
            self._file.parent.mkdir(parents=True, exist_ok=True)
            self._file.unlink(missing_ok=True)
            made = os.open(self._file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
            with os.fdopen(made, "w", encoding="utf-8") as file:
                file.write(key + "\n")
        except OSError as error:
            raise CannotReadError(str(self._file), f"{error.strerror or error}") from error
        self.key = key
        return key

    def opens(self, typed: str) -> bool:
        """Whether what was typed or sent is the key."""
        return secrets.compare_digest(plain(typed).encode(), plain(self.key).encode())

    def addresses(self) -> list[str]:
        """Addresses at which others on this machine's networks reach the pages."""
        return [f"{self.scheme}://{each}:{self.port}/" for each in own_addresses()]


def own_addresses() -> list[str]:
    """IPv4 addresses of this machine on its networks, without the loopback; nothing is sent."""
    found: list[str] = []
    for probe in PROBES:
        with (
            contextlib.suppress(OSError),
            socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking,
        ):
            asking.connect((probe, 9))
            found.append(asking.getsockname()[0])
    with contextlib.suppress(OSError):
        found += socket.gethostbyname_ex(socket.gethostname())[2]
    return [each for each in dict.fromkeys(found) if not each.startswith(("127.", "0."))]
