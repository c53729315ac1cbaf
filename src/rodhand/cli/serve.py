"""`rodhand serve`: the pages of a book on this machine, or its own network, until stopped."""

from __future__ import annotations

import os
import socket
import sys
import threading
import webbrowser
from pathlib import Path
from typing import Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, AsOf, BookFolder
from rodhand.words import say

HOST = "127.0.0.1"
EVERYWHERE = "0.0.0.0"
PORT = 8420
TRIES = 20
HIGHEST = 65535


def serve(
    book: BookFolder = DEFAULT_BOOK,
    as_of: AsOf = "",
    port: Annotated[
        int, typer.Option("--port", help=say("serve.help_port"), min=0, max=HIGHEST - TRIES)
    ] = PORT,
    open_browser: Annotated[bool, typer.Option("--open", help=say("serve.help_open"))] = False,
    network: Annotated[bool, typer.Option("--network", help=say("serve.help_network"))] = False,
    tls: Annotated[bool, typer.Option("--tls", help=say("trust.help_tls"))] = False,
) -> None:
    """Open the pages of a book on this machine; a busy port is stepped over."""
    from rodhand.book.entry.carrying import as_of_day

    serve_book(book, as_of_day(as_of), port, open_browser, network, tls)


def free_socket(port: int, host: str = HOST) -> socket.socket:
    """A listening socket on the first free port from a given one on."""
    for number in range(port, port + TRIES):
        listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        if os.name != "nt":  # there it would share a busy port instead of stepping over it
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((host, number))
            listener.listen()
        except OSError:
            listener.close()
            continue
        return listener
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.bind((host, 0))
    listener.listen()
    return listener


def show_in_browser(address: str) -> None:
    """Open the system's browser, if there is a screen; a browser for terminals would take ours."""
    is_plain_unix = os.name == "posix" and sys.platform != "darwin"
    if is_plain_unix and not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        return
    threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()


def serve_book(
    folder: Path,
    as_of: str = "",
    port: int = PORT,
    open_browser: bool = False,
    network: bool = False,
    tls: bool = False,
) -> None:
    """Serve a book's pages until stopped; the address is printed first. TLS is for a network."""
    import uvicorn

    from rodhand.book.entry.start import needs_start
    from rodhand.faults import DamagedError
    from rodhand.web.app import create_app
    from rodhand.web.book_desk import BookDesk
    from rodhand.web.door import Door
    from rodhand.web.ready import make_ready
    from rodhand.web.trust import trust_of

    desk = BookDesk(folder, as_of)
    try:
        if not needs_start(folder):  # an empty folder leads to the page that starts a book
            desk.week()  # a book that cannot be read is told before the address
    except DamagedError as error:  # its last copy can be brought back on a page
        print(say("copies.damaged", path=error.path, reason=error.reason), file=sys.stderr)
        print(say("copies.serve_damaged"), file=sys.stderr)
    own = trust_of(folder) if tls else None
    network, scheme = network or tls, "https" if tls else "http"
    listener = free_socket(port, EVERYWHERE if network else HOST)
    number = listener.getsockname()[1]
    door = Door(folder, number, scheme) if network else None
    address = f"{scheme}://{HOST}:{number}/"
    print(say("serve.address_here" if door else "serve.address", address=address))
    if door:
        found = "  ".join(door.addresses())
        key = "serve.network" if found else "serve.no_network"
        print(say(key, addresses=found, key=door.key))
        print(say("trust.served" if own else "serve.network_warning"))
    sys.stdout.flush()
    make_ready(folder)
    if open_browser:
        show_in_browser(address)
    # Nothing stands between a phone and this server whose word about the sender would count.
    config = uvicorn.Config(
        create_app(desk, door), log_level="warning", proxy_headers=False,
        ssl_certfile=own.server if own else None, ssl_keyfile=own.key if own else None,
    )  # fmt: skip
    uvicorn.Server(config).run(sockets=[listener])
