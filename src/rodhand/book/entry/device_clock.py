"""A device's clock held against this machine's when it sends: measured, kept beside, told."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from rodhand.advice.verdict import Sentence
from rodhand.book.rig.devices_out import device_name
from rodhand.faults import CannotReadError
from rodhand.record.book import Book
from rodhand.record.choices import AT_SENDING
from rodhand.record.entry import Draft
from rodhand.record.kept_open import journal_of
from rodhand.record.marks import fold
from rodhand.record.moment import now, split_stamp

WORTH_KEEPING = 120.0
"""By how much a clock must be off, or have changed, before that is kept and told: what is pressed
is stamped to the minute, and a slow line may take half of one (our own choice). [s]"""
BY = "rodhand"
HOUR, DAY = 60.0, 24.0 * 60.0
"""In minutes; from two of them on a difference is told in them."""


@dataclass(frozen=True)
class DeviceClock:
    """What is known of the clock of one device.

    Parameters
    ----------
    device, name : str
        Its key, and the first signs of it.
    told : Sentence
        By how much it is fast or slow.
    fast_by : float
        The same as a number; below 0 where it is slow. [s]
    measured : str
        When, by this machine's clock, to the minute.
    """

    device: str
    name: str
    told: Sentence
    fast_by: float
    measured: str


def own_now() -> str:
    """This machine's clock to the second, ISO with offset."""
    return now()


def fast_by(device_now: str, machine_now: str) -> float | None:
    """How much later a device's clock is than this machine's; None if a stamp is none. [s]

    Parameters
    ----------
    device_now, machine_now : str
        The two clocks at one moment, ISO with offset.
    """
    try:
        apart = datetime.fromisoformat(device_now) - datetime.fromisoformat(machine_now)
    except (ValueError, TypeError):  # no stamp, or one without an offset
        return None
    return apart.total_seconds()


def is_off(seconds: float | None) -> bool:
    """Whether a difference of clocks is worth telling. [s]"""
    return seconds is not None and abs(seconds) >= WORTH_KEEPING


def measurement(book: Book, device: str, device_now: str, machine_now: str) -> Draft | None:
    """The entry that keeps a measurement; None where it would say nothing new.

    Parameters
    ----------
    book : Book
        The book read back.
    device : str
        Key of the device.
    device_now, machine_now : str
        The two clocks when the device sent, ISO with offset.

    Returns
    -------
    Draft or None
        To stand in the device's chain before what it sent: it holds from there on.
    """
    found = fast_by(device_now, machine_now)
    if found is None or not is_off(found - _known(book, device)):
        return None
    payload = {"device": device, "fast_by_min": f"{found / 60.0:.1f}", "how": AT_SENDING}
    happened, zone = split_stamp(machine_now)
    return Draft("clock", payload, happened, zone, BY, entered=device_now)


def _known(book: Book, device: str) -> float:
    """The last measurement made as the device sent; 0 where its clock was never off. [s]"""
    sent = [each for each in book.clocks.get(fold(device), ()) if each.at_sending]
    return max(sent, key=lambda each: each.counter).fast_by if sent else 0.0


def clock_told(seconds: float, key: str) -> Sentence:
    """A difference of clocks in minutes, hours or days.

    Parameters
    ----------
    seconds : float
        By how much the device's clock is fast; below 0 it is slow. [s]
    key : str
        Key of the words without their end: ``_fast_min``, ``_slow_h`` and so on is added.
    """
    minutes = abs(seconds) / 60.0
    unit, size = ("min", 1.0) if minutes < 2.0 * HOUR else ("h", HOUR)
    unit, size = ("d", DAY) if minutes >= 2.0 * DAY else (unit, size)
    way = "fast" if seconds > 0.0 else "slow"
    return Sentence(f"{key}_{way}_{unit}", {"count": f"{minutes / size:.0f}"})


def clocks_off(folder: Path) -> tuple[DeviceClock, ...]:
    """Devices whose clock was off when it was measured last, in order of their keys.

    None where there is no book yet, or it cannot be read: the page tells that elsewhere.
    """
    try:
        book = journal_of(folder).book()
    except CannotReadError:
        return ()
    found = []
    for device in sorted(book.clocks):
        last = max(book.clocks[device], key=lambda each: (each.at_sending, each.counter))
        if is_off(last.fast_by):
            told = clock_told(last.fast_by, "outbox.clock_of")
            when = last.when.replace("T", " ")
            found.append(DeviceClock(device, device_name(device), told, last.fast_by, when))
    return tuple(found)
