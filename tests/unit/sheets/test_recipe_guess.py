"""Proposals for tables with any headings: word order, languages, unit styles, slips of the pen."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodhand.faults import BadInputError
from rodhand.sheets.grids import Grid, grid_from_bytes
from rodhand.sheets.heading_words import take_apart
from rodhand.sheets.log import log_of
from rodhand.sheets.recipe_guess import Guess, first_rows, guess_recipe
from rodhand.sheets.recipes import recipe_from_text
from rodhand.sheets.tables import table_of
from rodhand.words import render_faults, say


def grid(text: str) -> Grid:
    return grid_from_bytes(text.encode(), "log.csv")


def guessed(text: str) -> dict[str, str]:
    proposal = guess_recipe(grid(text), "x")
    return {g.heading: g.spec.as_text() for g in proposal.columns if g.spec is not None}


def doubts(proposal: Guess) -> dict[str, tuple[str, ...]]:
    for column in proposal.columns:
        for doubt in column.doubts:
            assert say(f"guess.{doubt}")
    return {g.heading: g.doubts for g in proposal.columns if g.doubts}


@pytest.mark.parametrize(
    ("heading", "words", "unit"),
    [
        ("Pitch [%]", ("pitch",), "pct"),
        ("Länge (m)", ("lange",), "m"),
        ("inclinaison %", ("inclinaison",), "pct"),
        ("Tige n°", ("tige", "no"), ""),
        ("Torque (ft-lbs)", ("torque",), "ftlb"),
        ("Couple (daN.m)", ("couple",), "daNm"),
        ("Rotation [tr/min]", ("rotation",), "rpm"),
        ("Drehzahl 1/min", ("drehzahl",), "rpm"),
        ("Depth in", ("depth",), "in"),
        ('Depth (")', ("depth",), "in"),
        ("Pitch at start in %", ("pitch", "at", "start", "in"), "pct"),
        ("min pitch deg", ("min", "pitch"), "deg"),
        ("rotTorqueKNm", ("rot", "torque"), "kNm"),
        ("azi_grid_deg", ("azi", "grid"), "deg"),
        ("Mud (bar)", ("mud",), "foreign"),
        ("Offset (m, left +)", ("offset", "left"), "m"),
    ],
)
def test_headings_are_taken_apart(heading: str, words: tuple[str, ...], unit: str) -> None:
    parts = take_apart(heading)
    assert (parts.words, parts.unit) == (words, unit)


def test_german_table_with_titles_decimal_commas_and_centimetres() -> None:
    text = (
        "Bohrung 7;;;;\nDatum;2025-01-01;;;\n"
        "Gestänge Nr.;Länge (m);Neigung am Ende [%];Tiefe (cm);Drehmoment [kNm]\n"
        "1;3,05;-20,5;61;1,3\n2;3,05;-15;110;1,4\n"
    )
    assert guessed(text) == {
        "Gestänge Nr.": "station", "Länge (m)": "length m", "Neigung am Ende [%]": "pitch pct",
        "Tiefe (cm)": "depth cm", "Drehmoment [kNm]": "torque kNm",
    }  # fmt: skip
    proposal = guess_recipe(grid(text), "x")
    assert (proposal.recipe.decimal_comma, proposal.recipe.heading_line) == (True, 3)
    read = log_of(table_of(grid(text), 3), proposal.recipe)
    assert read.row(0) == {
        "station": "1", "length_m": "3.05", "pitch_pct": "-20.5", "depth_m": "0.61",
        "torque_Nm": "1300.0",
    }  # fmt: skip


def test_units_on_a_line_of_their_own() -> None:
    text = (
        "Joint #\tPitch\tDepth\tRot. Time\tThrust (klbs)\tMud psi\n\t%\tft\tmin\t\t\n"
        "1\t-20\t2.4\t4.2\t3.6\t580\n2\t-18\t4\t3\t3\t300\n"
    )
    proposal = guess_recipe(grid(text), "x")
    assert proposal.recipe.unit_line == 2
    assert guessed(text) == {
        "Joint #": "station", "Pitch [%]": "pitch pct", "Depth [ft]": "depth ft",
        "Rot. Time [min]": "rotating_time min", "Thrust (klbs)": "thrust kip",
    }  # fmt: skip
    assert first_rows(grid(text), proposal.recipe, 1).rows == (
        ("1", "-20", "2.4", "4.2", "3600.0"),
    )


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (  # French, pitch plus downward
            "Tige n°,inclinaison %,Profondeur (m),Poussée (kN),Rotation (tr/min)\n"
            "1,20,0.6,30,100\n2,15,1.1,31,100\n",
            {"Tige n°": "station", "inclinaison %": "pitch pct down", "Profondeur (m)": "depth m",
             "Poussée (kN)": "thrust kN", "Rotation (tr/min)": "rpm"},
        ),
        (  # Spanish
            "Varilla,Pendiente (%),Longitud (pies),Par (lb-ft)\n1,-20,10,900\n2,-15,10,900\n",
            {"Varilla": "station", "Pendiente (%)": "pitch pct", "Longitud (pies)": "length ft",
             "Par (lb-ft)": "torque ftlb"},
        ),
        (  # Dutch pairs
            "Stang nr;Helling begin (%);Helling eind (%);Diepte [m]\n1;-20;-20;.6\n2;-20;-15;1\n",
            {"Stang nr": "station", "Helling begin (%)": "pitch_start pct",
             "Helling eind (%)": "pitch pct", "Diepte [m]": "depth m"},
        ),
        (  # capitals and run-together names
            "PIPE_NUM,PITCH_DEG,HDG_MAG,CUM_DIST_FT,PULL_LBS\n1,-12.5,271,15,1\n2,-11,272,30,1\n",
            {"PIPE_NUM": "station", "PITCH_DEG": "pitch deg", "HDG_MAG": "heading deg magnetic",
             "CUM_DIST_FT": "md ft", "PULL_LBS": "pull lb"},
        ),
        (  # slips of the pen
            "Drill rod count,Lenght ft,Pich pct,Toruqe Nm\n1,10,-20,900\n2,10,-18,910\n",
            {"Drill rod count": "station", "Lenght ft": "length ft", "Pich pct": "pitch pct",
             "Toruqe Nm": "torque Nm"},
        ),
        (  # a well: depth beside angles is measured along the hole, derived columns are left out
            "Depth m;Inc deg;Azi true deg;TVD m;Northing m\n0;85;20;0;0\n10;86;21;1;9\n",
            {"Depth m": "md m", "Inc deg": "inclination deg", "Azi true deg": "azimuth deg true"},
        ),
        (  # pressure is no force, a plan is no reading, a clock position is none of ours
            "Rod,Thrust (bar),Planned pitch %,Pitch change %,Pitch %,Clock\n"
            "1,50,-20,0,-20,12\n2,51,-15,5,-15,12\n",
            {"Rod": "station", "Pitch %": "pitch pct"},
        ),
        (  # the same word with a time and with a length
            "Rod no;Push (min);Push length (ft)\n1;2;4\n2;3;5\n",
            {"Rod no": "station", "Push (min)": "push_time min", "Push length (ft)": "push ft"},
        ),
        (  # marks are no numbers
            "Rod number,Rod mark,Pitch %\n1,M1-03,-20\n2,M1-04,-15\n",
            {"Rod number": "station", "Rod mark": "rod", "Pitch %": "pitch pct"},
        ),
        (  # inclination that goes below zero is counted from the level
            "Pipe no,Inclination (deg)\n1,-11\n2,-9\n3,0\n4,3\n",
            {"Pipe no": "station", "Inclination (deg)": "pitch deg"},
        ),
    ],
)  # fmt: skip
def test_tables_from_elsewhere(text: str, expected: dict[str, str]) -> None:
    assert guessed(text) == expected


def test_what_had_to_be_assumed_is_said() -> None:
    proposal = guess_recipe(grid("Rod,Pitch,Avg depth,Length ft\n1,20,2,10\n2,18,4,10\n"), "x")
    assert doubts(proposal) == {
        "Pitch": ("unit_assumed", "pitch_down_assumed"), "Avg depth": ("unit_assumed",),
    }  # fmt: skip
    depth = next(g.spec for g in proposal.columns if g.heading == "Avg depth")
    assert depth is not None
    assert depth.unit == "ft"  # as the length's


def test_a_mean_pitch_is_read_only_where_there_is_no_better() -> None:
    assert guessed("Rod,Avg pitch %,End pitch %\n1,-22,-20\n2,-19,-18\n") == {
        "Rod": "station", "End pitch %": "pitch pct",
    }  # fmt: skip
    proposal = guess_recipe(grid("Rod,Average pitch %\n1,-22\n2,-19\n"), "x")
    assert doubts(proposal) == {"Average pitch %": ("mean_pitch",)}


def test_headings_that_mean_nothing_are_told() -> None:
    with pytest.raises(BadInputError) as raised:
        guess_recipe(grid("alpha,beta\nx,y\n"), "x")
    assert raised.value.faults[0].code == "headings_mean_nothing"
    render_faults(raised.value)


# Words a crew may use for a field, with a unit that goes with it, in random dress.
SAID = {
    "station": (["Rod", "Rod No.", "Joint", "Pipe #", "Stange Nr", "tige", "Stick no"], [""]),
    "pitch": (["Pitch", "slope", "Neigung", "Pente", "helling", "Pitch reading"],
              ["%", "pct", "deg", "°", "percent", "Prozent"]),
    "depth": (["Depth", "locator depth", "Tiefe", "Profondeur", "cover"],
              ["m", "ft", "cm", "in", "feet", "mm"]),
    "torque": (["Torque", "Drehmoment", "Rotary torque", "Couple"],
               ["Nm", "kNm", "ft-lb", "ft.lbs", "daNm", "N·m", "lbf-ft"]),
    "thrust": (["Thrust", "Thrust force", "Vorschubkraft", "Push force"],
               ["kN", "lb", "lbs", "kip", "daN", "tonnes"]),
    "length": (["Rod length", "length", "Stangenlänge", "longueur"], ["m", "ft", "mm", "feet"]),
    "rotating_time": (["Rotating time", "rotate", "Drill time"], ["min", "h", "minutes", "sec"]),
}  # fmt: skip
UNITS = {
    "%": "pct", "percent": "pct", "Prozent": "pct", "°": "deg", "feet": "ft", "ft-lb": "ftlb",
    "ft.lbs": "ftlb", "N·m": "Nm", "lbf-ft": "ftlb", "lbs": "lb", "tonnes": "tf",
    "minutes": "min", "sec": "s",
}  # fmt: skip
DRESS = ["{w} [{u}]", "{w} ({u})", "{w}, {u}", "{w} {u}", "{w}/{u}", "{w} in {u}", "{w}_{u}"]


@st.composite
def foreign_tables(draw: st.DrawFn) -> tuple[str, dict[str, str]]:
    fields = draw(st.permutations(sorted(SAID)))
    cases: list[Callable[[str], str]] = [str, str.upper, str.lower, str.title]
    case = draw(st.sampled_from(cases))
    heads, expected = [], {}
    for field in fields:
        words, units = SAID[field]
        word, unit = draw(st.sampled_from(words)), draw(st.sampled_from(units))
        dress = draw(st.sampled_from(DRESS)) if unit else "{w}"
        head = dress.format(w=case(word), u=unit)
        heads.append(head)
        expected[head] = f"{field} {UNITS.get(unit, unit)}".strip()
    numbers = {"station": "{n}", "pitch": "-{n}.5", "depth": "{n}.2"}
    rows = [[numbers.get(f, "12").format(n=n) for f in fields] for n in (1, 2, 3)]
    return "\n".join(";".join(row) for row in [heads, *rows]), expected


@settings(deadline=None, derandomize=True, max_examples=300)
@given(foreign_tables())
def test_any_dress_of_word_and_unit_is_understood(case: tuple[str, dict[str, str]]) -> None:
    text, expected = case
    assert guessed(text) == expected


@settings(deadline=None, derandomize=True)
@given(foreign_tables())
def test_a_proposal_kept_as_text_reads_the_file(case: tuple[str, dict[str, str]]) -> None:
    text, expected = case
    kept = recipe_from_text(guess_recipe(grid(text), "x").recipe.to_text(), "x")
    read = log_of(table_of(grid(text), *kept.lines), kept)
    assert len(read.typed) == len(expected)
    assert read.si["station"].tolist() == [1, 2, 3]


@settings(deadline=None, derandomize=True)
@given(st.lists(st.lists(st.text(max_size=12), min_size=1, max_size=5), min_size=2, max_size=5))
def test_no_table_breaks_the_proposal(rows: list[list[str]]) -> None:
    try:
        table = grid("\n".join(";".join(row) for row in rows))
        guess_recipe(table, "x")
    except BadInputError as error:
        render_faults(error)
