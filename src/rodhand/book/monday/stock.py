"""Stock and what to order again, summed over the rigs of several books."""

from __future__ import annotations

from collections.abc import Sequence

from rodhand.book.monday.files import FileRead
from rodhand.book.monday.views import StockRow
from rodhand.book.owner.schedule import last_where, rig_of, type_of
from rodhand.book.tasks.standings import all_standings
from rodhand.book.work.assess import Assessment
from rodhand.book.work.prices import owner_prices
from rodhand.record.marks import fold
from rodhand.units import Figure, Standing

M, C, A = Standing.MEASURED, Standing.COMPUTED, Standing.ASSUMED
LEFT = ("scrapped", "lost in hole")
"""Where a rod is that is gone and was not sold: its place in the set is empty."""


def stock_of(files: Sequence[FileRead]) -> tuple[StockRow, ...]:
    """Rods by type over all files.

    Parameters
    ----------
    files : sequence of FileRead
        Files to count; a rod that stands in two of them by the same entry is counted once, as the
        file with the newer entries has it.

    Returns
    -------
    tuple of StockRow
        By name of the type. A sold rod is in no column. What to replace is what is scrap,
        scrapped or lost; whether it was bought again nobody need have entered.
    """
    counts: dict[str, dict[str, int]] = {}
    names: dict[str, str] = {}
    rigs: dict[str, set[str]] = {}
    prices: dict[str, float] = {}
    seen: set[str] = set()
    for read in sorted(files, key=lambda each: each.last_typed, reverse=True):
        made = read.assessment
        if made is None:
            continue
        for key, thing in made.book.things.items():
            column = _column(made, key)
            if thing.what != "rod" or key in seen or not column:
                continue
            seen.add(key)
            kind = type_of(made, thing)
            names.setdefault(fold(kind), kind)
            row = counts.setdefault(fold(kind), {})
            row[column] = row.get(column, 0) + 1
            rigs.setdefault(fold(kind), set()).add(rig_of(made.book, thing))
        for name in counts:
            if name not in prices and (price := owner_prices(made).rod(name)) is not None:
                prices[name] = price
    return tuple(
        StockRow(
            names[kind], tuple(sorted(rigs[kind] - {""})),
            _figures(names[kind], counts[kind], prices.get(kind)),
        )
        for kind in sorted(names)
    )  # fmt: skip


def _column(made: Assessment, key: str) -> str:
    """The column a rod counts in; none when it was sold."""
    where = last_where(made.book, key)
    if where.startswith("sold"):
        return ""
    standing = all_standings(made)[key][0]
    if where.startswith(LEFT) or standing == "scrap":
        return "replace"
    return "aside" if standing == "set aside" else "usable"


def _figures(kind: str, counts: dict[str, int], price: float | None) -> dict[str, Figure]:
    own, replace = f"monday.stock.{kind}", counts.get("replace", 0)
    named = {"rods": sum(counts.values()), **{n: counts.get(n, 0) for n in ("usable", "aside")}}
    found = {name: Figure(f"{own}.{name}", float(n), "count", M) for name, n in named.items()}
    found["replace"] = Figure(f"{own}.replace", float(replace), "count", C)
    found["price"] = Figure(f"{own}.price", price, "money", M)
    cost = None if price is None else price * replace
    found["cost"] = Figure(f"{own}.cost", cost, "money", A)
    return found
