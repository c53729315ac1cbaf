"""The file of a break or loss: what it finds, what was known when, what it says it lacks."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from claim_books import BREAK, HEAD, LOOK, SEASON, bore, on_disk

from book_builder import YARD
from rodhand.book.claim.claim import Claim, claim_of
from rodhand.book.claim.photos import BOTH, DIFFERS, ENTRY_ONLY, FOLDER_ONLY
from rodhand.book.claim.subject import NoSuchSubjectError
from rodhand.book.twin import figures_of, twin
from rodhand.record.journal import Journal
from rodhand.units import Standing


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return on_disk(tmp_path_factory.mktemp("books") / "season", SEASON)


@pytest.fixture(scope="module")
def claim(season: Path) -> Claim:
    return claim_of(season, "M1-03")


def keys(sentences: object) -> list[str]:
    """Keys of sentences."""
    return [each.key for each in sentences]  # type: ignore[attr-defined]


def test_the_break_is_found_with_its_place_and_day(claim: Claim) -> None:
    (incident,) = claim.view.incidents
    assert (incident.what, incident.bore, incident.happened) == ("break", "T-2", "2025-06-01")
    assert (incident.section, incident.by) == ("mid tube", "p1")
    assert claim.view.day_before == "2025-05-31"
    # Third in the load, all by mark; station as typed.
    assert incident.figures["place"].value == 3
    assert incident.figures["station"].value == 6


def test_what_stood_ahead_and_behind(claim: Claim) -> None:
    told = {each.key: each.values for each in claim.view.string}
    # Six rods in the hole at station 6: two ahead of the third, three behind it.
    assert told["claim.string.ahead"]["things"] == "M1-01, M1-02"
    assert told["claim.string.behind"]["things"] == "M1-04..M1-06"


def test_what_the_rod_went_through(claim: Claim) -> None:
    (thing,) = claim.view.things
    passes = [(row.bore, row.what, row.figures["place"].value) for row in thing.passes]
    assert ("T-1", "pilot", 3) in passes
    assert ("T-2", "pilot", 3) in passes
    # The sharp turn is at station 4; the third rod from the tool turned through it in both bores.
    assert {(row.bore, row.how) for row in thing.overs} == {("T-1", "passed"), ("T-2", "passed")}
    assert [row.station for row in thing.overs] == [4.0, 4.0]


def test_make_up_of_both_its_joints(claim: Claim) -> None:
    (thing,) = claim.view.things
    read = [(row.bore, row.station, row.side) for row in thing.makeups if row.what == "reading"]
    assert read == [
        (name, station, side)
        for name in ("T-1", "T-2")
        for station, side in ((3.0, "toward_the_tool"), (4.0, "toward_the_rig"))
    ]
    # 1 ft-lb is 1.3558179483 N m (international foot, avoirdupois pound, standard gravity).
    torques = [row.figures["torque"].value for row in thing.makeups]
    assert torques == pytest.approx([4100 * 1.3558179483314] * 4)


def test_what_was_known_the_day_before(claim: Claim) -> None:
    known = {(line.kind, line.happened): line.known for line in claim.view.timeline}
    assert known["check", "2025-05-10"] == "before"
    assert known["break", "2025-06-01"] == "same day"
    (thing,) = claim.view.things
    assert thing.then is not None
    assert thing.then.day == "2025-05-31"
    # The jaw bite had been typed: a bite asks for dressing (found_words.csv).
    assert thing.then.standing == "dress"
    assert claim.view.figures["late"].value == 0


def test_a_look_typed_after_the_break_was_not_known_before(tmp_path: Path) -> None:
    book = on_disk(tmp_path / "book", [*YARD, *HEAD, *bore("T-1", "2025-05-05")])
    on_disk(book, bore("T-2", "2025-06-01"))
    on_disk(book, [BREAK])
    on_disk(book, [LOOK], typed="2025-06-03")
    found = claim_of(book, "M1-03").view
    (line,) = [each for each in found.timeline if each.kind == "check"]
    assert (line.known, line.late) == ("after", True)
    assert found.figures["late"].value == 1
    (thing,) = found.things
    assert thing.then is not None
    assert thing.then.standing != "dress"
    assert thing.looks[0].entered == "2025-06-03 12:00"


def test_a_clock_set_wrong_does_not_decide_what_was_known(tmp_path: Path) -> None:
    book = on_disk(tmp_path / "book", [*YARD, *HEAD, *bore("T-1", "2025-05-05")])
    on_disk(book, [("break", {"thing": "M1-03", "bore": "T-1"}, "2025-06-01")])
    on_disk(book, [LOOK], typed="2025-05-20")
    with Journal.open(book) as journal:
        device = journal.device
        # Found 30 days slow: what it says it typed on May 20 was typed on June 19.
        journal.write("clock", {"device": device, "fast_by_h": "-720"}, "2025-06-20")
    found = claim_of(book, "M1-03").view
    (line,) = [each for each in found.timeline if each.kind == "check"]
    assert line.known == "after"
    assert line.entered == "2025-05-20 12:00"  # shown as the device gave it
    assert "claim.unknown.clock" in keys(found.unknown)


def test_sisters_of_set_batch_and_bores(tmp_path: Path) -> None:
    same = {"rod_type": "R-M", "count": "2", "rig": "Rig-40"}
    book = on_disk(
        tmp_path / "book",
        [
            *YARD[:2],
            ("set", {**same, "set": "A", "marks_start": "A-1", "bought": "2023-03"}, "2025-01-01"),
            ("set", {**same, "set": "B", "marks_start": "B-1", "bought": "2023-03"}, "2025-01-01"),
            ("set", {**same, "set": "C", "marks_start": "C-1", "bought": "2024-01"}, "2025-01-01"),
            ("set", {**same, "set": "D", "marks_start": "D-1"}, "2025-01-01"),
            ("bore", {"bore": "T-1", "rig": "Rig-40"}, "2025-05-05"),
            ("load", {"rig": "Rig-40", "bore": "T-1", "things": "A-1, C-1", "how": "marked"},
             "2025-05-05"),
            ("reading", {"bore": "T-1", "station": "1", "pitch_pct": "-20", "turns": "300"},
             "2025-05-05"),
            ("reading", {"bore": "T-1", "station": "2", "pitch_pct": "-18", "turns": "300"},
             "2025-05-05"),
            ("break", {"thing": "A-1", "bore": "T-1"}, "2025-05-06"),
        ],
    )  # fmt: skip
    sisters = {row.name: row.how for row in claim_of(book, "A-1").view.sisters}
    assert sisters == {
        "A-2": ("set", "batch"), "B-1": ("batch",), "B-2": ("batch",), "C-1": ("bores",),
    }  # fmt: skip


def test_down_hole_items_by_serial_and_value(claim: Claim) -> None:
    rows = {row.name: row for row in claim.view.items}
    assert (rows["HD-1"].serial, rows["HD-1"].known) == ("H-77", "entered")
    assert (rows["TX-1"].serial, rows["TX-1"].known) == ("T-9", "of_the_rig")
    assert rows["M1-03"].known == "itself"
    assert claim.view.figures["values"].value == 9000  # the head's; nothing else has a value
    assert rows["TX-1"].figures["value"].standing is Standing.UNKNOWN


def test_steel_to_keep_names_the_rod_and_its_neighbours(claim: Claim) -> None:
    told = {each.key: each.values for each in claim.view.keep}
    assert told["claim.keep.broken"]["thing"] == "M1-03"
    assert told["claim.keep.mates"]["mates"] == "M1-02, M1-04"


def test_a_bore_holds_what_broke_in_it(season: Path) -> None:
    view = claim_of(season, "t-2").view
    assert (view.kind, view.subject, [t.name for t in view.things]) == ("bore", "T-2", ["M1-03"])
    assert claim_of(season, "T-1").view.things == ()


def test_a_name_nobody_carries(season: Path) -> None:
    with pytest.raises(NoSuchSubjectError):
        claim_of(season, "M9-99")


def test_a_mark_given_again_leads_to_the_rod_that_broke(tmp_path: Path) -> None:
    book = on_disk(
        tmp_path / "book",
        [
            ("thing", {"thing": "R-1", "what": "rod"}, "2025-01-01"),
            ("break", {"thing": "R-1"}, "2025-02-01"),
            ("whereabouts", {"things": "R-1", "where": "scrapped"}, "2025-02-01"),
            ("thing", {"thing": "R-1", "what": "rod", "note": "the new one"}, "2025-03-01"),
        ],
    )
    view = claim_of(book, "R-1").view
    assert len(view.incidents) == 1
    with Journal.open(book, write=False) as journal:
        old = journal.book().breaks[0].thing
    assert view.things[0].key == old


def test_a_loss_takes_the_bore_its_rig_had_begun(tmp_path: Path) -> None:
    book = on_disk(
        tmp_path / "book",
        [
            ("rig", {"rig": "R1"}, "2025-01-01"),
            ("thing", {"thing": "TX", "what": "transmitter", "rig": "R1", "serial": "5"},
             "2025-01-01"),
            ("bore", {"bore": "one", "rig": "R1"}, "2025-02-01"),
            ("bore", {"bore": "two", "rig": "R1"}, "2025-03-01"),
            ("bore", {"bore": "three", "rig": "R1"}, "2025-04-01"),
            ("whereabouts", {"things": "TX", "where": "lost in hole"}, "2025-03-02"),
        ],
    )  # fmt: skip
    view = claim_of(book, "TX").view
    (loss,) = view.incidents
    assert (loss.what, loss.bore, loss.bore_said) == ("loss", "two", False)
    assert "claim.unknown.bore_derived" in keys(view.unknown)
    assert view.items[0].serial == "5"


def test_an_almost_empty_book_still_gives_a_file(tmp_path: Path) -> None:
    book = on_disk(
        tmp_path / "book",
        [
            ("rig", {"rig": "R1"}, "2025-03-01"),
            ("bore", {"bore": "B-1", "rig": "R1"}, "2025-03-04"),
            ("event", {"bore": "B-1", "what": "break"}, "2025-03-04"),
        ],
    )
    view = claim_of(book, "B-1").view
    assert view.day == "2025-03-04"
    told = keys(view.unknown)
    for lack in ("which_thing", "station", "no_readings", "no_load", "no_head", "no_items",
                 "no_photo"):  # fmt: skip
        assert f"claim.unknown.{lack}" in told, lack
    assert "claim.keep.unnamed" in keys(view.keep)
    assert len(view.timeline) == 2
    twin(view)


def test_a_rod_that_did_not_break_says_so(season: Path) -> None:
    view = claim_of(season, "M1-05").view
    assert view.incidents == ()
    assert "claim.unknown.no_incident" in keys(view.unknown)
    assert view.figures["known_before"].value is None  # unknown, never nought


def test_no_chance_of_a_break_and_no_person_but_a_key(claim: Claim) -> None:
    assert not [f.key for f in figures_of(claim.view) if "chance" in f.key]
    assert {line.by for line in claim.view.timeline} == {"p1"}


def test_the_entries_it_rests_on_are_of_these_bores_and_things(tmp_path: Path) -> None:
    book = on_disk(tmp_path / "book", [*SEASON, *bore("T-3", "2025-07-01")])
    on_disk(book, [
        ("thing", {"thing": "Z-1", "what": "reamer"}, "2025-01-01"),
        ("bore", {"bore": "other", "rig": "Rig-40", "client": "somebody else"}, "2025-07-02"),
        ("check", {"things": "Z-1", "item": "x", "found": "sound"}, "2025-07-03"),
    ])  # fmt: skip
    claim = claim_of(book, "M1-03", "2025-06-30")
    said = [(entry.kind, entry.payload) for entry in claim.entries]
    bores = {payload["bore"] for kind, payload in said if kind in ("bore", "reading")}
    assert bores == {"T-1", "T-2"}
    assert not [payload for kind, payload in said if "Z-1" in str(payload)]
    assert [kind for kind, _ in said].count("break") == 1
    assert all(entry.entered[:10] <= "2025-06-30" for entry in claim.entries)


def test_photos_by_hash(season: Path, tmp_path: Path) -> None:
    book = on_disk(tmp_path / "book", SEASON)
    folder = tmp_path / "photos"
    (folder / "more").mkdir(parents=True)
    for name, data in (("a.jpg", b"one"), ("more/b.jpg", b"two"), ("c.jpg", b"other")):
        (folder / name).write_bytes(data)

    def noted(name: str, data: bytes) -> dict[str, str]:
        digest = hashlib.sha256(data).hexdigest()
        return {"things": "M1-03", "photo": name, "sha256": digest.upper()}

    on_disk(book, [("photo", noted("a.jpg", b"one")), ("photo", noted("c.jpg", b"as it was")),
                   ("photo", noted("gone.jpg", b"gone"))])  # fmt: skip
    rows = {row.file: row for row in claim_of(book, "M1-03", photos=folder).view.photos}
    assert {name: row.state for name, row in rows.items()} == {
        "a.jpg": BOTH, "c.jpg": FOLDER_ONLY, "gone.jpg": ENTRY_ONLY, "more/b.jpg": FOLDER_ONLY,
    }  # fmt: skip
    states = [row.state for row in claim_of(book, "M1-03", photos=folder).view.photos]
    assert DIFFERS in states
    assert rows["a.jpg"].figures["bytes"].value == 3
    # SHA-256 of "two", as the sha256sum program gives it.
    assert rows["more/b.jpg"].sha256 == (
        "3fc4ccfe745870e2c0d99f71f30ff0656c8dedd41cc1d7d3d376b0dbe685e2f3"
    )
    without = claim_of(book, "M1-03").view
    assert {row.state for row in without.photos} == {""}
    assert "claim.unknown.no_folder" in keys(without.unknown)
    assert "claim.unknown.no_photo" in keys(claim_of(season, "M1-03", photos=folder).view.unknown)


def test_an_event_is_a_note_and_no_section(tmp_path: Path) -> None:
    rows = [("rig", {"rig": "R1"}), ("bore", {"bore": "T1", "rig": "R1"}),
            ("event", {"bore": "T1", "what": "break", "note": "on pullback"})]  # fmt: skip
    (incident,) = claim_of(on_disk(tmp_path / "b", rows), "T1").view.incidents
    assert (incident.what, incident.section, incident.note) == ("event", "", "break: on pullback")


def test_no_length_stands_in_for_a_rod_of_unknown_type(tmp_path: Path) -> None:
    rows = [("rig", {"rig": "R1"}), ("bore", {"bore": "T1", "rig": "R1"}),
            ("thing", {"thing": "A-1", "what": "rod"}),
            ("break", {"thing": "A-1", "bore": "T1"})]  # fmt: skip
    (thing,) = claim_of(on_disk(tmp_path / "b", rows), "A-1").view.things
    assert thing.figures["length"].value is None
    assert "thing.unknown.no_length" in keys(thing.unknown)
    assert "thing.unknown.length" not in keys(thing.unknown)
