"""Entries, their hashes and the chain of a device."""

from __future__ import annotations

import hashlib
from dataclasses import replace

import pytest

from book_builder import entries_of
from rodhand.record.entry import Chain, Draft, Entry, entry_from_json
from rodhand.record.verify import verify_entries, verify_known

ROWS = [("remark", {"text": f"n° {n}"}, "2025-06-01") for n in range(1, 6)]


def test_hash_is_sha256_of_the_canonical_line() -> None:
    entry = Chain("d").add(
        Draft("remark", {"text": "é"}, "2025-06-01", "+00:00", "p"),
        "2025-06-01T12:00:00+00:00",
        "i",
    )
    # written out by hand from the promise in docs/book-file.md
    line = (
        '{"by":"p","counter":1,"device":"d","entered":"2025-06-01T12:00:00+00:00",'
        '"happened":"2025-06-01","id":"i","kind":"remark","payload":{"text":"é"},'
        '"previous":"","zone":"+00:00"}'
    )
    assert entry.hash == hashlib.sha256(line.encode("utf-8")).hexdigest()


def test_json_line_comes_back() -> None:
    for entry in entries_of(ROWS):
        assert entry_from_json(entry.as_json()) == entry


@pytest.mark.parametrize("line", ["", "[]", "{}", '{"id": 1}', "nan"])
def test_other_lines_are_no_entries(line: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        entry_from_json(line)


def test_a_counter_beyond_a_stores_integer_is_no_entry() -> None:
    line = entries_of(ROWS)[0].as_json().replace('"counter":1', f'"counter":{2**63}')
    with pytest.raises(ValueError, match="wrong type"):
        entry_from_json(line)


def test_a_sound_chain_holds_in_any_order() -> None:
    entries = entries_of(ROWS) + entries_of(ROWS, "tablet-2")
    found = verify_entries(reversed(entries))
    assert not found.broken
    assert found.count == 10
    assert found.heads["tablet-1"] == (5, entries[4].hash)
    assert found.digest == verify_entries(entries).digest


def test_each_kind_of_tampering_is_found() -> None:
    entries = entries_of(ROWS)
    changed = replace(entries[2], payload={"text": "other"})
    rehashed = replace(changed, hash=changed.computed_hash())
    forked = replace(entries[2], id="z")
    cases = {
        "changed": [*entries[:2], changed, *entries[3:]],
        "not_linked": [*entries[:2], rehashed, *entries[3:]],
        "missing": [*entries[:2], *entries[3:]],
        "forked": [*entries, replace(forked, hash=forked.computed_hash())],
    }
    for code, chain in cases.items():
        assert code in {broken.code for broken in verify_entries(chain).broken}, code
    assert verify_entries(cases["changed"]).broken[0].counter == 3


def typed_on(days: list[str]) -> list[Entry]:
    chain = Chain("d")
    return [
        chain.add(Draft("remark", {"text": day}, day, "+00:00", "p"), entered=f"{day}T09:00+00:00")
        for day in days
    ]


def test_a_chain_is_followed_up_to_the_last_entry_known_by_a_day() -> None:
    entries = typed_on(["2025-06-01", "2025-06-02", "2025-06-03", "2025-06-04"])
    found = verify_known(reversed(entries), "2025-06-02")
    assert found == verify_entries(entries[:2])
    assert verify_known(entries) == verify_entries(entries)
    assert verify_known(entries, "2025-05-31").count == 0


def test_a_clock_that_was_fast_for_a_day_is_no_gap() -> None:
    entries = typed_on(["2025-06-01", "2029-06-02", "2025-06-03", "2025-06-09"])
    found = verify_known(entries, "2025-06-03")
    assert not found.broken
    assert (found.count, found.heads["d"]) == (3, (3, entries[2].hash))


def test_an_entry_taken_out_before_the_day_is_a_gap_as_of_it() -> None:
    entries = typed_on(["2025-06-01", "2025-06-02", "2025-06-03", "2025-06-09"])
    found = verify_known([entries[0], *entries[2:]], "2025-06-04")
    assert [(each.code, each.counter) for each in found.broken] == [("missing", 3)]


def test_happened_is_now_on_the_devices_clock_when_nobody_says() -> None:
    entry = Chain("d").add(Draft("remark", {"text": "x"}), "2025-06-01T12:34:56+02:00")
    assert (entry.happened, entry.zone) == ("2025-06-01T12:34", "+02:00")
