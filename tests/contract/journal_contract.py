"""What every journal promises, whatever it keeps its entries in; inherited by each one's tests."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from book_builder import YARD, entries_of
from rodhand.faults import BadInputError
from rodhand.record.entry import Draft
from rodhand.record.intake import Intake
from rodhand.record.verify import verify_entries

PRINTABLE = st.text(st.characters(exclude_categories=("Cc", "Cs")), min_size=1, max_size=40)


class JournalContract:
    """Tests that take a fixture ``journal``: a new, empty journal open for writing."""

    def test_what_was_written_comes_back_as_typed(self, journal: Intake) -> None:
        typed = {"RIG": "Rig-40", "pilot_rpm": " 0100.0 ", "note": ""}
        entry = journal.write("rig", typed, "2025-09-09", "p1")
        assert entry.payload == {"rig": "Rig-40", "pilot_rpm": " 0100.0 "}
        assert (entry.counter, entry.previous, entry.happened) == (1, "", "2025-09-09")
        assert list(journal.entries()) == [entry]
        assert journal.book().rigs["Rig-40"].pilot_rpm == 100.0

    def test_any_text_comes_back(self, journal: Intake) -> None:
        @settings(max_examples=25)
        @given(text=PRINTABLE.filter(str.strip), by=st.text("abc1-", max_size=8))
        def comes_back(text: str, by: str) -> None:
            entry = journal.write("remark", {"text": text}, by=by)
            assert entry.payload["text"] == text
            assert journal.entries()[-1] == entry

        comes_back()
        assert not verify_entries(journal.entries()).broken

    def test_entries_of_one_device_are_a_chain(self, journal: Intake) -> None:
        first = journal.write("remark", {"text": "a"})
        second, third = journal.write_many(
            [Draft("remark", {"text": "b"}), Draft("remark", {"text": "c"})]
        )
        assert (second.previous, third.previous) == (first.hash, second.hash)
        assert [each.counter for each in journal.entries()] == [1, 2, 3]

    def test_several_are_kept_all_or_none_with_the_line_of_each_fault(
        self, journal: Intake
    ) -> None:
        drafts = [
            Draft("remark", {"text": "fine"}, line=2),
            Draft("remark", {"text": "", "station": "x"}, line=3),
            Draft("remark", {"text": "fine"}, "yesterday", line=4),
            Draft("remark", {"text": "fine", "bore": "B-9"}, line=5),
        ]
        with pytest.raises(BadInputError) as caught:
            journal.write_many(drafts, "rows.csv")
        assert {(fault.code, fault.line) for fault in caught.value.faults} == {
            ("entry_not_a_number", 3), ("entry_missing", 3), ("entry_happened", 4),
            ("bore_unknown", 5),
        }  # fmt: skip
        assert not journal.entries()
        assert journal.write("remark", {"text": "next"}).counter == 1

    def test_a_faulty_row_that_defines_a_name_is_told_alone(self, journal: Intake) -> None:
        drafts = [Draft("rig", {"rig": "R-1", "units": "x"}, line=2)]
        drafts += [Draft("bore", {"bore": f"B-{n}", "rig": "R-1"}, line=n) for n in (3, 4)]
        with pytest.raises(BadInputError) as caught:
            journal.write_many(drafts)
        assert [fault.code for fault in caught.value.faults] == ["entry_choice"]

    def test_rows_of_one_call_may_refer_to_each_other(self, journal: Intake) -> None:
        drafts = [Draft("bore", {"bore": "B-1", "rig": "R-1"}), Draft("rig", {"rig": "R-1"})]
        assert len(journal.write_many(drafts)) == 2

    @pytest.mark.parametrize(
        ("kind", "payload", "code"),
        [
            ("reading", {"bore": "B-9", "station": "1"}, "bore_unknown"),
            ("check", {"things": "M1-01, M9-01", "item": "box", "found": "x"}, "thing_unknown"),
            ("strike", {"entry": "0123456789", "why": "x"}, "strike_unknown"),
            ("set", {"set": "S", "rod_type": "R-9", "count": "2"}, "rod_type_unknown"),
            ("set", {"set": "SET-M1", "rod_type": "R-M", "count": "2"}, "set_twice"),
            ("thing", {"thing": "M1-01", "what": "sub"}, "mark_taken"),
            ("thing", {"thing": "H-1", "what": "head", "rig": "R-9"}, "rig_unknown"),
            ("nonsense", {"a": "b"}, "entry_kind"),
        ],
    )
    def test_what_makes_no_sense_is_refused(
        self, journal: Intake, kind: str, payload: dict[str, str], code: str
    ) -> None:
        journal.append(entries_of(YARD))
        with pytest.raises(BadInputError) as caught:
            journal.write(kind, payload)
        assert code in {fault.code for fault in caught.value.faults}
        assert len(journal.entries()) == len(YARD)

    def test_a_later_mistake_is_told_though_an_earlier_one_stays(self, journal: Intake) -> None:
        journal.append(entries_of([*YARD, ("reading", {"bore": "B-9", "station": "1"})]))
        assert journal.book().problems
        journal.write("remark", {"text": "old trouble does not stop new work"})
        with pytest.raises(BadInputError):
            journal.write("reading", {"bore": "B-9", "station": "2"})

    def test_sent_again_counts_once(self, journal: Intake) -> None:
        entries = entries_of(YARD)
        assert journal.append(entries[:2]) == 2
        assert journal.append([*entries, entries[2]]) == 1
        assert journal.append(entries) == 0
        assert list(journal.entries()) == entries

    def test_from_elsewhere_everything_sound_is_kept_and_told(self, journal: Intake) -> None:
        stray = entries_of([("reading", {"bore": "B-9", "station": "x"}), ("hole", {"a": "b"})])
        assert journal.append(stray) == 2
        codes = {problem.code for problem in journal.book().problems}
        assert codes == {"entry_not_a_number", "entry_kind"}

    def test_changed_entries_are_refused_and_none_is_kept(self, journal: Intake) -> None:
        first, second, third = entries_of(YARD)
        changed = replace(second, payload={"rig": "Rig-41"})
        with pytest.raises(BadInputError) as caught:
            journal.append([first, changed, replace(third, counter=2**63)])
        assert [fault.code for fault in caught.value.faults] == ["entry_changed"] * 2
        assert not journal.entries()

    def test_one_id_is_one_entry(self, journal: Intake) -> None:
        first, second, _ = entries_of(YARD)
        other = replace(second, id=first.id)
        journal.append([first])
        with pytest.raises(BadInputError) as caught:
            journal.append([replace(other, hash=other.computed_hash())])
        assert [fault.code for fault in caught.value.faults] == ["entry_id_taken"]

    def test_striking_by_the_beginning_of_an_id(self, journal: Intake) -> None:
        entry = journal.write("remark", {"text": "wrong"})
        strike = journal.strike(entry.id[:8], "typing slip", "p1")
        assert strike.payload == {"entry": entry.id, "why": "typing slip"}
        assert not journal.book().remarks
        journal.strike(strike.id, "was right")
        assert [remark.text for remark in journal.book().remarks] == ["wrong"]
        with pytest.raises(BadInputError):
            journal.strike(entry.id[:3], "too short")

    def test_a_struck_bore_waits_with_its_readings_for_the_right_one(self, journal: Intake) -> None:
        journal.append(entries_of(YARD))
        bore = journal.write("bore", {"bore": "B-1", "rig": "Rig-40", "ground": "sand"})
        journal.write("reading", {"bore": "B-1", "station": "1"})
        journal.strike(bore.id, "wrong ground")
        assert [problem.code for problem in journal.book().problems] == ["bore_unknown"]
        journal.write("bore", {"bore": "B-1", "rig": "Rig-40", "ground": "stiff-clay"})
        assert not journal.book().problems
        assert journal.book().bores["B-1"].passes[0].readings

    def test_an_entry_that_spoils_an_older_one_is_refused(self, journal: Intake) -> None:
        journal.append(entries_of(YARD))
        journal.write("thing", {"thing": "S-1", "what": "sub"}, "2025-06-01")
        with pytest.raises(BadInputError) as caught:
            journal.write("thing", {"thing": "S-1", "what": "saver sub"}, "2025-01-01")
        assert [fault.code for fault in caught.value.faults] == ["mark_taken"]

    def test_an_unknown_rod_at_a_station_is_taken_and_told(self, journal: Intake) -> None:
        journal.append(entries_of(YARD))
        journal.write("bore", {"bore": "B-1", "rig": "Rig-40"})
        journal.write("reading", {"bore": "B-1", "station": "1", "rod": "M9-01"})
        assert [problem.code for problem in journal.book().problems] == ["rod_unknown"]

    def test_the_book_follows_what_is_written(self, journal: Intake) -> None:
        assert journal.book().entry_count == 0
        journal.write("rig", {"rig": "R-1"}, entered="2025-06-01T12:00:00+00:00")
        journal.write("rig", {"rig": "R-2"}, entered="2025-06-03T12:00:00+00:00")
        assert set(journal.book().rigs) == {"R-1", "R-2"}
        assert set(journal.book("2025-06-02").rigs) == {"R-1"}
