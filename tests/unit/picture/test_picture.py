"""The picture: rods where they stand, life used by height, unknown open, nothing made up."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodhand.book.views import Picture, RodRow
from rodhand.sheets.picture import Drawing, bore_svg, bore_svg_compact, hole_svg
from rodhand.sheets.picture_frame import STRETCHES, interpolate, stretch_for
from rodhand.sheets.picture_rods import INSET, full_scale
from rodhand.units import QUANTITIES, Figure, Standing
from rodhand.web.samples import LENGTH, sample_bore

SVG = "{http://www.w3.org/2000/svg}"


def straight(tool: float = 30.0, **more: object) -> Picture:
    """A level hole 60 m long and 2 m down, three metres a rod."""
    edges = tuple(3.0 * n for n in range(21))
    flat = {
        "measured": (0.0, 60.0),
        "along": (0.0, 60.0),
        "down": (2.0, 2.0),
        "right": (),
        "bend_edges": edges,
        "bend": (0.01,) * 20,
        "bend_low": (0.005,) * 20,
        "bend_high": (0.02,) * 20,
        "limit": 0.07,
        "long_life": 0.04,
        "rod_length": 3.0,
        "tool": tool,
        "drilled": 60.0,
        "head_name": "H",
    }
    return Picture(**{**flat, **more})  # type: ignore[arg-type]


def rod(place: int, used: float | None, tool: float = 30.0, assumed: bool = False) -> RodRow:
    end = tool - 3.0 * (place - 1)
    life = Figure(f"rod.{place}.life_used_all", used, "life", Standing.COMPUTED)
    return RodRow(
        f"k{place}", f"R{place}", place, "marked", end > 0, end - 3.0, end, "fit", assumed,
        {"life_used_all": life},
    )  # fmt: skip


def drawn(drawing: Drawing, width: int = 1100) -> ET.Element:
    return ET.fromstring(hole_svg(drawing, "metric", width=width))


def rods_of(svg: ET.Element) -> dict[int, ET.Element]:
    return {int(g.get("data-place", "")): g for g in svg.iter(f"{SVG}g") if g.get("class") == "rod"}


def polygons(rod_group: ET.Element) -> list[list[tuple[float, float]]]:
    return [
        [tuple(map(float, pair.split(","))) for pair in each.get("points", "").split()]  # type: ignore[misc]
        for each in rod_group.iter(f"{SVG}polygon")
    ]


def height(points: list[tuple[float, float]]) -> float:
    return max(y for _, y in points) - min(y for _, y in points)


def test_each_rod_is_drawn_where_it_stands() -> None:
    svg = drawn(Drawing(straight(), [rod(place, 0.5) for place in range(1, 11)]))
    middles = {
        place: sum(x for x, _ in polygons(group)[0]) / len(polygons(group)[0])
        for place, group in rods_of(svg).items()
    }
    steps = [middles[place] - middles[place + 1] for place in range(1, 10)]
    assert max(steps) - min(steps) < 0.1  # equal rods, equal steps
    assert all(step > 0 for step in steps)  # the first rod leads


def test_the_string_moves_with_the_tool_by_the_scale() -> None:
    at_30 = polygons(rods_of(drawn(Drawing(straight(30.0), [rod(1, 0.5, 30.0)])))[1])[0]
    at_36 = polygons(rods_of(drawn(Drawing(straight(36.0), [rod(1, 0.5, 36.0)])))[1])[0]
    rod_px = max(x for x, _ in at_30) - min(x for x, _ in at_30)
    moved = at_36[0][0] - at_30[0][0]
    assert moved == pytest.approx(2 * rod_px, abs=4)  # two rods on; the gaps between are 1.6 px


def test_fill_height_is_the_share_of_the_printed_scale() -> None:
    svg = drawn(Drawing(straight(), [rod(1, 0.5), rod(2, 0.25), rod(3, 1.0)]))
    shares = {
        place: height(polygons(group)[1]) / (height(polygons(group)[0]) - 2 * INSET)
        for place, group in rods_of(svg).items()
    }
    assert shares == pytest.approx({1: 0.5, 2: 0.25, 3: 1.0}, abs=0.01)
    assert "full: all of its life" in "".join(svg.itertext())


@pytest.mark.parametrize(
    ("worst", "scale"), [(0.003, 0.01), (0.01, 0.01), (0.02, 0.1), (0.5, 1.0), (7.0, 1.0)]
)
def test_the_scale_holds_the_worst_rod(worst: float, scale: float) -> None:
    assert full_scale([rod(1, worst), rod(2, None)]) == scale


def test_a_rod_past_its_life_fills_and_does_not_overflow() -> None:
    group = rods_of(drawn(Drawing(straight(), [rod(1, 5.0)])))[1]
    outline, fill = polygons(group)[:2]
    assert height(fill) == pytest.approx(height(outline) - 2 * INSET, abs=0.1)


def dashes(group: ET.Element) -> str | None:
    return list(group.iter(f"{SVG}polygon"))[-1].get("stroke-dasharray")


def test_unknown_is_open_and_assumed_is_broken() -> None:
    rods = [rod(1, None), rod(2, 0.5, assumed=True), rod(3, 0.5)]
    groups = rods_of(drawn(Drawing(straight(), rods)))
    assert len(polygons(groups[1])) == 2  # outline twice, no fill
    assert dashes(groups[1]) is not None
    assert dashes(groups[2]) is not None
    assert dashes(groups[3]) is None
    assert dashes(groups[1]) != dashes(groups[2])


def test_a_rod_outside_the_hole_is_not_drawn() -> None:
    assert set(rods_of(drawn(Drawing(straight(3.0), [rod(1, 0.5, 3.0), rod(2, 0.5, 3.0)])))) == {1}


def bars(svg: ET.Element, kind: str) -> list[ET.Element]:
    return [each for each in svg.iter(f"{SVG}rect") if each.get("class") == kind]


def test_an_unread_bend_is_an_open_bar_and_has_no_band() -> None:
    bend = (math.nan, *(0.01,) * 19)
    svg = drawn(Drawing(straight(bend=bend, bend_low=bend, bend_high=bend)))
    assert len(bars(svg, "unread")) == 1
    assert bars(svg, "unread")[0].get("fill") == "none"
    assert bars(svg, "unread")[0].get("stroke-dasharray")
    assert len(bars(svg, "bend")) == 19


def test_bars_are_as_high_as_their_bends() -> None:
    bend = (0.03, *(0.01,) * 19)
    tall, low, *_ = (float(bar.get("height", "")) for bar in bars(
        drawn(Drawing(straight(bend=bend))), "bend"
    ))  # fmt: skip
    assert tall / low == pytest.approx(3.0, rel=0.01)


def test_an_over_limit_bar_is_told_without_colour() -> None:
    svg = ET.fromstring(bore_svg(sample_bore(60.0), "metric"))
    hatched = [bar for bar in bars(svg, "bend") if "url(#" in bar.get("fill", "")]
    assert len(hatched) == 1
    assert svg.find(f".//{SVG}pattern/{SVG}path") is not None


def test_ids_of_two_widths_differ() -> None:
    wide, middle = (bore_svg(sample_bore(60.0), "metric", width) for width in (1100, 700))
    ids = [set(re.findall(r' id="([^"]+)"', svg)) for svg in (wide, middle)]
    assert ids[0]
    assert not ids[0] & ids[1]


def test_plan_only_when_the_heading_was_read() -> None:
    with_heading = "".join(ET.fromstring(bore_svg(sample_bore(60.0), "metric")).itertext())
    without = "".join(
        ET.fromstring(bore_svg(sample_bore(60.0, heading=False), "metric")).itertext()
    )
    assert "sideways drawn ×" in with_heading
    assert "sideways drawn ×" not in without
    assert "Plan view not drawn: heading was not read." in without


def test_the_ground_is_flat_and_said_to_be_not_surveyed() -> None:
    text = "".join(ET.fromstring(bore_svg(sample_bore(60.0), "metric")).itertext())
    assert "ground line not surveyed" in text
    assert "depth drawn ×" in text
    assert "to one scale" in text


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("compact", [False, True])
def test_every_number_with_a_unit_is_a_figure(system: str, compact: bool) -> None:
    view = sample_bore(60.0)
    draw = bore_svg_compact if compact else bore_svg
    svg = ET.fromstring(draw(view, system))  # type: ignore[arg-type]
    units = {each.metric[0] for each in QUANTITIES.values()}
    units |= {each.us[0] for each in QUANTITIES.values()}
    words = "|".join(re.escape(unit) for unit in units - {"", "in"})
    for text in svg.iter(f"{SVG}text"):
        plain = (text.text or "") + "".join(span.tail or "" for span in text)
        assert not re.search(rf"\d\s?({words})(?!\w)", plain), plain
    spans = list(svg.iter(f"{SVG}tspan"))
    assert spans
    assert all("figure" in span.get("class", "") and span.get("data-key") for span in spans)


def test_a_figure_in_the_picture_is_printed_in_the_system_asked() -> None:
    for system, shown in (("metric", "6.9\u00a0%"), ("us", "6.9\u00a0%")):
        assert shown in bore_svg(sample_bore(60.0), system)  # type: ignore[arg-type]
    assert "\u00a0ft" in bore_svg(sample_bore(60.0), "us")
    assert "\u00a0ft" not in bore_svg(sample_bore(60.0), "metric")


def test_the_compact_picture_shows_five_rods_around_the_tool_and_no_strip() -> None:
    svg = ET.fromstring(bore_svg_compact(sample_bore(60.0), "metric"))
    assert sorted(rods_of(svg)) == [1, 2, 3, 4, 5]
    assert not bars(svg, "bend")


def test_an_over_steer_names_the_rods_concerned() -> None:
    text = "".join(ET.fromstring(bore_svg(sample_bore(60.0), "metric")).itertext())
    assert "Over the limit at station 4: 9.5\u00a0%" in text
    assert "passed: M1-01..M1-16 · in it now: M1-17 · still to come: M1-18..M1-33" in text


def test_the_path_ahead_is_dashed_only_where_the_tool_has_not_come() -> None:
    def ahead(tool: float) -> int:
        lines = drawn(Drawing(straight(tool))).iter(f"{SVG}polyline")
        return sum(line.get("stroke-dasharray") == "6 5" for line in lines)

    assert ahead(30.0) == 1
    assert ahead(60.0) == 0


def test_titles_are_read_aloud_and_names_escaped() -> None:
    view = replace(sample_bore(60.0), name="<B&2>")
    svg = ET.fromstring(bore_svg(view, "metric"))
    assert svg.get("role") == "img"
    labelled = svg.get("aria-labelledby", "").split()
    ids = {each.get("id"): each.text or "" for each in svg.iter() if each.get("id")}
    assert "<B&2>" in ids[labelled[0]]
    assert "Rods in the hole: 20." in ids[labelled[1]]  # ceil(60 / 3.048)


@pytest.mark.parametrize("at", [0.0, 0.5, LENGTH, 36 * LENGTH])
@pytest.mark.parametrize("width", [700, 1100])
def test_it_draws_at_the_ends(at: float, width: int) -> None:
    view = sample_bore(at)
    ET.fromstring(bore_svg(view, "metric", width))
    text = bore_svg_compact(view, "metric")
    ET.fromstring(text)
    assert "nan" not in text.lower().replace("data-", "")


def test_nothing_known_still_draws() -> None:
    unread = (math.nan,) * 20
    picture = straight(
        bend=unread, bend_low=unread, bend_high=unread, limit=math.nan, long_life=math.nan
    )
    svg = hole_svg(Drawing(picture), "metric")
    assert "nan" not in svg.lower()


@given(st.floats(0.0, 50.0), st.floats(0.5, 40.0))
def test_stretch_fits_its_room(span: float, scale: float) -> None:
    stretch = stretch_for(span, scale, 230.0)
    assert stretch in STRETCHES
    assert stretch == 1 or span * scale * stretch <= 230.0


def test_interpolation_goes_straight_on_beyond_the_ends() -> None:
    assert interpolate(1.5, (0.0, 1.0, 2.0), (0.0, 10.0, 30.0)) == 20.0
    assert interpolate(-1.0, (0.0, 1.0), (5.0, 7.0)) == 3.0
    assert interpolate(3.0, (0.0, 1.0), (5.0, 7.0)) == 11.0
    assert interpolate(9.0, (4.0,), (5.0,)) == 5.0


@pytest.mark.parametrize("name", ["H", "HD-100", "transmitter head 12"])
@pytest.mark.parametrize("width", [800, 1100])
def test_the_tools_name_stands_whole_inside_the_picture(name: str, width: int) -> None:
    """At the end of a rising hole the name stands right of the wedge; a letter is 0.62 wide."""
    rising = {"along": (0.0, 50.0, 59.0), "measured": (0.0, 50.0, 60.0), "down": (2.0, 2.0, -0.5)}
    svg = drawn(Drawing(straight(60.0, head_name=name, **rising), [rod(1, 0.5, 60.0)]), width)
    (label,) = [each for each in svg.iter(f"{SVG}text") if "".join(each.itertext()) == name]
    assert float(label.get("x", "")) + len(name) * 15.0 * 0.62 <= width


def test_the_line_of_entry_level_gives_way_to_a_name_on_it() -> None:
    """In a hole this shallow the names lie on the line, and each has its gap there."""
    on_the_line = 0
    for depth in (0.22, 0.26, 0.3):
        picture = straight(60.0, down=(depth, depth))
        svg = drawn(Drawing(picture, [rod(place, 0.5, 60.0) for place in range(1, 11)]))
        level = next(float(each.get("y1", "")) for each in svg.iter(f"{SVG}line")
                     if each.get("x1") == "0")  # fmt: skip
        gaps = [(float(each.get("x", "")), float(each.get("width", "")))
                for each in svg.iter(f"{SVG}rect") if each.get("height") == "2"]  # fmt: skip
        for label in svg.iter(f"{SVG}text"):
            name, y = "".join(label.itertext()), float(label.get("y", ""))
            if re.fullmatch(r"R\d+", name) and y - 10.8 < level < y:
                on_the_line += 1
                assert any(x < float(label.get("x", "")) < x + wide for x, wide in gaps)
    assert on_the_line
