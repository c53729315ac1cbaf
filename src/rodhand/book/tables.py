"""Load the program's own tables and the user's rod type files."""

from __future__ import annotations

import csv
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from rodhand.faults import BadInputError, CannotReadError, Fault
from rodhand.steel.rod_type import RodType, rod_type_from_fields


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
