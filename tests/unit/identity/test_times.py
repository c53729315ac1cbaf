"""Late paper, wrong clocks, the night the clocks change, a rig that crosses a zone.

Every expected time is worked out by hand beside it.
"""

from __future__ import annotations

from pathlib import Path

from fastapi.testclient import TestClient
from random_histories import lives

from book_builder import YARD, Row, log_rows
from rodhand.book.work.assess import assess
from rodhand.record.compare import book_as_facts
from rodhand.record.entry import Chain, Draft, Entry
from rodhand.record.journal import Journal
from rodhand.record.reading_back import read_book
from rodhand.web.app import create_app
from rodhand.web.book_desk import BookDesk

Stamped = tuple[str, dict[str, str], str, str]
"""Kind, columns, happened as typed ('' is the device's stamp), the device's stamp."""


def on_device(device: str, rows: list[Stamped]) -> list[Entry]:
    chain = Chain(device)
    return [
        chain.add(Draft(kind, payload, happened), entered, f"{device}-{number}")
        for number, (kind, payload, happened, entered) in enumerate(rows, 1)
    ]


def yard() -> list[Entry]:
    at = "2025-01-01T08:00:00+00:00"
    return on_device("office", [(kind, dict(what), day, at) for kind, what, day in YARD])  # type: ignore[misc]


def look(found: str, happened: str, entered: str) -> Stamped:
    return ("check", {"things": "M1-01", "item": "full-look", "found": found}, happened, entered)


def clock(device: str, fast_by_h: str, entered: str) -> Stamped:
    return ("clock", {"device": device, "fast_by_h": fast_by_h}, "", entered)


def read(*devices: list[Entry]) -> list[tuple[str, str, str]]:
    """Looks in the order of the book: what was found, local time, UTC."""
    book = read_book([*yard(), *(entry for device in devices for entry in device)])
    assert not book.problems
    return [(c.found, c.origin.happened.start, c.origin.at) for c in book.checks]


def three_bores() -> dict[str, list[Row]]:
    pitches = {"B1": ("-20", "-16", "-10"), "B2": ("-9", "-4", "0"), "B3": ("-12", "-7", "1")}
    days = {"B1": "2025-06-02", "B2": "2025-06-05", "B3": "2025-06-09"}
    return {
        name: [
            ("bore", {"bore": name, "rig": "Rig-40"}, days[name]),
            *log_rows(
                name,
                [
                    {"station": f"{n}", "length_ft": "10", "pitch_pct": pitch,
                     "rotating_min": "6", "rpm": "100"}
                    for n, pitch in enumerate(of_bore, 1)
                ],
                day=days[name],
            ),
        ]
        for name, of_bore in pitches.items()
    }  # fmt: skip


def book_of(rows: list[Row], device: str) -> list[Entry]:
    stamped = [(k, dict(p), day, "2025-07-01T10:00:00+00:00") for k, p, day in rows]  # type: ignore[misc]
    return on_device(device, stamped)


def test_a_bore_from_paper_after_two_later_ones_gives_the_same_book() -> None:
    bores = three_bores()
    load = ("load", {"rig": "Rig-40", "things": "M1-01..M1-06", "how": "by row"}, "2025-06-01")
    turned = ("load", {"rig": "Rig-40", "things": "M1-06..M1-01", "how": "by row"}, "2025-06-04")
    slip = ("slip", {"rig": "Rig-40", "bore": "B3", "things": "M1-02, M1-04"}, "2025-06-09")
    in_turn = [*YARD, load, *bores["B1"], turned, *bores["B2"], *bores["B3"], slip]
    late = [*YARD, load, turned, *bores["B2"], *bores["B3"], slip, *bores["B1"]]
    one, two = read_book(book_of(in_turn, "a")), read_book(book_of(late, "b"))
    assert list(two.bores) == ["B1", "B2", "B3"]
    assert two.bores["B1"].load is not None
    first = two.things[two.bores["B1"].load.things[0]].name
    assert first == "M1-01"  # B1 was drilled before the rows were turned
    assert book_as_facts(one) == book_as_facts(two)
    assert list(lives(assess(one, "2025-07-01")).values()) == list(
        lives(assess(two, "2025-07-01")).values()
    )


def test_a_clock_nine_hours_fast() -> None:
    tablet = on_device(
        "tablet",
        [
            look("worn", "", "2025-06-01T17:10:00+02:00"),  # really 08:10, 06:10 UTC
            look("cracked", "", "2025-06-02T01:30:00+02:00"),  # really 16:30 on the 1st, 14:30 UTC
            clock("tablet", "9", "2025-06-02T17:00:00+02:00"),
        ],
    )
    other = on_device("phone", [look("dirty", "", "2025-06-01T12:00:00+02:00")])  # 10:00 UTC
    assert read(tablet, other) == [
        ("worn", "2025-06-01T08:10", "2025-06-01T06:10:00"),
        ("dirty", "2025-06-01T12:00", "2025-06-01T10:00:00"),
        ("cracked", "2025-06-01T16:30", "2025-06-01T14:30:00"),
    ]


def test_a_clock_four_years_behind() -> None:
    """4 years of 365.25 days are 35,064 h; 2021-06-04 09:00 is 2025-06-04 09:00: 1,461 days on."""
    tablet = on_device(
        "tablet",
        [
            look("worn", "", "2021-06-04T09:00:00+00:00"),
            clock("tablet", "-35064", "2021-06-04T09:05:00+00:00"),
        ],
    )
    assert read(tablet) == [("worn", "2025-06-04T09:00", "2025-06-04T09:00:00")]


def test_a_wrist_watch_knows_nothing_of_the_tablets_clock() -> None:
    tablet = on_device(
        "tablet",
        [
            look("by watch", "2025-06-01T08:00", "2025-06-01T17:20:00+00:00"),  # typed at 08:20
            look("by tablet", "2025-06-01T17:15", "2025-06-01T17:21:00+00:00"),  # really 08:15
            look("from paper", "2025-05-20T16:00", "2025-06-01T17:22:00+00:00"),
            look("a day", "2025-05-30", "2025-06-01T17:23:00+00:00"),
            clock("tablet", "9", "2025-06-02T10:00:00+00:00"),
        ],
    )
    assert [row[:2] for row in read(tablet)] == [
        ("from paper", "2025-05-20T16:00"),
        ("a day", "2025-05-30T00:00"),
        ("by watch", "2025-06-01T08:00"),
        ("by tablet", "2025-06-01T08:15"),
    ]


def test_paper_typed_years_later_on_a_clock_that_is_behind_is_not_moved() -> None:
    tablet = on_device(
        "tablet",
        [
            look("from paper", "2025-05-20T16:00", "2021-06-01T17:22:00+00:00"),
            clock("tablet", "-35064", "2021-06-02T10:00:00+00:00"),
        ],
    )
    assert read(tablet)[0][1] == "2025-05-20T16:00"


def test_the_night_the_clocks_go_back() -> None:
    """26 October 2025: 02:00 to 03:00 comes twice in middle Europe, at +02:00, then at +01:00."""
    tablet = on_device(
        "tablet",
        [
            look("second half past two", "", "2025-10-26T02:30:00+01:00"),  # 01:30 UTC
            look("first half past two", "", "2025-10-26T02:45:00+02:00"),  # 00:45 UTC
            look("after", "", "2025-10-26T03:05:00+01:00"),  # 02:05 UTC
        ],
    )
    assert [(found, at) for found, _, at in read(tablet)] == [
        ("first half past two", "2025-10-26T00:45:00"),
        ("second half past two", "2025-10-26T01:30:00"),
        ("after", "2025-10-26T02:05:00"),
    ]


def test_a_rig_that_crosses_a_zone_keeps_its_local_days() -> None:
    """23:40 at -05:00 on the 3rd is 04:40 UTC on the 4th; 23:10 at -06:00 is 05:10 UTC."""
    tablet = on_device(
        "tablet",
        [
            look("west of the line", "", "2025-06-03T23:10:00-06:00"),
            look("east of the line", "", "2025-06-03T23:40:00-05:00"),
        ],
    )
    assert read(tablet) == [
        ("east of the line", "2025-06-03T23:40", "2025-06-04T04:40:00"),
        ("west of the line", "2025-06-03T23:10", "2025-06-04T05:10:00"),
    ]


def test_pages_show_the_right_day(tmp_path: Path) -> None:
    with Journal.open(tmp_path / "book") as journal:
        for row in YARD:
            journal.write(row[0], row[1], row[2])
        journal.append(
            on_device(
                "tablet",
                [
                    look("cracked", "", "2025-06-02T01:30:00+02:00"),  # 9 h fast: the 1st, 16:30
                    look("bent", "", "2025-06-09T23:50:00-06:00"),  # 9 h fast: 14:50 the same day
                    clock("tablet", "9", "2025-06-10T12:00:00+02:00"),
                ],
            )
        )
    client = TestClient(create_app(BookDesk(tmp_path / "book")), base_url="http://127.0.0.1")
    history = client.get("/thing/M1-01.json").json()["view"]["history"]
    days = [line["happened"] for line in history if line["kind"] == "check"]
    assert days == ["2025-06-09", "2025-06-01"]
    text = client.get("/thing/M1-01").text
    assert ">2025-06-01</a>" in text
    assert "2025-06-02</a>" not in text
