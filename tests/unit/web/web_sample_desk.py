"""A desk of made-up views for tests: what is entered is kept in memory."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from rodhand.book.entry.entry_page import EntryView, Kind
from rodhand.book.views import BoreView, OfficeView, ThingView, WeekView, YardView
from rodhand.faults import BadInputError, Fault
from rodhand.record.kinds import KINDS
from rodhand.units import System
from rodhand.web import samples
from rodhand.web.desk import NotHereError


@dataclass
class SampleDesk:
    """Bore B-2, rod M1-01, and whatever was entered."""

    entries: dict[str, EntryView] = field(default_factory=dict)

    def at(self, as_of: str) -> SampleDesk:
        return self

    def week(self) -> WeekView:
        return samples.sample_week()

    def office(self) -> OfficeView:
        return samples.sample_office()

    def yard(self) -> YardView:
        return samples.sample_yard()

    def bore(self, name: str, at_pass: str | None, at: float | None) -> BoreView:
        if name != "B-2":
            raise NotHereError(name)
        return samples.sample_bore(at, at_pass or "pilot")

    def thing(self, name: str) -> ThingView:
        if name not in ("rod.1", "M1-01"):
            raise NotHereError(name)
        return samples.sample_thing()

    def entry(self, entry: str) -> EntryView:
        if entry not in self.entries:
            raise NotHereError(entry)
        return self.entries[entry]

    def kinds(self) -> Mapping[str, Kind]:
        return KINDS

    def enter(self, kind: str, payload: Mapping[str, str], happened: str, by: str) -> str:
        faults = [
            Fault("entry_not_a_number", value, column=column)
            for column, value in payload.items()
            if column.startswith("length_") and not value.replace(".", "").isdigit()
        ]
        if "thing" not in payload:
            faults.append(Fault("entry_missing", column="thing", values={"kind": kind}))
        if faults:
            raise BadInputError(faults, kind)
        name = f"e{len(self.entries) + 1}"
        self.entries[name] = EntryView(name, kind, happened, "2025-09-26T10:00", by, dict(payload))
        return name

    def strike(self, entry: str, why: str, by: str) -> None:
        self.entries[entry] = replace(self.entry(entry), struck_why=why)

    def workbook(self, system: System) -> bytes:
        return b"PK sample"

    def take_workbook(self, data: bytes, name: str) -> int:
        return len(data)
