"""The JSON twin of a view: the same structure, and every figure under its key."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator, Mapping
from typing import Any

from rodhand.units import Figure


def figures_of(view: object) -> Iterator[Figure]:
    """Every Figure anywhere inside a view, in the order it stands there."""
    if isinstance(view, Figure):
        yield view
    elif dataclasses.is_dataclass(view) and not isinstance(view, type):
        for part in dataclasses.fields(view):
            yield from figures_of(getattr(view, part.name))
    elif isinstance(view, Mapping):
        for value in view.values():
            yield from figures_of(value)
    elif isinstance(view, (list, tuple)):
        for value in view:
            yield from figures_of(value)


def _plain(view: object) -> Any:
    if isinstance(view, Figure):
        return {"figure": view.key}
    if dataclasses.is_dataclass(view) and not isinstance(view, type):
        return {part.name: _plain(getattr(view, part.name)) for part in dataclasses.fields(view)}
    if isinstance(view, Mapping):
        return {str(key): _plain(value) for key, value in view.items()}
    if isinstance(view, (list, tuple)):
        return [_plain(value) for value in view]
    if isinstance(view, float) and not math.isfinite(view):
        return None
    return view


def twin(view: object) -> dict[str, Any]:
    """A view as JSON: ``figures`` by key, and ``view`` with a reference where a figure stands.

    Parameters
    ----------
    view : dataclass
        Any record of `rodhand.book.views`.

    Returns
    -------
    dict
        ``{"figures": {key: {value, unit, standing, low, high, shown_metric, shown_us}},
        "view": ...}``.

    Raises
    ------
    ValueError
        If two different figures carry one key.
    """
    figures: dict[str, Figure] = {}
    for figure in figures_of(view):
        if figures.setdefault(figure.key, figure) != figure:
            raise ValueError(f"two different figures carry the key {figure.key!r}")
    return {
        "figures": {key: figure.as_json() for key, figure in figures.items()},
        "view": _plain(view),
    }
