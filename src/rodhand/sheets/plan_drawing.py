"""Side view of a planned bore: ground, paths, where each rod would stand, utilities; plan view."""

from __future__ import annotations

from collections.abc import Callable

from rodhand.book.plan.plan_views import PlanDrawing, PlanView
from rodhand.sheets.svg import (
    ALARM,
    GROUND,
    INK,
    INK_SECOND,
    LINE,
    PAPER,
    SLATE,
    TEXT_SIZE,
    points,
    tag,
)
from rodhand.words import IN_FORCE, say

LEFT, TOP, UNDER = 14.0, 34.0, 30.0
HIGH = 250.0
MOST_STRETCH = 8.0
ASIDE = 110.0
NUMBER_EVERY = 5
Place = Callable[[float], float]
Points = tuple[tuple[float, float], ...]


def plan_svg(view: PlanView, width: float = 900.0, language: str = IN_FORCE) -> str:
    """The drawing as SVG; empty where nothing could be worked.

    Parameters
    ----------
    view : PlanView
        The page's view.
    width : float
        Width. [px]
    language : str
        Language of the words.

    Returns
    -------
    str
        Heights are drawn larger than lengths by a factor that is printed.
    """
    d = view.drawing
    if d is None:
        return ""
    depths = [y for each in d.paths_m.values() for _, y in each]
    depths += [z - keep for *_, z, _, keep in d.utilities_m if z is not None]
    depths += [y for _, y in d.driven_m]
    depths += [-d.cover_m[2]] if d.cover_m is not None else []
    low = min([*depths, -1.0]) - 0.3
    high = max(0.0, d.exit_height_m) + 0.3
    across = (width - 2.0 * LEFT) / d.distance_m
    up = min(HIGH / (high - low), MOST_STRETCH * across)
    tall = TOP + (high - low) * up + UNDER
    sideways = ASIDE if d.aside_m or d.driven_aside_m else 0.0

    def x(at: float) -> float:
        return LEFT + at * across

    def y(height: float) -> float:
        return TOP + (high - height) * up

    stretch = f"{up / across:.1f}"
    return tag(
        "svg",
        tag("title", say("plan.drawing", language, name=view.name)),
        tag("rect", x=0, y=0, width=width, height=tall + sideways, fill=PAPER),
        tag(
            "polygon",
            points=points(
                [(x(0), y(0)), (x(d.distance_m), y(d.exit_height_m)),
                 (x(d.distance_m), tall - UNDER), (x(0), tall - UNDER)]
            ),
            fill=GROUND,
        ),
        tag("line", x1=x(0), y1=y(0), x2=x(d.distance_m), y2=y(d.exit_height_m), stroke=INK,
            stroke_width=2),
        *_cover(d, x, y),
        *_utilities(d, x, y, across, up),
        *_paths(view, d, x, y),
        _words(LEFT, 18.0, say("plan.drawing_key", language, stretch=stretch)),
        *_aside(d, x, tall, language),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {width:.0f} {tall + sideways:.0f}",
        width=f"{width:.0f}",
        height=f"{tall + sideways:.0f}",
        role="img",
        font_family="Rodhand Sans, sans-serif",
    )  # fmt: skip


def _words(x: float, y: float, text: str, fill: str = INK_SECOND, anchor: str = "start") -> str:
    return tag(
        "text", text, x=x, y=y, fill=fill, font_size=TEXT_SIZE, text_anchor=anchor, stroke=PAPER,
        stroke_width=3, paint_order="stroke",
    )  # fmt: skip


def _cover(d: PlanDrawing, x: Place, y: Place) -> list[str]:
    if d.cover_m is None:
        return []
    start, end, cover = d.cover_m
    slope = d.exit_height_m / d.distance_m
    ends = [(at, slope * at - cover) for at in (start, end)]
    if start == end:
        ends = [(start, slope * start), (start, slope * start - cover)]
    return [
        tag("line", x1=x(ends[0][0]), y1=y(ends[0][1]), x2=x(ends[1][0]), y2=y(ends[1][1]),
            stroke=INK_SECOND, stroke_width=2, stroke_dasharray="6 4")
    ]  # fmt: skip


def _utilities(d: PlanDrawing, x: Place, y: Place, across: float, up: float) -> list[str]:
    found = []
    for name, at, to, height, half, keep in d.utilities_m:
        if height is None:
            found.append(tag("rect", x=x(at) - 5, y=y(0), width=max(x(to) - x(at), 0) + 10,
                             height=HIGH / 2, fill=LINE, fill_opacity=0.35))  # fmt: skip
            found.append(_words(x(at), y(0) - 5, f"{name} ?", ALARM, "middle"))
            continue
        found.append(
            tag("rect", x=x(at - keep), y=y(height + keep), width=(to - at + 2 * keep) * across,
                height=2 * keep * up, rx=keep * across, ry=keep * up, fill=LINE,
                fill_opacity=0.35)
        )  # fmt: skip
        size = max(half, 0.05)
        found.append(
            tag("rect", x=x(at) - max(size * across, 2.5), y=y(height + size),
                width=(to - at) * across + 2 * max(size * across, 2.5), height=2 * size * up,
                fill=ALARM)
        )  # fmt: skip
        found.append(_words(x((at + to) / 2), y(0) - 5, name, ALARM, "middle"))
    return found


def _paths(view: PlanView, d: PlanDrawing, x: Place, y: Place) -> list[str]:
    drawn = [
        tag("polyline", points=points([(x(a), y(b)) for a, b in path]), fill="none",
            stroke=LINE, stroke_width=1.5)
        for name, path in d.paths_m.items() if name != view.shown
    ]  # fmt: skip
    if view.shown in d.paths_m:
        path = d.paths_m[view.shown]
        drawn.append(
            tag("polyline", points=points([(x(a), y(b)) for a, b in path]), fill="none",
                stroke=SLATE, stroke_width=4)
        )  # fmt: skip
    if d.driven_m:
        drawn.append(
            tag("polyline", points=points([(x(a), y(b)) for a, b in d.driven_m]), fill="none",
                stroke=INK, stroke_width=3, stroke_dasharray="2 3")
        )  # fmt: skip
        drawn.append(tag("circle", cx=x(d.driven_m[-1][0]), cy=y(d.driven_m[-1][1]), r=5, fill=INK))
    for rod, (at, height) in enumerate(d.rods_m):
        px, py = x(at), y(height)
        drawn.append(tag("line", x1=px, x2=px, y1=py - 6, y2=py + 6, stroke=INK, stroke_width=1.5))
        if rod and rod % NUMBER_EVERY == 0:
            drawn.append(_words(px, py + 22, str(rod), INK, "middle"))
    return drawn


def _aside(d: PlanDrawing, x: Place, tall: float, language: str) -> list[str]:
    if not (d.aside_m or d.driven_aside_m):
        return []
    most = max(max(abs(right) for _, right in (*d.aside_m, *d.driven_aside_m)), 0.5)
    middle = tall + ASIDE / 2.0

    def line(path: Points) -> str:
        far = ASIDE / 2.0 - 24.0
        return points([(x(along), middle + right / most * far) for along, right in path])

    return [
        _words(LEFT, tall + 12.0, say("plan.drawing_aside", language)),
        tag("line", x1=x(0), x2=x(d.distance_m), y1=middle, y2=middle, stroke=LINE,
            stroke_dasharray="6 4"),
        tag("polyline", points=line(d.aside_m), fill="none", stroke=SLATE, stroke_width=3),
        tag("polyline", points=line(d.driven_aside_m), fill="none", stroke=INK, stroke_width=3,
            stroke_dasharray="2 3"),
    ]  # fmt: skip
