"""The page of values told twice, from a book's folder, and one press of it kept."""

from __future__ import annotations

from pathlib import Path

from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.entry.keeping import enter
from rodhand.book.opening import book_in
from rodhand.book.rig.two_devices import two_devices
from rodhand.book.rig.two_views import TwoDevices
from rodhand.faults import BadInputError, Fault
from rodhand.record.marks import fold


def two_devices_of(folder: Path, bore: str) -> TwoDevices:
    """What the devices say of a bore of a book; see `two_devices`.

    Raises
    ------
    NoSuchBoreError
        If there is no such bore.
    CannotReadError
        If the book cannot be read.
    """
    book = book_in(folder)
    known = next((each for each in book.bores.values() if fold(each.name) == fold(bore)), None)
    if known is None:
        raise NoSuchBoreError(bore)
    return two_devices(known)


def press_two(folder: Path, bore: str, what: str, by: str = "") -> str:
    """Keep one press of the page: a value picked, or a device's rows put right.

    Parameters
    ----------
    folder : Path
        The book's folder.
    bore : str
        The bore.
    what : str
        Name of the press.
    by : str
        Who says it.

    Returns
    -------
    str
        Id of the entry.

    Raises
    ------
    BadInputError
        If the page has no such button any more.
    NoSuchBoreError
        If there is no such bore.
    CannotReadError
        If the book cannot be read or written.
    """
    view = two_devices_of(folder, bore)
    presses = [side.press for rod in (*view.open, *view.settled) for side in rod.sides]
    presses += [move.press for each in view.out for move in each.moves]
    press = next((each for each in presses if each is not None and each.name == what), None)
    if press is None:
        raise BadInputError([Fault("two_press", what)], "press")
    return enter(folder, [press.draft(by=by)], "press").entries[0].id
