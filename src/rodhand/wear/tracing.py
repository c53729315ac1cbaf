"""From one bad end to the ends it met since it was last seen sound: direct mates only."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rodhand.drillstring.meetings import Meeting, Thread
from rodhand.wear.who_stood import WhoStood

_SUREST_FIRST = tuple(WhoStood)


@dataclass(frozen=True)
class DatedMeeting:
    """A joint that was made up at some time.

    Parameters
    ----------
    order : int
        Position in the order of work (not a clock time; that may be wrong).
    bore : str
        Key of the bore.
    meeting : Meeting
        Who met whom.
    pin_known, box_known : WhoStood
        How each of the two things is known to have stood there.
    """

    order: int
    bore: str
    meeting: Meeting
    pin_known: WhoStood
    box_known: WhoStood

    @property
    def known(self) -> WhoStood:
        """A meeting is as sure as the less sure of its two."""
        return max(self.pin_known, self.box_known, key=_SUREST_FIRST.index)


@dataclass(frozen=True)
class Mate:
    """An end that met a bad end.

    Parameters
    ----------
    key : str
        Key of the thing.
    end : {"pin", "box"}
        Which of its ends.
    known : WhoStood
        The surest of their meetings.
    meetings : int
        How often they met.
    first, last : int
        Order of work of the first and the last meeting.
    """

    key: str
    end: Thread
    known: WhoStood
    meetings: int
    first: int
    last: int


def direct_mates(
    meetings: Sequence[DatedMeeting],
    key: str,
    end: Thread,
    last_sound: int | None = None,
    found_bad: int | None = None,
) -> tuple[Mate, ...]:
    """Ends that met a bad end after it was last seen sound and until it was found bad.

    Parameters
    ----------
    meetings : sequence of DatedMeeting
        Meetings of any things, in any order.
    key, end : str, {"pin", "box"}
        The bad end.
    last_sound : int, optional
        Order of work when it was last seen sound; never when left out, so that everything it
        ever met counts.
    found_bad : int, optional
        Order of work when it was found bad; up to now when left out.

    Returns
    -------
    tuple of Mate
        The surest first, then in order of their first meeting.
    """
    met: dict[tuple[str, Thread], list[DatedMeeting]] = {}
    for dated in meetings:
        mate = dated.meeting.mate_of(key, end)
        late_enough = last_sound is None or dated.order > last_sound
        early_enough = found_bad is None or dated.order <= found_bad
        if mate is not None and late_enough and early_enough:
            met.setdefault(mate, []).append(dated)
    mates = [
        Mate(
            key=other,
            end=other_end,
            known=min((d.known for d in dated), key=_SUREST_FIRST.index),
            meetings=len(dated),
            first=min(d.order for d in dated),
            last=max(d.order for d in dated),
        )
        for (other, other_end), dated in met.items()
    ]
    return tuple(sorted(mates, key=lambda m: (_SUREST_FIRST.index(m.known), m.first, m.key)))
