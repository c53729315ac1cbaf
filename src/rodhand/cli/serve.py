"""`rodhand serve`: the pages of a book on this machine, until stopped."""

from __future__ import annotations

import socket
import sys
from pathlib import Path
from typing import Annotated

import typer

from rodhand.cli.book_options import DEFAULT_BOOK, AsOf, BookFolder
from rodhand.words import say

HOST = "127.0.0.1"
PORT = 8420
TRIES = 20


def serve(
    book: BookFolder = DEFAULT_BOOK,
    as_of: AsOf = "",
    port: Annotated[int, typer.Option("--port", help=say("serve.help_port"))] = PORT,
) -> None:
    """Open the pages of a book on this machine only; a busy port is stepped over."""
    serve_book(book, as_of, port)


def free_socket(port: int) -> socket.socket:
    """A listening socket on the first free port from a given one on, this machine only."""
    for number in range(port, port + TRIES):
        listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((HOST, number))
            listener.listen()
        except OSError:
            listener.close()
            continue
        return listener
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.bind((HOST, 0))
    listener.listen()
    return listener


def serve_book(folder: Path, as_of: str = "", port: int = PORT) -> None:
    """Serve a book's pages until stopped; the address is printed first."""
    import uvicorn

    from rodhand.faults import DamagedError
    from rodhand.web.app import create_app
    from rodhand.web.book_desk import BookDesk

    desk = BookDesk(folder, as_of)
    try:
        desk.week()  # a book that cannot be read is told before the address
    except DamagedError as error:  # its last copy can be brought back on a page
        print(say("copies.damaged", path=error.path, reason=error.reason), file=sys.stderr)
        print(say("copies.serve_damaged"), file=sys.stderr)
    listener = free_socket(port)
    address = f"http://{HOST}:{listener.getsockname()[1]}/"
    print(say("serve.address", address=address), flush=True)
    config = uvicorn.Config(create_app(desk), log_level="warning")
    uvicorn.Server(config).run(sockets=[listener])
