"""A journal that lives only as long as the program: for previews and tests."""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from rodhand.record.entry import Chain, Entry
from rodhand.record.intake import Intake, Session


class MemoryJournal(Intake):
    """Entries in a list; keeps the same promises as the file, but not on disk."""

    def __init__(self, device: str = "") -> None:
        super().__init__()
        self._entries: list[Entry] = []
        self._chain = Chain(device or uuid.uuid4().hex[:16])

    def entries(self) -> Sequence[Entry]:
        """All entries, in order of arrival."""
        return tuple(self._entries)

    @contextmanager
    def _writing(self) -> Iterator[Session]:
        session = _MemorySession(self._entries, self._chain)
        yield session
        self._entries = [*self._entries, *session.added]
        self._chain = session.end


class _MemorySession:
    def __init__(self, entries: Sequence[Entry], chain: Chain) -> None:
        self._entries = entries
        self.end = Chain(chain.device, chain.counter, chain.head)
        self.added: list[Entry] = []

    def entries(self) -> Sequence[Entry]:
        return self._entries

    def chain(self, device: str = "") -> Chain:
        if device in ("", self.end.device):
            return self.end
        theirs = [entry for entry in self._entries if entry.device == device]
        last = max(theirs, key=lambda entry: entry.counter, default=None)
        return Chain(device, last.counter, last.hash) if last else Chain(device)

    def insert(self, entries: Sequence[Entry]) -> None:
        self.added += entries
