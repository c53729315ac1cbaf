"""Work under way on the season's last Friday: a planned bore half drilled, booked work, prices.

The pages of the rig have something to show only while a bore is at hand. It stands beside the
season: what is planted there, and the figures of its truth, hold without it.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from rodhand.demo.diary import DemoEntry, Diary, day, minute
from rodhand.demo.kit import OFFICE
from rodhand.demo.plan import LAST_FRIDAY

BORE, RIG = "S-80", "Rig-12"
PITCHES = ("-20.1", "-18.2", "-16.6", "-14.7", "-13.2", "-11.3", "-9.8", "-2.4")
HEADINGS = ("0.0", "0.0", "0.3", "0.5", "0.4", "0.2", "-0.1", "-0.4")
"""Pitch and heading at the end of each rod, near the plan's easiest path up to rod 7. The last
rod turns up by 7.4 % over its 6 ft, past the maker's limit. Invented. [%], [degrees]"""
DEPTHS_FT = {3: "3.4", 6: "5.8", 8: "6.8"}
OVER = len(PITCHES)
A_ROD = timedelta(minutes=7)

PLAN = {
    "plan": BORE, "rig": RIG, "head": "HD-12", "distance_ft": "160", "entry_pitch_pct": "-20",
    "exit_pitch_pct": "18", "cover_ft": "5", "cover_from_ft": "60", "cover_to_ft": "105",
    "product_od_in": "4.5", "product_radius_ft": "30", "hole_diameter_in": "6",
    "chosen": "easiest", "note": "invented",
    "pitches": "-20.0 -18.3 -16.5 -14.8 -13.1 -11.4 -9.7 -8.0 -6.3 -4.7 -3.0 -1.3 0.4 2.1 3.7 5.0 "
    "6.2 7.5 8.8 10.1 11.4 12.7 14.0 15.3 16.6 17.1 17.1",
}  # fmt: skip
UTILITIES = (
    {"utility": "gas main", "what": "gas", "how": "potholed seen", "at_ft": "72",
     "runs": "across", "depth_top_ft": "2.6", "size_in": "4"},
    {"utility": "telecom duct", "what": "telecom", "how": "located", "at_ft": "94",
     "runs": "across", "depth_top_ft": "2.2", "size_in": "3"},
)  # fmt: skip
BOOKED = (
    {"bore": BORE, "rig": RIG, "length_ft": "160", "ground": "stiff-clay", "under": "road",
     "plan": BORE},
    {"bore": "S-81", "rig": RIG, "length_ft": "190", "ground": "sand", "under": "nothing"},
    {"bore": "S-82", "rig": RIG, "length_ft": "230", "ground": "stiff-clay", "under": "water"},
    {"bore": "M-46", "rig": "Rig-40", "length_ft": "310", "ground": "stiff-clay", "under": "road"},
    {"bore": "M-47", "rig": "Rig-40", "length_ft": "260", "ground": "cobble", "under": "nothing"},
    {"bore": "L-16", "rig": "Rig-100", "length_m": "160", "ground": "sand", "under": "rail"},
)  # fmt: skip
PRICES = (
    {"what": "break", "price": "4000"},
    {"what": "break", "price": "15000", "under": "road"},
    {"what": "break", "price": "60000", "under": "rail"},
    {"what": "rod move", "price": "4"},
    {"what": "rig hour", "price": "260"},
    {"what": "rig day", "price": "2600"},
    {"what": "dressed", "price": "9"},
    {"what": "re-cut", "price": "85"},
    {"what": "new rod", "price": "210", "rod_type": "R-S", "lead_days": "14"},
    {"what": "new rod", "price": "420", "rod_type": "R-M", "lead_days": "21"},
    {"what": "new rod", "price": "1150", "rod_type": "R-L", "lead_days": "35"},
)
"""Invented, in no country's money."""
CURRENCY = "coins"


def under_way() -> list[DemoEntry]:
    """What was entered of it: the plan and the office's papers on Thursday, the rods on Friday."""
    diary = Diary()
    thursday = LAST_FRIDAY - timedelta(days=1) + timedelta(hours=17)
    for price in PRICES:
        diary.add("price", {**price, "currency": CURRENCY}, thursday, OFFICE, "owner-1")
    diary.add("plan", PLAN, thursday, OFFICE, "office-1")
    for utility in UTILITIES:
        diary.add("utility", {"plan": BORE, **utility}, thursday, OFFICE, "foreman-1")
    for after, booked in enumerate(BOOKED):
        told = {**booked, "day": day(LAST_FRIDAY + timedelta(days=after))}
        diary.add("booked-bore", told, thursday, OFFICE, "office-1")
    clock = LAST_FRIDAY + timedelta(hours=15, minutes=30)  # the rows were turned at 15:00
    facts = {
        "bore": BORE, "rig": RIG, "place": "Larch Walk duct", "ground": "stiff-clay",
        "under": "road", "head": "HD-12", "hole_diameter_in": "3.6",
    }  # fmt: skip
    _at_the_rig(diary, "bore", facts, clock)
    for number, (pitch, heading) in enumerate(zip(PITCHES, HEADINGS, strict=True), 1):
        clock += A_ROD
        row = {
            "bore": BORE, "pass": "pilot", "station": str(number), "pitch_pct": pitch,
            "heading_deg": heading, "heading_ref": "relative", "rpm": "120",
            "rotating_min": "0.8" if number == OVER else "4.2",
        }  # fmt: skip
        if number == OVER:
            row |= {"push_ft": "5", "remark": "steered up, ground turned hard"}
        if number in DEPTHS_FT:
            row["depth_ft"] = DEPTHS_FT[number]
        _at_the_rig(diary, "reading", row, clock)
    return diary.entries()


def _at_the_rig(diary: Diary, kind: str, payload: dict[str, str], clock: datetime) -> None:
    diary.add(kind, payload, clock, "cab-12", "driller-12", minute(clock))
