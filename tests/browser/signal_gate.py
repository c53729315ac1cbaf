"""A signal that can be cut: a door between one device and the pages.

Chromium's own off-line switch does not reach a service worker that was started again after it,
so a device "off-line" may still send. A closed door lets nothing through, whoever asks.
"""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from urllib.parse import urlsplit

from playwright.sync_api import BrowserContext


class Signal:
    """The way from one device to the pages at `behind`; `address` is what the device opens."""

    def __init__(self, behind: str) -> None:
        self._behind = urlsplit(behind)
        self._is_cut = False
        self._open: set[asyncio.StreamWriter] = set()
        self._ready = threading.Event()
        self.address = ""

    async def listen(self) -> None:
        """Carry what comes until the door is taken away."""
        self._loop, self._end = asyncio.get_running_loop(), asyncio.Event()
        server = await asyncio.start_server(self._meet, "127.0.0.1", 0)
        self.address = f"http://127.0.0.1:{server.sockets[0].getsockname()[1]}"
        self._ready.set()
        await self._end.wait()
        server.close()

    async def _meet(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        ahead, back = await asyncio.open_connection(self._behind.hostname, self._behind.port)
        if self._is_cut:
            writer.transport.abort()
            back.close()
            return
        self._open |= {writer, back}
        with suppress(asyncio.CancelledError):  # the door is taken away
            await asyncio.gather(self._carry(reader, back), self._carry(ahead, writer))
        self._open -= {writer, back}

    async def _carry(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        try:
            while part := await reader.read(65_536):
                writer.write(part)
                await writer.drain()
        except ConnectionError:
            pass  # cut, or the device went away
        finally:
            writer.close()

    def _abort_all(self) -> None:
        for writer in self._open:
            writer.transport.abort()

    def cut(self, *devices: BrowserContext) -> None:
        """Let nothing through any more; the devices' browsers are told as well."""
        self._is_cut = True
        self._loop.call_soon_threadsafe(self._abort_all)
        for device in devices:
            device.set_offline(True)

    def back(self, *devices: BrowserContext) -> None:
        """Let everything through again."""
        self._is_cut = False
        for device in devices:
            device.set_offline(False)

    def begin(self) -> threading.Thread:
        thread = threading.Thread(target=asyncio.run, args=(self.listen(),), daemon=True)
        thread.start()
        self._ready.wait(10)
        return thread

    def end(self) -> None:
        self._loop.call_soon_threadsafe(self._end.set)


@contextmanager
def signal_to(behind: str) -> Iterator[Signal]:
    """A signal to the pages at an address, for as long as the block runs."""
    signal = Signal(behind)
    thread = signal.begin()
    yield signal
    signal.end()
    thread.join(10)
