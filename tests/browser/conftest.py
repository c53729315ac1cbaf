"""A real browser on the pages, served on a loopback port."""

from __future__ import annotations

import os
import shutil
import socket
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, Page, expect, sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "unit" / "web"))

from web_sample_desk import SampleDesk

from rodhand.web.app import create_app

NAMES = ("chromium", "chromium-browser", "google-chrome")
SWITCHES = ["--no-sandbox", "--disable-background-networking", "--disable-component-update"]
expect.set_options(timeout=60_000)  # ms until a page must say what is asked, on a slow machine too


def find_browser() -> str | None:
    """Path of the Chromium to drive."""
    return os.environ.get("RODHAND_BROWSER") or next(filter(None, map(shutil.which, NAMES)), None)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    path = find_browser()
    if path is None:
        pytest.fail("no Chromium on PATH or in RODHAND_BROWSER; deselect with -m 'not browser'")
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=SWITCHES)
        yield started
        started.close()


@pytest.fixture(scope="session")
def address() -> Iterator[str]:
    """Address of the pages, served from a thread on a free port."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    app = create_app(SampleDesk())
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


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    """A fresh page that fails the test on any error of a script or refusal by the policy."""
    context = browser.new_context(base_url=address, viewport={"width": 1280, "height": 900})
    opened = context.new_page()
    told: list[str] = []
    opened.on("pageerror", lambda error: told.append(str(error)))
    opened.on("console", lambda said: told.append(said.text) if said.type == "error" else None)
    yield opened
    context.close()
    # A form that comes back with faults is a 400, which the browser tells as an error.
    assert [each for each in told if "a status of 400" not in each] == []
