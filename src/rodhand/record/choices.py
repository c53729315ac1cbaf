"""The words that may be chosen in entries: grounds, passes, whereabouts, standings and the rest."""

from __future__ import annotations

GROUNDS = ("soft-clay", "stiff-clay", "sand", "cobble", "soft-rock", "mixed", "unknown")
WHAT_THING = (
    "rod",
    "sub",
    "saver sub",
    "head",
    "transmitter housing",
    "transmitter",
    "reamer",
    "swivel",
)
WHEREABOUTS = (
    "row",
    "in the hole",
    "at the shop",
    "on another rig",
    "lent",
    "rented in",
    "sub-contractor's",
    "sold",
    "lost in hole",
    "found",
    "scrapped",
    "not known",
)
"""Where a thing may be. ``rented in`` and ``sub-contractor's`` are with us and belong to others."""
GONE = ("sold", "lost in hole", "scrapped")
"""Whereabouts of what is here no more: its mark may be given again."""
STANDINGS = ("not looked at", "fit", "watch", "dress", "set aside", "scrap")
"""From best known to worst; a rod's standing gets worse by computation, better only by a person."""
FORMER_SECTIONS = ("pin_thread", "pin_upset", "mid_tube", "box_upset", "box_thread")
"""Columns of a former owner's use: design, low, best and high sum and width, of each section."""
PASS_KINDS = ("pilot", "ream", "pre-ream", "push-ream", "swab", "trip", "pullback")
ENDS = ("pin", "box", "tube", "whole")
SECTIONS = ("pin thread", "pin-side upset", "mid tube", "box-side upset", "box thread", "unknown")
CAUSES = ("fatigue", "overload", "over-torque", "other", "unknown")
CALIBRATED_CLASSES = ("tube", "upset", "weld", "thread")
"""Classes of joint a calibration holds a factor on damage of; ``weld``: upset ends with flash."""
COUNTED = ("breaks", "survivors")
CLASS_CALIBRATION = "class-calibration"
EVENTS = ("torque spike", "jerk", "weep", "pressure drop", "stuck", "break", "loss", "other")
FREE_MOTIONS = ("turning off bottom", "pick-up", "slack-off")
"""How the string moved while nothing loaded its tool: on the spot, toward the rig, away from it."""
UTILITIES = ("electric", "gas", "unknown", "water", "telecom", "other")
"""What may be struck, in the order its emergency words are shown."""
FOUND_HOW = ("potholed seen", "located", "drawing", "unknown")
"""How well a utility is known, best first; the last two count as not found."""
RUNS = ("across", "along", "unknown")
CANDIDATES = ("shortest", "easiest", "deepest", "own")
SHIFTS = ("before work", "end of work")
BOW_METHODS = ("rolled", "line", "three gaps")
"""How a bow was read: rolled once round on two supports, one gap to a line, three gaps."""
BOX_KINDS = ("near row first", "rows last in first out", "loose rack")
"""How a box gives its rods; each is a table of data/box_kinds.toml."""
AT_SENDING = "at sending"
"""How a device's clock was measured: by the program, as the device sent."""
CHECK_STATES = ("done", "not done", "not looked at")
CALIBRATION_RESULTS = ("in order", "adjusted", "out of order")
UNDERS = ("nothing", "road", "rail", "water", "gas", "other")
DRESSINGS = (
    "cleaned",
    "dressed",
    "refaced",
    "chased",
    "re-cut",
    "straightened",
    "bite blended",
    "replaced",
)
LOST = ("lost head", "lost transmitter", "metre redrilled")
"""What a break may cost beside itself: what leads the string, and the hole."""
PRICED = ("new rod", "rod move", "break", *LOST, "rig day", "rig hour", *DRESSINGS)
"""What an owner may give a price of: a new rod, moving one rod, one break, what is lost with it, a
day or an hour of the rig with its crew, and each work of the yard on one end."""
