"""The page, the paper and the command of the order of rods, and what is typed wrong."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from rig_day_book import BORE, RIG, tell
from typer.testing import CliRunner

from rodhand.book.opening import open_assessment
from rodhand.book.order.booked_order import booked_view
from rodhand.book.order.rod_order import rod_order_view
from rodhand.cli.main import app as command
from rodhand.faults import BadInputError
from rodhand.sheets.loading_paper import booked_paper
from rodhand.sheets.paper import BookFacts, Items, paper_pdf
from rodhand.units import System
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A rig of twelve rods in three rows that drilled one bore with seven of them."""
    tell(tmp_path / "book", RIG)
    tell(tmp_path / "book", BORE)
    return tmp_path / "book"


def test_the_row_that_did_nothing_leads_next(folder: Path) -> None:
    """Row 3 never left the box; one bore of seven rods gives nothing that is worth a move."""
    view = rod_order_view(open_assessment(folder), "rig-40", "5", "20000", "20")
    assert [row.name for row in view.order[:4]] == [f"M-{k:02d}" for k in range(9, 13)]
    assert (view.use[0], view.steps) == (3, ())
    assert "order.note_break_in" in [note.key for note in view.notes]
    assert view.lead is not None
    assert view.lead.key == "order.lead_least"
    assert view.kind_assumed


def test_set_aside_stays_out_and_is_lifted_out(folder: Path) -> None:
    first = rod_order_view(open_assessment(folder), "Rig-40").order[0].name
    tell(folder, [("standing", {"things": first, "standing": "set aside", "why": "bow"})],
         "2025-09-12")  # fmt: skip
    view = rod_order_view(open_assessment(folder), "Rig-40")
    assert [(out.why, out.rods) for out in view.out] == [("set aside", (first,))]
    assert first not in [row.name for row in view.order]
    assert first in [rod for step in view.steps if step.what == "out" for rod in step.rods]
    assert first not in [rod for step in view.steps if step.what == "in" for rod in step.rods]


def test_kind_of_box_is_entered_with_the_rig(folder: Path) -> None:
    tell(folder, [("rig", {"rig": "Rig-40", "box_kind": "near row first"})], "2025-09-12")
    view = rod_order_view(open_assessment(folder), "Rig-40")
    assert (view.kind, view.kind_assumed, view.use) == ("near-row-first", False, (1, 2, 3))


def test_booked_bore_and_own_prices_are_taken(folder: Path) -> None:
    """Forty feet of ten foot rods are four; prices as entered leave no assumption about them."""
    tell(folder, [
        ("booked-bore", {"bore": "B2", "rig": "Rig-40", "length_ft": "40", "under": "road"}),
        ("price", {"what": "break", "price": "30000", "currency": "USD"}),
        ("price", {"what": "rod move", "price": "15", "currency": "USD"}),
    ])  # fmt: skip
    view = rod_order_view(open_assessment(folder), "Rig-40")
    notes = {note.key for note in view.notes}
    assert (view.bore, sum(row.in_bore for row in view.order)) == ("B2", 4)
    assert not notes & {"order.note_prices", "order.note_length"}
    assert "cost" in view.ways[0].figures


def test_a_price_nobody_gave_is_named_with_the_form_to_type_it_in(folder: Path) -> None:
    """The form has the currency of the other prices while they are in one."""
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1")
    tell(folder, [("booked-bore", {"bore": "B2", "rig": "Rig-40", "length_ft": "40",
                                   "under": "road"})])  # fmt: skip
    none = rod_order_view(open_assessment(folder), "Rig-40").lacking
    assert [each.link for each in none] == [
        "/enter/price?what=break&focus=price", "/enter/price?what=rod+move&focus=price",
    ]  # fmt: skip
    assert rod_order_view(open_assessment(folder), "Rig-40", "", "20000", "20").lacking == ()
    tell(folder, [("price", {"what": "break", "under": "water", "price": "30000",
                             "currency": "USD"})])  # fmt: skip
    one = rod_order_view(open_assessment(folder), "Rig-40").lacking
    wanted = "/enter/price?what=break&under=road&currency=USD&focus=price"
    assert [each.link for each in one] == [
        wanted, "/enter/price?what=rod+move&currency=USD&focus=price",
    ]  # fmt: skip
    assert booked_view(open_assessment(folder), "Rig-40").lacking == one
    for page in ("order", "booked-order"):
        assert f'href="{wanted.replace("&", "&amp;")}"' in client.get(f"/{page}/Rig-40").text
    field = client.get(wanted).text.partition('name="v.currency"')[2].partition(">")[0]
    assert 'value="USD"' in field
    tell(folder, [("price", {"what": "rig hour", "price": "200", "currency": "EUR"})])
    two = rod_order_view(open_assessment(folder), "Rig-40").lacking
    assert all("currency" not in each.link for each in two)


@pytest.mark.parametrize(
    ("typed", "codes"),
    [
        (("x", "", ""), ["order_rods"]),
        (("0", "-1", "y"), ["order_rods", "order_price", "order_price"]),
        (("", "100", ""), ["order_one_price"]),
        (("501", "nan", "1"), ["order_rods", "order_price"]),
    ],
)
def test_wrong_numbers_are_all_told(
    folder: Path, typed: tuple[str, str, str], codes: list[str]
) -> None:
    with pytest.raises(BadInputError) as error:
        rod_order_view(open_assessment(folder), "Rig-40", *typed)
    assert [fault.code for fault in error.value.faults] == codes


def test_page_twin_and_paper(folder: Path) -> None:
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1:8420")
    page = client.get("/order/Rig-40")
    assert page.status_code == 200
    twin = client.get("/order/Rig-40.json").json()
    assert twin["view"]["state"] == "known"
    assert client.get("/order/Rig-40?rods=x").status_code == 400
    assert client.get("/order/Rig-41").status_code == 404
    paper = client.get("/order/Rig-40/list.pdf")
    assert paper.content.startswith(b"%PDF")
    assert 'href="/order/Rig-40"' in client.get("/yard").text


def test_unknown_order_gives_no_list(tmp_path: Path) -> None:
    tell(tmp_path / "b", [row for row in RIG if row[0] != "load"])
    view = rod_order_view(open_assessment(tmp_path / "b"), "Rig-40")
    assert (view.state, view.steps) == ("order", ())


def test_command_prints_the_list_and_its_json(folder: Path) -> None:
    run = CliRunner()
    told = run.invoke(command, ["order", "--rig", "Rig-40", "--book", str(folder)])
    assert told.exit_code == 0, told.output
    found = run.invoke(command, ["order", "--rig", "Rig-40", "--book", str(folder), "--json"])
    whole = json.loads(found.output)
    assert (whole["view"]["rig"], whole["view"]["state"]) == ("Rig-40", "known")
    every = run.invoke(command, ["order", "--book", str(folder), "--json"])
    assert [each["view"]["rig"] for each in json.loads(every.output)] == ["Rig-40"]


def test_booked_bores_are_planned_together(folder: Path) -> None:
    """Three bores of four, five and six ten-foot rods; no move is made against the turning."""
    tell(folder, [
        ("booked-bore", {"bore": f"N{k}", "rig": "Rig-40", "length_ft": f"{10 * (3 + k)}"})
        for k in (1, 2, 3)
    ])  # fmt: skip
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1:8420")
    assert client.get("/booked-order/Rig-40").status_code == 200
    view = client.get("/booked-order/Rig-40.json").json()["view"]
    assert [each["bore"] for each in view["lists"]] == ["N1", "N2", "N3"]
    assert client.get("/booked-order/Rig-41").status_code == 404
    assert 'href="/booked-order/Rig-40"' in client.get("/order/Rig-40").text
    args = ["order", "--rig", "Rig-40", "--booked", "--book", str(folder)]
    told = CliRunner().invoke(command, args)
    assert told.exit_code == 0, told.output
    assert "3. N3" in told.output


def test_a_bore_booked_when_it_was_drilled_is_told_wherever_bookings_stand(folder: Path) -> None:
    """Kept and counted for nothing; told by the entry, the command, the forecast and the order."""
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1:8420")
    typed = {"v.bore": "b1", "v.rig": "Rig-40", "v.length": "40", "u.length": "ft"}
    entry = client.post("/enter/booked-bore", data=typed)
    told = "B1 has rows already: this booking counts for nothing."
    assert entry.status_code == 200
    pages = [client.get(f"/{path}").text for path in ("forecast", "booked-order/Rig-40")]
    assert [told in page for page in (entry.text, *pages)] == [True] * 3
    args = ["enter", "booked-bore", "--book", str(folder), "--rig", "Rig-40", "--length_ft", "40"]
    assert told in CliRunner().invoke(command, [*args, "--bore", "B1"]).stderr
    assert "rows already" not in CliRunner().invoke(command, [*args, "--bore", "B2"]).stderr
    assert client.get("/booked-order/Rig-40.json").json()["view"]["lists"][0]["bore"] == "B2"


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("language", ["en", "es"])
def test_paper_of_booked_bores_has_a_page_for_each(
    folder: Path, system: System, language: str
) -> None:
    """A bore of twenty rods, twelve in the box: eight are missing, told on its page alone."""
    tell(folder, [
        ("booked-bore", {"bore": name, "rig": "Rig-40", "length_ft": feet})
        for name, feet in (("N1", "40"), ("N2", "200"))
    ])  # fmt: skip
    assessment = open_assessment(folder)
    view = booked_view(assessment, "Rig-40")
    short = [[note.values["short"].value for note in each.notes if note.key == "order.note_short"]
             for each in view.lists]  # fmt: skip
    assert short == [[], [8.0]]
    assert [len(each.order) for each in view.lists] == [4, 12]
    facts = BookFacts.of(folder, assessment.book)
    paper = booked_paper(view, facts, system, language)
    assert [part.heading for part in paper.parts if part.kind == "page"] == ["1. N1", "2. N2"]
    loud = [item for part in paper.parts if isinstance(part, Items) for item in part.items
            if item.loud]  # fmt: skip
    assert len(loud) == 2 + sum(len(each.notes) for each in view.lists)
    assert paper_pdf(paper).startswith(b"%PDF")


def test_papers_of_booked_bores_from_the_page_and_the_command(folder: Path, tmp_path: Path) -> None:
    tell(folder, [("booked-bore", {"bore": "N1", "rig": "Rig-40", "length_ft": "40"})])
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1:8420")
    assert client.get("/booked-order/Rig-40/list.pdf").content.startswith(b"%PDF")
    assert client.get("/booked-order/Rig-41/list.pdf").status_code == 404
    args = ["order", "--rig", "Rig-40", "--booked", "--book", str(folder), "--out", str(tmp_path)]
    assert CliRunner().invoke(command, args).exit_code == 0
    assert [each.read_bytes()[:4] for each in tmp_path.glob("*.pdf")] == [b"%PDF"]


def test_without_a_booked_bore_it_says_so(folder: Path) -> None:
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1:8420")
    assert client.get("/booked-order/Rig-40.json").json()["view"]["state"] == "none"
    assert client.get("/booked-order/Rig-40").status_code == 200
