"""A box of rods as hands find it: what can be reached, a loading list, and that list replayed.

A box is its rows from the near side, each row its rods from the one used first. In a row that is
reached from the top alone the first one lies uppermost.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

Rows = tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class BoxKind:
    """How a box gives its rods and takes them back.

    Parameters
    ----------
    name : str
        Name of the kind.
    rows_in_turn : bool
        Whether a row can be used only when every nearer row is empty.
    reach : {"top", "any"}
        Whether only the uppermost rod of a row can be taken, or every one.
    fills : {"far", "own"}
        Whether rods come back to the farthest row with room, or to where they came from.
    """

    name: str
    rows_in_turn: bool
    reach: Literal["top", "any"]
    fills: Literal["far", "own"]


@dataclass(frozen=True)
class Step:
    """One hand movement: a rod out of the box, or one into a row.

    Parameters
    ----------
    what : {"out", "in"}
        Lifted out and laid beside the box, or laid in from there.
    rod : str
        The rod.
    row : int
        Row, from 1 at the near side.
    place : int
        Place in the row from the one used first, from 1, as the row is at that moment.
    """

    what: Literal["out", "in"]
    rod: str
    row: int
    place: int


@dataclass(frozen=True)
class LoadingList:
    """What hands do before the next bore, and what the rig then takes.

    Parameters
    ----------
    steps : tuple of Step
        In this order; empty when the box is used as it lies.
    rows : tuple of int
        Rows in order of use.
    order : tuple of str
        Rods in the order they are used, the lead rod first.
    """

    steps: tuple[Step, ...]
    rows: tuple[int, ...]
    order: tuple[str, ...]

    @property
    def lifted(self) -> int:
        """Rods lifted or laid, each counted once. [rods]"""
        return len({step.rod for step in self.steps})


class HandsError(ValueError):
    """A list hands cannot follow.

    Parameters
    ----------
    code : str
        ``reached_through``, ``not_there``, ``no_room``, ``row_not_in_turn``, ``other_order``.
    rod : str
        The rod concerned.
    row : int
        The row concerned; 0 where it is none.
    through : str
        Rod in the way; empty where there is none.
    """

    def __init__(self, code: str, rod: str = "", row: int = 0, through: str = "") -> None:
        super().__init__(f"{code}: {rod} row {row} {through}".strip())
        self.code, self.rod, self.row, self.through = code, rod, row, through


def make_list(kind: BoxKind, box: Rows, wanted: Rows, rows: Sequence[int]) -> LoadingList:
    """The loading list that makes one box of another with the fewest rods lifted.

    Parameters
    ----------
    kind : BoxKind
        How the box is reached.
    box, wanted : tuple of tuple of str
        The box as it lies and as it is wanted. Rods of the first that are not in the second stay
        out; those of the second that are not in the first come from beside the box.
    rows : sequence of int
        Rows in the order they are to be used.

    Returns
    -------
    LoadingList
        In a row reached from the top, all above the lowest rod that changes is lifted out and
        laid in again; in a loose rack only the rods that change.
    """
    out: list[Step] = []
    into: list[Step] = []
    for number, (now, then) in enumerate(zip(box, wanted, strict=True), 1):
        if kind.reach == "top":
            kept = _alike_from_below(now, then)
            out += [Step("out", rod, number, 1) for rod in now[: len(now) - kept]]
            into += [Step("in", rod, number, 1) for rod in reversed(then[: len(then) - kept])]
            continue
        lies = list(now)
        for rod in now:
            if rod not in then or now.index(rod) != then.index(rod):
                out.append(Step("out", rod, number, lies.index(rod) + 1))
                lies.remove(rod)
        into += [Step("in", rod, number, k) for k, rod in enumerate(then, 1)
                 if rod not in now or now.index(rod) != k - 1]  # fmt: skip
    order = tuple(rod for row in rows for rod in wanted[row - 1])
    return LoadingList((*out, *into), tuple(rows), order)


def _alike_from_below(one: Sequence[str], other: Sequence[str]) -> int:
    count = 0
    while count < min(len(one), len(other)) and one[-1 - count] == other[-1 - count]:
        count += 1
    return count


def replay(
    kind: BoxKind, box: Rows, capacity: int, beside: Iterable[str], todo: LoadingList
) -> Rows:
    """Follow a loading list hand by hand, then take the rods as the rig does.

    Parameters
    ----------
    kind : BoxKind
        How the box is reached.
    box : tuple of tuple of str
        The box as it lies.
    capacity : int
        Rods a row has room for.
    beside : iterable of str
        Rods that lie beside the box.
    todo : LoadingList
        The list.

    Returns
    -------
    tuple of tuple of str
        The box as it lies before the rig takes the first rod.

    Raises
    ------
    HandsError
        If a rod would have to be reached through another, is not where the list says, finds no
        room, if a row is used before a nearer one is empty, or if the rods come in another order
        than the list says.
    """
    lies, free = [list(row) for row in box], set(beside)
    for step in todo.steps:
        row = lies[step.row - 1] if 0 < step.row <= len(lies) else []
        if step.what == "out":
            _take(kind, row, step)
            free.add(step.rod)
        else:
            _lay(kind, row, step, capacity, free)
            free.remove(step.rod)
    if kind.rows_in_turn and list(todo.rows) != sorted(todo.rows):
        raise HandsError("row_not_in_turn", row=todo.rows[0])
    taken = [rod for row in todo.rows for rod in lies[row - 1]]
    for rod, expected in zip(taken, todo.order, strict=False):
        if rod != expected:
            raise HandsError("other_order", expected, through=rod)
    if len(taken) != len(todo.order):
        raise HandsError("other_order", "".join(todo.order[len(taken) : len(taken) + 1]))
    return tuple(tuple(row) for row in lies)


def _take(kind: BoxKind, row: list[str], step: Step) -> None:
    if step.rod not in row:
        raise HandsError("not_there", step.rod, step.row)
    if kind.reach == "top" and row[0] != step.rod:
        raise HandsError("reached_through", step.rod, step.row, row[0])
    if row.index(step.rod) != step.place - 1:
        raise HandsError("not_there", step.rod, step.row)
    row.remove(step.rod)


def _lay(kind: BoxKind, row: list[str], step: Step, capacity: int, free: set[str]) -> None:
    if step.rod not in free:
        raise HandsError("not_there", step.rod, step.row)
    if len(row) >= capacity:
        raise HandsError("no_room", step.rod, step.row)
    if kind.reach == "top" and step.place != 1:
        raise HandsError("reached_through", step.rod, step.row, row[0] if row else "")
    if step.place > len(row) + 1:
        raise HandsError("not_there", step.rod, step.row)
    row.insert(step.place - 1, step.rod)


def after_bore(
    kind: BoxKind, box: Rows, capacity: int, rows: Sequence[int], used: int, tail: bool = False
) -> Rows:
    """The box after a bore, its rods put back as they come out.

    Parameters
    ----------
    kind : BoxKind
        How the box is filled again.
    box : tuple of tuple of str
        The box before the rig took the first rod.
    capacity : int
        Rods a row has room for.
    rows : sequence of int
        Rows in order of use.
    used : int
        Rods the bore took.
    tail : bool
        Whether they come back first in, first out: they went in behind a reamer as a tail string.

    Returns
    -------
    tuple of tuple of str
        Without a tail string the last rod used comes back first, so each comes to lie as it lay,
        unless rows filled from the far side had room.
    """
    taken = [(row, rod) for row in rows for rod in box[row - 1]][:used]
    gone = {rod for _, rod in taken}
    lies = [[rod for rod in row if rod not in gone] for row in box]
    coming = [rod for _, rod in taken]
    if not tail:
        coming.reverse()
    own = [row for row, _ in reversed(taken)]
    for rod, was in zip(coming, own, strict=True):
        row = was - 1
        if kind.fills == "far":
            row = max(k for k, each in enumerate(lies) if len(each) < capacity)
        lies[row].insert(0, rod)
    return tuple(tuple(row) for row in lies)
