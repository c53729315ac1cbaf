"""Rods pulled back and the hole drilled anew: kept in one press."""

from __future__ import annotations

from pathlib import Path

from rodhand.book.bore.bore_page import NoSuchBoreError
from rodhand.book.entry.keeping import enter
from rodhand.book.opening import book_in
from rodhand.book.rig.this_rod import drilled_anew
from rodhand.book.work.at_hand import drilled_by, pass_under_way
from rodhand.faults import BadInputError, Fault
from rodhand.record.entry import Draft
from rodhand.record.marks import fold

SOURCE = "drilled anew"


def keep_drilled_anew(
    folder: Path, name: str, back: int | None, turned: str, by: str = ""
) -> tuple[str, str, int]:
    """Keep that rods were pulled back and the hole is drilled anew from there.

    Parameters
    ----------
    folder : Path
        The book's folder.
    name : str
        Bore, its pilot under way.
    back : int or None
        Rods pulled back.
    turned : {"yes", "no", ""}
        Whether they turned on the way.
    by : str
        Who says it.

    Returns
    -------
    tuple of str, str, int
        Id of the entry, the rig, and the number of the rod drilled next.

    Raises
    ------
    NoSuchBoreError
        If there is no such bore.
    BadInputError
        If so many rods cannot have been pulled back, or a later pass has begun.
    """
    book = book_in(folder)
    bore = next((each for one, each in book.bores.items() if fold(one) == fold(name)), None)
    if bore is None:
        raise NoSuchBoreError(name)
    pilot, drilled = bore.pass_of("pilot"), drilled_by(bore)
    if pilot is None or pass_under_way(bore) is not pilot:
        raise BadInputError([Fault("redrill_pilot_done", bore.name, column="bore")], SOURCE)
    if back is None or not 1 <= back < drilled:
        most = {"most": f"{drilled - 1}"}
        found = "" if back is None else f"{back}"
        raise BadInputError([Fault("redrill_back", found, column="back", values=most)], SOURCE)
    number = drilled_anew(bore) + 1
    payload = {
        "bore": bore.name, "number": f"{number}", "from_station": f"{drilled}",
        "to_station": f"{drilled - back}",
    }  # fmt: skip
    if turned in ("yes", "no"):
        payload["turned"] = turned
    kept = enter(folder, [Draft("redrill", payload, "", "", by)], SOURCE)
    return kept.entries[0].id, bore.rig, drilled - back + 1
