"""Load the program's own tables and the user's rod type files."""

from __future__ import annotations

import csv
import hashlib
import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from rodhand.faults import BadInputError, CannotReadError, Fault
from rodhand.steel.curves import Curve, StrengthCoefficientCurve, curve_from_fields
from rodhand.steel.rod_type import RodType, rod_type_from_fields
from rodhand.steel.thread import JointDimensions, ThreadForm
from rodhand.units import INCH, to_si


def data_text(name: str) -> str:
    """Text of one of the program's own data files.

    Parameters
    ----------
    name : str
        File name in the data folder.

    Returns
    -------
    str
        The file's text.
    """
    return (files("rodhand") / "data" / name).read_text(encoding="utf-8")


def data_rows(name: str) -> list[dict[str, str]]:
    """Rows of one of the program's own CSV tables, its provenance head of # lines left out.

    Parameters
    ----------
    name : str
        File name in the data folder.

    Returns
    -------
    list of dict
        Column name to text.
    """
    lines = [line for line in data_text(name).splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


@cache
def data_digest() -> str:
    """SHA-256 of all of the program's own data files: changes when any table does."""
    found = hashlib.sha256()
    for each in sorted((files("rodhand") / "data").iterdir(), key=lambda each: each.name):
        if each.is_file():
            found.update(each.name.encode() + b"\0" + each.read_bytes())
    return found.hexdigest()


@cache
def built_in_rod_types() -> Mapping[str, RodType]:
    """The invented rod types that come with the program, by name.

    Returns
    -------
    mapping
        Name to rod type.
    """
    table = tomllib.loads(data_text("rod_types.toml"))
    return {
        name: rod_type_from_fields({"name": name, **fields}, name) for name, fields in table.items()
    }


def load_rod_type(name_or_path: str | Path) -> RodType:
    """A built-in rod type by name, or the rod type in a TOML file.

    Parameters
    ----------
    name_or_path : str or Path
        A built-in name (free of case), or a path ending in .toml.

    Returns
    -------
    RodType
        The rod type.

    Raises
    ------
    BadInputError
        If the name is not known or the file's content is faulty, with every fault.
    CannotReadError
        If the file cannot be read.
    """
    typed = str(name_or_path).strip()
    built_in = built_in_rod_types()
    if typed.lower() in built_in:
        return built_in[typed.lower()]
    if not typed.lower().endswith(".toml"):
        names = ", ".join(built_in)
        raise BadInputError([Fault("rod_type_not_known", typed, values={"names": names})], typed)
    return rod_type_from_fields(_read_toml(Path(typed)), Path(typed).stem)


def _read_toml(path: Path) -> dict[str, Any]:
    try:
        raw = path.read_bytes()
    except OSError as error:
        raise CannotReadError(str(path), error.strerror or str(error)) from error
    try:
        return tomllib.loads(raw.decode("utf-8-sig"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        fault = Fault("rod_type_not_toml", values={"reason": str(error)})
        raise BadInputError([fault], str(path)) from error


@dataclass(frozen=True)
class Connection:
    """A connection of the standards.

    Parameters
    ----------
    name : str
        Its name in the table.
    aliases : tuple of str
        Other names for the same thread.
    dimensions : JointDimensions
        Thread and seat.
    source : str
        Where the dimensions come from.
    provenance : str
        READ, or MEMORY where nobody has ticked them against the standard yet.
    """

    name: str
    aliases: tuple[str, ...]
    dimensions: JointDimensions
    source: str
    provenance: str


@cache
def thread_forms() -> Mapping[tuple[str, float, float], ThreadForm]:
    """Thread forms of the standards by name, taper [in/ft] and threads per inch."""
    forms = {}
    for row in data_rows("thread_forms.csv"):
        form, taper, tpi = row["form"], float(row["taper_in_per_ft"]), float(row["tpi"])
        forms[form, taper, tpi] = ThreadForm(
            name=form,
            taper=taper / 12.0,
            lead=INCH / tpi,
            root_truncation=float(row["Srs_root_trunc_in"]) * INCH,
            half_angle=math.radians(float(row["half_angle_deg"])),
            crest_truncation=float(row["fcs_crest_trunc_in"]) * INCH,
        )
    return forms


@cache
def connections() -> Mapping[str, Connection]:
    """Connections of the standards, by their name in the table."""
    return {row["connection"]: _connection(row) for row in data_rows("connections.csv")}


def _connection(row: Mapping[str, str]) -> Connection:
    key = (row["thread_form"], float(row["taper_in_per_ft"]), float(row["tpi"]))
    dimensions = JointDimensions(
        thread=thread_forms()[key],
        pitch_diameter=float(row["C_in"]) * INCH,
        pin_length=float(row["Lpc_in"]) * INCH,
        counterbore=float(row["Qc_in"]) * INCH,
        name=row["connection"],
    )
    return Connection(
        name=row["connection"],
        aliases=tuple(alias for alias in row["alias"].split(" / ") if alias),
        dimensions=dimensions,
        source=row["source"],
        provenance=row["read_or_memory"],
    )


def plain_name(name: str) -> str:
    """A joint's name free of case, blanks and hyphens, so that "nc 38" is NC38."""
    return "".join(name.lower().replace("-", "").split())


def find_connection(name: str) -> Connection | None:
    """The connection of a name or alias, free of case, blanks and hyphens; None if unknown.

    Parameters
    ----------
    name : str
        As typed, for example "NC38", "nc-38" or "3-1/2 IF".

    Returns
    -------
    Connection or None
        The connection.
    """
    wanted = plain_name(name)
    for connection in connections().values():
        if wanted in map(plain_name, (connection.name, *connection.aliases)):
            return connection
    return None


@cache
def fatigue_curves() -> Mapping[str, Curve]:
    """Fatigue curves on stress range by table and class, for example "dnv_rp_c203_air.C"."""
    tables = tomllib.loads(data_text("sn_curves.toml"))
    tables.pop("strength_coefficient")
    return {
        f"{table}.{name}": curve_from_fields(f"{table}.{name}", fields, entries["source"])
        for table, entries in tables.items()
        for name, fields in entries.items()
        if name != "source"
    }


@cache
def strength_coefficient_curves() -> Mapping[str, StrengthCoefficientCurve]:
    """Stress-life curves of plain steels on stress amplitude, by steel."""
    entries = tomllib.loads(data_text("sn_curves.toml"))["strength_coefficient"]
    return {
        name: StrengthCoefficientCurve(name, to_si(fields["coefficient_MPa"], "stress", "MPa"),
                                       fields["exponent"])
        for name, fields in entries.items()
        if name != "source"
    }  # fmt: skip
