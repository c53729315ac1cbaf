"""Two people at one rod: values side by side, the room from either, one pick, rows put right."""

from __future__ import annotations

import math
from itertools import permutations
from pathlib import Path
from shutil import copytree

import pytest
from fastapi.testclient import TestClient
from rig_day_book import BORE, RIG, kept, tell
from two_devices_book import PHONE, PITCHES, TABLET, THIRD, rows, send

from rodhand.book.entry.outbox import Pressed, Sent, book_id, take
from rodhand.book.entry.pressed import take_back
from rodhand.book.opening import open_assessment
from rodhand.book.rig.this_rod import this_rod
from rodhand.book.rig.two_press import press_two, two_devices_of
from rodhand.book.why.room import why_room
from rodhand.faults import BadInputError
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

ANN, BEN = "Ann (driller)", "Ben (locator hand)"


def client(folder: Path) -> TestClient:
    return TestClient(create_app(BookDesk(folder)), base_url="http://localhost")


def twin(folder: Path, path: str) -> dict[str, object]:
    answer = client(folder).get(path, headers={"Accept": "application/json"})
    assert answer.status_code == 200
    found: dict[str, object] = answer.json()["view"]
    return found


def differ(folder: Path, one: str = "-2", other: str = "-4") -> None:
    """The tablet and the phone read another pitch at the end of rod 8."""
    send(folder, TABLET, ANN, rows([one]))
    send(folder, PHONE, BEN, rows([other], depth_m="2.1"))


def test_both_values_stand_side_by_side_with_who_when_and_where(folder: Path) -> None:
    differ(folder)
    view = two_devices_of(folder, "b1")
    (rod,) = view.open
    told = {side.typed[0][1]: side.told_by[0] for side in rod.sides}
    assert {text: (t.by, t.happened, t.device_name) for text, t in told.items()} == {
        "-2": (ANN, "2025-09-09 06:01", "3fa2"), "-4": (BEN, "2025-09-09 06:41", "9b1c"),
    }  # fmt: skip
    # -3 was read before: both lie 1 % off it, and one of them counts
    assert sorted(side.state for side in rod.sides) == ["", "counts"]


def test_the_room_keeps_the_limit_from_either_pitch(folder: Path) -> None:
    """From one pitch p the room is p - r to p + r; from both the overlap, hand arithmetic."""
    alone = {}
    for text in ("-2", "-4"):
        (ids,) = [send(folder, TABLET, ANN, rows([text]))]
        figures = this_rod(folder, "Rig-40").room.figures
        alone[text] = figures["from"].value, figures["to"].value
        take_back(folder, ids[0])
    differ(folder)
    figures = this_rod(folder, "Rig-40").room.figures
    assert figures["from"].value == pytest.approx(alone["-2"][0], abs=1e-5)
    assert figures["to"].value == pytest.approx(alone["-4"][1], abs=1e-5)
    assert figures["last_low"].value == pytest.approx(math.atan(-0.04))
    inputs = [each for each in why_room(folder, "Rig-40").parts[0].inputs if "pitch" in each.code]
    assert sorted(each.figure.value for each in inputs) == pytest.approx(
        [math.atan(-0.04), math.atan(-0.02)]
    )


def test_pitches_too_far_apart_leave_no_room_until_one_is_picked(folder: Path) -> None:
    differ(folder, "-2", "-40")
    view = this_rod(folder, "Rig-40")
    assert "from" not in view.room.figures
    assert view.room.told.key == "this_rod.two_apart"
    assert view.last == ""
    side = next(s for s in two_devices_of(folder, "B1").open[0].sides if s.typed[0][1] == "-2")
    assert side.press is not None
    press_two(folder, "B1", side.press.name, ANN)
    picked = this_rod(folder, "Rig-40")
    assert picked.last == "-2"
    assert picked.room.figures["last"].value == pytest.approx(math.atan(-0.02))


def test_one_pick_keeps_all_and_is_changed_and_taken_back_in_one_press(folder: Path) -> None:
    differ(folder)

    def press(typed: str, by: str = ANN) -> None:
        view = two_devices_of(folder, "B1")
        sides = [side for rod in (*view.open, *view.settled) for side in rod.sides]
        (one,) = [s for s in sides if s.typed[0][1] == typed]
        assert one.press is not None
        press_two(folder, "B1", one.press.name, by)

    press("-2")
    (rod,) = two_devices_of(folder, "B1").settled
    assert {s.typed[0][1]: s.state for s in rod.sides} == {"-2": "picked", "-4": "aside"}
    assert rod.picks[0].by == ANN
    press("-4", BEN)
    (rod,) = two_devices_of(folder, "B1").settled
    assert {s.typed[0][1]: s.state for s in rod.sides} == {"-2": "aside", "-4": "picked"}
    take_back(folder, rod.picks[0].entry)
    (rod,) = two_devices_of(folder, "B1").settled  # the pick that was replaced counts again
    assert rod.picks[0].by == ANN
    take_back(folder, rod.picks[0].entry)
    assert len(two_devices_of(folder, "B1").open) == 1
    assert [kind for kind, _ in kept(folder)][-4:] == ["pick", "pick", "strike", "strike"]


def test_the_same_from_two_devices_is_told_as_agreed(folder: Path) -> None:
    send(folder, TABLET, ANN, rows(["-2.0"]))
    send(folder, PHONE, BEN, rows(["-2"]))
    view = two_devices_of(folder, "B1")
    assert (view.open, view.confirmed.value) == ((), 1.0)


def out_of_step(folder: Path) -> None:
    """The phone missed rod 10: its rows stand one behind from there on."""
    tell(folder, [("bore", {"bore": "B2", "rig": "Rig-40"})], "2025-09-10")
    send(folder, TABLET, ANN, rows(PITCHES, 1, "B2"))
    send(folder, PHONE, BEN, rows([*PITCHES[:2], *PITCHES[3:]], 1, "B2"))


def test_a_device_out_of_step_is_said_and_put_right_in_one_press(folder: Path) -> None:
    out_of_step(folder)
    before = two_devices_of(folder, "B2")
    (out,) = before.out
    assert out.told.values["count"] == "1"
    assert {key: own.key for key, own in out.own.items()} == {
        TABLET: "two.own_ahead",
        PHONE: "two.own_behind",
    }
    assert len(before.open) == 9
    press_two(folder, "B2", PHONE, BEN)
    after = two_devices_of(folder, "B2")
    assert (after.open, after.out, after.confirmed.value) == ((), (), 11.0)
    (right,) = after.put_right
    assert right.told.values == {"device": "9b1c", "rows": "9", "count": "1"}
    kind, payload = kept(folder)[-1]
    assert kind == "station-shift"
    assert payload == {"bore": "B2", "pass": "pilot", "device": PHONE, "from_count": "3",
                       "to_count": "11", "stations": "1"}  # fmt: skip
    take_back(folder, right.entry)
    again = two_devices_of(folder, "B2")
    assert (len(again.open), len(again.out), again.put_right) == (9, 1, ())


def test_of_three_devices_the_one_that_differs_is_moved(folder: Path) -> None:
    out_of_step(folder)
    send(folder, THIRD, "Cy", rows(PITCHES, 1, "B2"))
    view = two_devices_of(folder, "B2")
    moved = {move.press.payload["device"] for each in view.out for move in each.moves}
    assert moved == {PHONE}


def test_rows_that_arrive_later_are_put_right_by_the_next_press(folder: Path) -> None:
    out_of_step(folder)
    press_two(folder, "B2", PHONE, BEN)
    more = [-6, 1, -9, 2, -5, 6, -1]
    send(folder, TABLET, ANN, rows(more, 13, "B2"))
    send(folder, PHONE, BEN, rows(more, 12, "B2"))
    assert len(two_devices_of(folder, "B2").out) == 1
    press_two(folder, "B2", PHONE, BEN)
    after = two_devices_of(folder, "B2")
    assert (after.out, len(after.put_right)) == ((), 2)
    assert after.confirmed.value == 18.0


def test_pages_and_twins_show_it_and_the_press_keeps_it(folder: Path) -> None:
    differ(folder)
    web = client(folder)
    for path in ("/rig-rod/Rig-40", "/bore/B1", "/two/B1"):
        text = web.get(path).text
        assert "Ben (locator hand)" in text
        assert text.count("This one counts") == 2
        view = twin(folder, path)
        two = view if path == "/two/B1" else view["two"]
        assert len(two["open"][0]["sides"]) == 2  # type: ignore[index,call-overload]
    side = two_devices_of(folder, "B1").open[0].sides[0]
    assert side.press is not None
    typed = {"what": side.press.name, "by": ANN, "back": "/bore/B1"}
    answer = web.post("/two/B1", data=typed, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/bore/B1")
    assert kept(folder)[-1][0] == "pick"
    pick = two_devices_of(folder, "B1").settled[0].picks[0]
    web.post("/two/B1", data={"take_back": pick.entry, "by": ANN})
    assert len(two_devices_of(folder, "B1").open) == 1
    spanish = web.get("/rig-rod/Rig-40", headers={"X-Language": "es"}).text
    assert "Este cuenta" in spanish
    assert "Ben (localizador)" in spanish


def test_what_is_no_button_is_refused_and_a_bore_nobody_knows_is_not_there(folder: Path) -> None:
    differ(folder)
    with pytest.raises(BadInputError):
        press_two(folder, "B1", "nonsense")
    web = client(folder)
    assert web.post("/two/B1", data={"what": "nonsense"}).status_code == 400
    assert web.post("/two/B1", data={"take_back": "nonsense"}).status_code == 400
    assert web.get("/two/nowhere").status_code == 404
    away = web.post("/two/B1", data={"what": "x", "back": "//elsewhere"})
    assert away.status_code == 400


def batches() -> list[tuple[str, tuple[Pressed, ...]]]:
    """What two devices pressed without a signal, in parts: rows that differ, a pick, a strike."""
    said: dict[str, list[tuple[str, dict[str, str]]]] = {
        TABLET: [("reading", each) for each in rows(["-2", "-1", "1"])],
        PHONE: [("reading", each) for each in rows(["-4", "-1", "3"])],
    }
    ids = {device: [f"{n}{device[:31]:0<31}" for n in range(6)] for device in said}
    at = {"bore": "B1", "pass": "pilot", "station": "8"}
    said[PHONE].append(("pick", {**at, "entry": ids[TABLET][0], "against": ids[PHONE][0]}))
    said[TABLET].append(("strike", {"entry": ids[TABLET][2], "why": "misread"}))
    stamp = "2025-09-09T06:00:00+00:00"
    made = {
        device: [
            Pressed(ids[device][n], n + 1, stamp[:16], "+00:00", stamp, device, kind, payload)
            for n, (kind, payload) in enumerate(each)
        ]
        for device, each in said.items()
    }
    return [(device, tuple(each[i : i + 2])) for device, each in made.items() for i in (0, 2)]


def state(folder: Path) -> object:
    """Everything the two devices said, and what counts, whatever came first."""
    pilot = open_assessment(folder).book.bores["B1"].pass_of("pilot")
    assert pilot is not None
    told = [
        (row.station, row.open,
         {(v.origin.entry, v.typed["pitch_pct"], v.aside) for v in row.voices},
         {each.pitch for each in (row, *row.alternatives)}, len(row.picks))
        for row in pilot.readings
    ]  # fmt: skip
    figures = this_rod(folder, "Rig-40").room.figures
    return told, {name: figure.value for name, figure in figures.items()}


def test_any_order_of_arrival_at_the_book_gives_the_same_state(tmp_path: Path) -> None:
    """Six of the 24 orders of the four parts, each part sent once more after the last."""
    found = []
    tell(tmp_path / "begun", (*RIG, *BORE))
    for number, order in enumerate([*permutations(batches())][::4]):
        folder = copytree(tmp_path / "begun", tmp_path / f"{number}")
        waiting = list(order)
        while waiting:  # what a device sent too early is refused and sent again
            device, part = waiting.pop(0)
            answers = take(folder, Sent(book_id(folder), device, part))
            if any(each.state == "refused" for each in answers):
                waiting.append((device, part))
        for device, part in order:
            answers = take(folder, Sent(book_id(folder), device, part))
            assert {each.state for each in answers} == {"known"}
        found.append(state(folder))
    assert all(each == found[0] for each in found)
    told = found[0][0]  # type: ignore[index]
    assert [(s, o, n) for s, o, _, _, n in told if s >= 8] == [
        (8.0, (), 1), (9.0, (), 0), (10.0, (), 0),
    ]  # fmt: skip
