"""A sequence that is only ever added to, so that a longer one need not copy it."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from typing import Generic, TypeVar, overload

T = TypeVar("T")
_GROWING = threading.Lock()


class Grown(Sequence[T], Generic[T]):
    """The first so many of a list that others may add to behind them.

    Parameters
    ----------
    items : iterable
        What it holds.

    Notes
    -----
    A season's entries are tens of thousands; a copy of them at each press would take longer than
    all that the press asks for.
    """

    __slots__ = ("_count", "_items")

    def __init__(self, items: Iterable[T] = ()) -> None:
        self._items = list(items)
        self._count = len(self._items)

    def plus(self, more: Sequence[T]) -> Grown[T]:
        """These and more behind them; this one stays as it is."""
        longer: Grown[T] = Grown()
        with _GROWING:
            is_newest = len(self._items) == self._count
            longer._items = self._items if is_newest else self._items[: self._count]
            longer._items.extend(more)
            longer._count = self._count + len(more)
        return longer

    def __len__(self) -> int:
        return self._count

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and tuple(self) == tuple(other)

    __hash__ = None  # type: ignore[assignment]

    def __iter__(self) -> Iterator[T]:
        return islice(self._items, self._count)

    @overload
    def __getitem__(self, place: int) -> T: ...
    @overload
    def __getitem__(self, place: slice) -> tuple[T, ...]: ...
    def __getitem__(self, place: int | slice) -> T | tuple[T, ...]:
        if isinstance(place, slice):
            return tuple(self._items[each] for each in range(*place.indices(self._count)))
        return self._items[range(self._count)[place]]
