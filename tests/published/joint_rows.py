"""Read the published joint rows and compute the same quantity; shared by the tests of them."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

from rodhand.book.work.tables import find_connection
from rodhand.steel.joint import OLD_PIN_SECTION, PIN_SECTION, joint_strength
from rodhand.units import FOOT_POUND, INCH, POUND_FORCE, PSI

FILE = Path(__file__).parent / "data" / "joint_rows.csv"


@dataclass(frozen=True)
class Row:
    """One published value: the joint, what is stated, and where."""

    number: str
    connection: str
    od: float
    bore: float
    stress: float
    quantity: str
    published: float
    source: str
    provenance: str

    def __str__(self) -> str:
        return f"{self.number}-{self.connection}-{self.quantity}"

    def computed(self, capped: bool) -> float:
        """The same quantity by our formula, in the row's unit."""
        connection = find_connection(self.connection)
        assert connection is not None
        strength = joint_strength(
            connection.dimensions,
            self.od * INCH,
            self.bore * INCH,
            capped=capped,
            makeup_stress=self.stress * PSI,
            yield_stress=self.stress * PSI,
            tension_section=OLD_PIN_SECTION if self.quantity.endswith("5/8") else PIN_SECTION,
        )
        if self.quantity.startswith("tensile_yield_lb"):
            return strength.tensile_yield / POUND_FORCE
        if self.quantity == "torsional_yield_lbft":
            return strength.torsional_yield / FOOT_POUND
        return strength.makeup_torque / FOOT_POUND

    def error(self, capped: bool) -> float:
        """Computed over published, less 1."""
        return self.computed(capped) / self.published - 1.0

    def nearest_error(self) -> float:
        """The smaller of both errors: sources do not say whether they cap the seat radius."""
        return min(self.error(True), self.error(False), key=abs)


def rows(source: str, provenance: str | None = None) -> list[Row]:
    """Rows whose source starts with a text, and with one provenance if asked."""
    lines = [line for line in FILE.read_text(encoding="utf-8").splitlines() if line[0] != "#"]
    found = [
        Row(
            number=row["row"],
            connection=row["connection"],
            od=float(row["OD_in"]),
            bore=float(row["ID_in"]),
            stress=float(row["stress_psi"]),
            quantity=row["quantity"],
            published=float(row["published"]),
            source=row["source"],
            provenance=row["read_or_memory"],
        )
        for row in csv.DictReader(lines)
    ]
    return [
        row
        for row in found
        if row.source.startswith(source) and provenance in (None, row.provenance)
    ]
