"""Rods of a bore named as they were known then, with what was written on them since."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rodhand.advice.verdict import Sentence
from rodhand.book.telling import names_in_words
from rodhand.book.work.assess import Assessment
from rodhand.book.work.box_places import rows_in_words
from rodhand.book.work.days import day_of
from rodhand.record.book_things import Thing
from rodhand.wear.who_stood import WhoStood
from rodhand.words import say

GROUPS = ("passed", "in_it", "to_come")


@dataclass(frozen=True, eq=False)
class NamesThen:
    """Names of the rods of one bore by place.

    Parameters
    ----------
    assessment : Assessment
        The book worked through.
    bore : str
        Name of the bore.
    """

    assessment: Assessment
    bore: str

    def _thing(self, place: int) -> Thing | None:
        group = self.assessment.who[self.bore].at(place)
        if len(group.rods) != 1:
            return None
        return self.assessment.book.things.get(group.rods[0])

    @property
    def day(self) -> str:
        """ISO day of the bore; empty when unknown."""
        return day_of(self.assessment.book.bores[self.bore].origin.happened.start)

    def then(self, place: int) -> str:
        """The rod's mark on the day of the bore, set and number without one, else the place."""
        thing = self._thing(place)
        if thing is None:
            return say("bore.place", place=place)
        return thing.name_on(self.day) if self.day else thing.name

    def since(self, place: int) -> str:
        """The name it goes by now, where that is another; else empty."""
        thing = self._thing(place)
        if thing is None or thing.name == self.then(place):
            return ""
        return thing.name

    def marked_since(self, places: Sequence[int]) -> Sentence | None:
        """Which of some rods go by another name now."""
        changed = [place for place in places if self.since(place)]
        if not changed:
            return None
        return Sentence(
            "bore.marked_since",
            {
                "then": names_in_words([self.then(place) for place in changed]),
                "now": names_in_words([self.since(place) for place in changed]),
            },
        )

    def in_box(self, groups: Mapping[str, Sequence[int]]) -> Sentence | None:
        """Where rods without a mark lay in the box for this bore, by row and number."""
        bore = self.assessment.book.bores[self.bore]
        rig, who = self.assessment.book.rigs.get(bore.rig), self.assessment.who[self.bore]
        places = [place for group in groups.values() for place in group]
        by_row = all(who.at(place).known is not WhoStood.UNKNOWN for place in places)
        bare = any(self._is_bare(place) for place in places)
        if rig is None or not rig.rods_per_row or bore.load is None or not (by_row and bare):
            return None
        size = len(bore.load.things)
        words = {name: rows_in_words(groups[name], rig.rods_per_row, size) for name in GROUPS}
        return Sentence("bore.in_box", dict(words))

    def not_known(self, places: Sequence[int]) -> Sentence | None:
        """What nobody knows of which rods stood in some places; None where every mark was read."""
        who = self.assessment.who[self.bore]
        known = {who.at(place).known for place in places}
        if WhoStood.UNKNOWN in known:
            return Sentence("bore.not_known.rods")
        if WhoStood.SET_ONLY in known:
            return Sentence("bore.not_known.order")
        if WhoStood.BY_ROW not in known:
            return None
        return Sentence("bore.not_known.marks" if who.loads_ago == 0 else "bore.not_known.row")

    def _is_bare(self, place: int) -> bool:
        thing = self._thing(place)
        return thing is not None and not any(mark.is_on(self.day) for mark in thing.marks)
