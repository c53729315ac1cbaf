"""Old with new, breaking in, threads that differ, and the lead rod of the week."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from rig_day_book import BORE, RIG, kept, tell

from book_builder import ROD_TYPE
from rodhand.book.entry.keeping import enter
from rodhand.book.entry.loading import tell_load
from rodhand.book.opening import open_assessment
from rodhand.book.tasks.lead_week import lead_week_tasks, led_last
from rodhand.book.yard.old_new import break_in, old_new_view
from rodhand.faults import BadInputError
from rodhand.record.entry import Draft
from rodhand.steel.thread import JointDimensions, ThreadForm
from rodhand.steel.thread_fit import thread_differences
from rodhand.units import INCH
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

FORM = ThreadForm("V", 2.0 / 12.0, 0.25 * INCH, 0.038 * INCH)
NC38 = JointDimensions(FORM, 3.808 * INCH, 4.0 * INCH, 4.078125 * INCH)
THREAD = {
    "pitch_diameter_in": "2.0", "lead_in": "0.25", "pin_length_in": "2.5", "counterbore_in": "2.2",
    "root_truncation_in": "0.038", "taper_in_per_ft": "2", "half_angle_deg": "30",
}  # fmt: skip


def test_threads_drawn_alike_and_apart() -> None:
    """Lead 1/4 against 1/5 in; pitch diameter of NC38 against NC40, 3.808 and 4.072 in (READ)."""
    assert thread_differences(NC38, NC38) == ()
    finer = replace(NC38, thread=replace(FORM, lead=0.2 * INCH))
    assert thread_differences(NC38, finer) == ("lead",)
    assert thread_differences(NC38, replace(NC38, pitch_diameter=4.072 * INCH)) == (
        "pitch_diameter",
    )
    steep = replace(NC38, thread=replace(FORM, taper=3.0 / 12.0, half_angle=math.radians(32)))
    assert thread_differences(NC38, steep) == ("taper", "half_angle")
    assert thread_differences(NC38, None) is None


def join(folder: Path, thread: dict[str, str] | None = None) -> None:
    """Bore B1 drilled by seven rods, then three new rods for the same rig."""
    tell(folder, BORE)
    tell(folder, [("whereabouts", {"things": "S1", "where": "row"})], "2025-09-10")
    name = "R-M"
    if thread is not None:
        tell(folder, [("rod-type", ROD_TYPE | THREAD),
                      ("rod-type", ROD_TYPE | THREAD | thread | {"name": "R-N"})])  # fmt: skip
        name = "R-N"
    tell(folder, [("set", {"set": "S2", "rod_type": name, "count": "3", "marks_start": "N-01",
                           "rig": "Rig-40"})], "2025-09-11")  # fmt: skip


def look(folder: Path, thing: str, end: str, found: str) -> None:
    tell(folder, [("check", {"things": thing, "end": end, "item": "thread-form", "found": found})],
         "2025-09-12")  # fmt: skip


def test_what_is_dressed_first_and_what_is_kept_apart(folder: Path) -> None:
    join(folder)
    view = old_new_view(folder, "Rig-40")
    assert view.do.key == "old_new.do_look"
    assert view.not_looked[0] == "M-01"
    assert {"N-01", "N-02", "N-03"} <= {each.name for each in view.new}
    look(folder, "S1, SS-1", "whole", "nothing found")
    assert old_new_view(folder, "Rig-40").do.key == "old_new.do_break_in"
    look(folder, "M-02", "pin", "peaked")
    view = old_new_view(folder, "Rig-40")
    assert view.do.key == "old_new.do_dress"
    assert [(each.name, each.end) for each in view.dress] == [("M-02", "pin")]
    look(folder, "M-03", "box", "torn")
    view = old_new_view(folder, "Rig-40")
    assert view.do.key == "old_new.do_apart"
    assert [(each.name, each.end) for each in view.apart] == [("M-03", "box")]


def test_three_clean_make_ups_break_a_rod_in(folder: Path) -> None:
    join(folder)
    for _ in range(3):
        break_in(folder, "Rig-40", ("N-01", "N-02"), True, "pat")
    break_in(folder, "Rig-40", ("N-02",), False, "pat")
    rods = {each.name: each for each in old_new_view(folder, "Rig-40").new}
    assert (rods["N-01"].make_ups, rods["N-01"].found) == (3, ())
    assert rods["N-02"].make_ups == 0
    assert rods["N-02"].found
    assert rods["N-03"].make_ups == 0
    with pytest.raises(BadInputError) as error:
        break_in(folder, "Rig-40", ("M-01",), True, "pat")
    assert [fault.code for fault in error.value.faults] == ["old_new_not_new"]


def test_threads_that_differ_are_refused_in_the_box_and_at_the_vise(folder: Path) -> None:
    join(folder, {"lead_in": "0.2"})
    view = old_new_view(folder, "Rig-40")
    assert view.do.key == "old_new.do_refused"
    assert "lead" in view.refused[0]
    before = len(kept(folder))
    with pytest.raises(BadInputError) as error:
        tell_load(folder, "Rig-40", "by row", "M-01, N-01", ())
    assert [fault.code for fault in error.value.faults] == ["threads_differ"]
    with pytest.raises(BadInputError):
        break_in(folder, "Rig-40", ("N-01",), True, "")
    typed = {"rig": "Rig-40", "things": "M-01..M-03, N-01..N-02", "how": "by row"}
    with pytest.raises(BadInputError) as error:
        enter(folder, [Draft("load", typed, "2025-06-01", line=7)], "loads.csv")
    assert [(f.code, f.line, f.column) for f in error.value.faults] == [
        ("threads_differ", 7, "things")
    ]
    assert len(kept(folder)) == before
    tell_load(folder, "Rig-40", "by row", "M-01, M-02", ())


def test_threads_nobody_entered_are_not_refused(folder: Path) -> None:
    join(folder)
    assert old_new_view(folder, "Rig-40").refused == ()


def bore(name: str) -> list[tuple[str, dict[str, str]]]:
    return [
        ("bore", {"bore": name, "rig": "Rig-40"}),
        *(("reading", {"bore": name, "station": str(n), "pitch_pct": "0", "length_ft": "10"})
          for n in (1, 2)),
    ]  # fmt: skip


def test_the_same_lead_rod_for_a_week_is_told(folder: Path) -> None:
    """Two bores led by M-01 on the 9th and the 16th: seven days; on the 15th: six, not told."""
    box = [("load", {"rig": "Rig-40", "things": "S1", "how": "by row"})]
    for last, told in (("2025-09-15", 0), ("2025-09-16", 1)):
        here = folder / last
        tell(here, RIG)
        for day, name in (("2025-09-09", "A1"), (last, "A2")):
            tell(here, [*box, *bore(name)], day)
        tell(here, box, last)
        assessment = open_assessment(here)
        assert len(lead_week_tasks(assessment)) == told, last
        led = led_last(assessment, "Rig-40")
        assert led is not None
        assert assessment.book.things[led.key].name == "M-01"
        turned = "M-05..M-12, M-01..M-04"
        tell(here, [("load", {"rig": "Rig-40", "things": turned, "how": "by row"})], "2025-09-17")
        assert lead_week_tasks(open_assessment(here)) == []


def test_page(folder: Path) -> None:
    join(folder)
    client = TestClient(create_app(BookDesk(folder)), base_url="http://127.0.0.1",
                        client=("127.0.0.1", 50000))  # fmt: skip
    assert "N-01" in client.get("/old-new/Rig-40").text
    sent = client.post("/old-new/Rig-40", data={"rod": ["N-01", "N-02"], "found": "clean"},
                       headers={"origin": "http://127.0.0.1"})  # fmt: skip
    assert sent.status_code == 200
    assert "1 of 3" in sent.text
    empty = client.post("/old-new/Rig-40", data={"found": "clean"},
                        headers={"origin": "http://127.0.0.1"})  # fmt: skip
    assert empty.status_code == 400
    assert client.get("/old-new/Rig-40.json").json()["view"]["rig"] == "Rig-40"
    assert client.get("/old-new/none").status_code == 404
    assert 'href="/old-new/Rig-40"' in client.get("/yard").text
