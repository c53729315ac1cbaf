"""Tables and owner's settings in force."""

from __future__ import annotations

from rodhand.advice.looks import FoundWord
from rodhand.advice.rules import Rule, rules_from_rows
from rodhand.advice.settings import OwnSettings, own_settings, setting_fault
from rodhand.book.work.days import day_of
from rodhand.book.work.tables import data_rows, fatigue_curves
from rodhand.record.book import Book
from rodhand.record.book_looks import Setting
from rodhand.wear.sections import CurveSet


def default_curves() -> CurveSet:
    """The fatigue curves in force: settings to calibrate, with their standing in docs/theory."""
    curves = fatigue_curves()
    return CurveSet(
        tube=curves["dnv_rp_c203_base_metal.high_strength"],
        weld=curves["dnv_rp_c203_air.C"],
        thread=curves["en_1993_1_9.category_50"],
    )


def default_rules() -> dict[str, Rule]:
    """The rule table that comes with the program."""
    return rules_from_rows(data_rows("rules.csv"))


def default_words() -> tuple[FoundWord, ...]:
    """What the words of a look mean."""
    return tuple(
        FoundWord(row["words"], row["finding"], row["standing"], row["cleared_by"])
        for row in data_rows("found_words.csv")
    )


def settings_in_force(book: Book, today: str) -> OwnSettings:
    """The owner's settings that hold on a day; see `settings_begun`."""
    begun = settings_begun(book, today)
    return own_settings({name: each.value for name, each in begun.items()}, default_rules())


def settings_begun(book: Book, today: str) -> dict[str, Setting]:
    """The last setting of each name that can be used and has begun by a day.

    An invented book is read as of its own last week; whatever was set since holds at once.
    """
    rules, all_of_it = default_rules(), is_invented(book)
    return {
        setting.name: setting
        for setting in book.settings
        if (all_of_it or day_of(setting.origin.happened.start) <= today[:10])
        and not setting_fault(setting.name, setting.value, rules)
    }


def is_invented(book: Book) -> bool:
    """Whether a book says of itself that it is invented: a rig's note does."""
    return any(rig.note.casefold() == "invented" for rig in book.rigs.values())
