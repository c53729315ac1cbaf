"""A book's pages served on a free loopback port, for tests that need a real book."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import uvicorn

from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """Address of a book's pages for as long as the block runs."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    app = create_app(BookDesk(folder))
    server = uvicorn.Server(uvicorn.Config(app, host="127.0.0.1", port=port, log_level="warning"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    for _ in range(200):
        if server.started:
            break
        time.sleep(0.05)
    yield f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join(10)
