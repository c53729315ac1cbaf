"""The machine's certificate: a client that trusts it is let in, it vouches for nothing else."""

from __future__ import annotations

import ssl
import stat
import subprocess
import threading
import time
import urllib.request
from pathlib import Path

import pytest
import uvicorn
from typer.testing import CliRunner

from rodhand.cli.main import app
from rodhand.cli.serve import free_socket
from rodhand.faults import CannotReadError
from rodhand.web import trust
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk
from rodhand.web.trust import Trust, trust_of


@pytest.fixture
def made(folder: Path) -> Trust:
    return trust_of(folder, ("127.0.0.1", "localhost", "192.168.7.1"))


def test_a_browser_that_trusts_the_issuer_is_let_in(folder: Path, made: Trust) -> None:
    listener = free_socket(18420)
    config = uvicorn.Config(
        create_app(BookDesk(folder)), log_level="warning",
        ssl_certfile=made.server, ssl_keyfile=made.key,
    )  # fmt: skip
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    address = f"https://127.0.0.1:{listener.getsockname()[1]}"
    trusting = ssl.create_default_context(cafile=str(made.issuer))
    with urllib.request.urlopen(f"{address}/trust.crt", context=trusting, timeout=10) as answer:
        assert answer.read() == made.issuer.read_bytes()
    with pytest.raises(OSError, match="CERTIFICATE_VERIFY_FAILED"):
        urllib.request.urlopen(f"{address}/static/icon.svg", timeout=10)
    server.should_exit = True
    thread.join(10)


def verified(made: Trust, folder: Path, names: tuple[str, ...]) -> bool:
    """Whether openssl, told to trust the issuer, takes a certificate the issuer signs for names."""
    trust._make_server(folder / trust.FOLDER, names)
    done = subprocess.run(
        ["openssl", "verify", "-CAfile", str(made.issuer), str(made.server)],
        capture_output=True, text=True, timeout=20, check=False,
    )  # fmt: skip
    assert done.returncode == 0 or "permitted subtree violation" in done.stderr
    return done.returncode == 0


def test_the_issuer_vouches_for_private_networks_only(folder: Path, made: Trust) -> None:
    assert verified(made, folder, ("192.168.7.1", "truck.local"))
    assert not verified(made, folder, ("bank.example",))
    assert not verified(made, folder, ("203.0.113.5",))


def test_the_issuer_stays_and_the_servers_follows_the_addresses(folder: Path, made: Trust) -> None:
    issuer, server = made.issuer.read_bytes(), made.server.read_bytes()
    same = trust_of(folder, ("127.0.0.1", "localhost", "192.168.7.1"))
    assert (same.issuer.read_bytes(), same.server.read_bytes()) == (issuer, server)
    moved = trust_of(folder, ("127.0.0.1", "10.1.2.3"))
    assert moved.issuer.read_bytes() == issuer
    assert moved.server.read_bytes() != server
    assert moved.fingerprint == made.fingerprint


def test_keys_are_for_their_owner_only(made: Trust) -> None:
    for file in (made.key, made.issuer.with_suffix(".key")):
        assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_the_command_tells_the_steps(folder: Path) -> None:
    told = CliRunner().invoke(app, ["trust", "--book", str(folder)])
    assert told.exit_code == 0
    assert trust_of(folder).fingerprint in told.output


def test_without_openssl_it_says_so(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    with pytest.raises(CannotReadError):
        trust_of(folder)
