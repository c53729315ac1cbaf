"""When something was, as people type it: to the minute, a day, a week, between two, unknown."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from rodhand.record.origin import Moment

UNKNOWN = Moment("", "", "unknown")

_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_MINUTE = re.compile(r"(\d{4}-\d{2}-\d{2})[T ](\d{2}:\d{2}(?::\d{2})?)(Z|[+-]\d{2}:\d{2})?")
_WEEK = re.compile(r"(\d{4})-W(\d{2})")
_MONTH = re.compile(r"(\d{4})-(\d{2})")
_YEAR = re.compile(r"\d{4}")
_OFFSET = re.compile(r"([+-])(\d{2}):(\d{2})")


@lru_cache(maxsize=65536)
def read_moment(typed: str, zone: str = "") -> Moment:
    """Read a date or time as typed.

    Parameters
    ----------
    typed : str
        ``2025-09-09``, ``2025-09-09T14:30`` (seconds and an offset may follow), ``2025-W37``,
        ``2025-09``, ``2025``, two of these with a slash between, or ``unknown``.
    zone : str, optional
        Time zone name or offset; an offset typed with the time goes before it.

    Returns
    -------
    Moment
        First and last minute it may have been.

    Raises
    ------
    ValueError
        If the text is none of these forms, names no real day, or ends before it starts.

    Examples
    --------
    >>> read_moment("2025-W37").start, read_moment("2025-W37").end
    ('2025-09-08T00:00', '2025-09-14T23:59')
    """
    text = typed.strip()
    if text.casefold() == "unknown":
        return UNKNOWN
    first, slash, last = text.partition("/")
    if not slash:
        return _single(text, zone)
    begin, finish = _single(first.strip(), zone), _single(last.strip(), zone)
    if order_text(finish, finish.end) < order_text(begin):
        raise ValueError(f"{typed!r} ends before it starts")
    return Moment(begin.start, finish.end, "between", begin.zone)


def _single(text: str, zone: str) -> Moment:
    if match := _MINUTE.fullmatch(text):
        stamp = f"{match[1]}T{match[2]}"
        datetime.fromisoformat(stamp)
        typed_zone = {None: zone, "Z": "+00:00"}.get(match[3], match[3] or "")
        return Moment(stamp, stamp, "minute", typed_zone)
    if _DAY.fullmatch(text):
        return _days(date.fromisoformat(text), 1, "day", zone)
    if match := _WEEK.fullmatch(text):
        return _days(date.fromisocalendar(int(match[1]), int(match[2]), 1), 7, "week", zone)
    if match := _MONTH.fullmatch(text):
        first = date(int(match[1]), int(match[2]), 1)
        following = (first + timedelta(days=31)).replace(day=1)
        return _days(first, (following - first).days, "between", zone)
    if _YEAR.fullmatch(text):
        first = date(int(text), 1, 1)
        return _days(first, (date(first.year, 12, 31) - first).days + 1, "between", zone)
    raise ValueError(f"{text!r} is no date or time")


def _days(first: date, count: int, precision: str, zone: str) -> Moment:
    last = first + timedelta(days=count - 1)
    return Moment(f"{first}T00:00", f"{last}T23:59", precision, zone)


@lru_cache(maxsize=65536)
def set_right(moment: Moment, fast_by: float) -> Moment:
    """A moment as it was, without the error of the clock that gave it.

    Parameters
    ----------
    moment : Moment
        As typed.
    fast_by : float
        By how much the clock that gave the time was fast. Only a time known to the minute came
        from a clock; a day or a week somebody typed is left alone. [s]

    Returns
    -------
    Moment
        In the same zone.
    """
    if moment.precision != "minute" or not fast_by:
        return moment
    try:
        when = datetime.fromisoformat(moment.start) - timedelta(seconds=fast_by)
    except OverflowError:  # the first or last day a calendar can hold
        return moment
    stamp = when.isoformat(timespec="seconds" if when.second else "minutes")
    return Moment(stamp, stamp, "minute", moment.zone)


@lru_cache(maxsize=65536)
def order_text(moment: Moment, stamp: str | None = None) -> str:
    """The text by which moments are put in order: the start, in UTC.

    Parameters
    ----------
    moment : Moment
        When it was.
    stamp : str, optional
        Another local time of the moment; its start when not given.

    Returns
    -------
    str
        ``YYYY-MM-DDTHH:MM:SS``; empty for an unknown moment, which so comes first.

    Notes
    -----
    A zone that is neither an offset nor a name this machine knows counts as UTC.
    """
    local = moment.start if stamp is None else stamp
    if not local:
        return ""
    when = datetime.fromisoformat(local)
    shift = _offset(moment.zone, when)
    try:
        return (when - shift).isoformat(timespec="seconds")
    except OverflowError:  # the first or last day a calendar can hold
        return when.isoformat(timespec="seconds")


def _offset(zone: str, when: datetime) -> timedelta:
    if not zone:
        return timedelta(0)
    if match := _OFFSET.fullmatch(zone):
        size = timedelta(hours=int(match[2]), minutes=int(match[3]))
        return -size if match[1] == "-" else size
    try:
        return when.replace(tzinfo=ZoneInfo(zone)).utcoffset() or timedelta(0)
    except (KeyError, ValueError, OSError):
        return timedelta(0)


def now() -> str:
    """This device's clock to the second, with its offset."""
    return datetime.now(UTC).astimezone().isoformat(timespec="seconds")


def split_stamp(stamp: str) -> tuple[str, str]:
    """A stamp of `now` as (local time to the minute, offset)."""
    return stamp[:16], stamp[19:]
