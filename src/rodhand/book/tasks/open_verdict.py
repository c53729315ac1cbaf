"""The verdict on shoulders that opened in a bore."""

from __future__ import annotations

from rodhand.advice.verdict import Sentence, Verdict
from rodhand.book.work.opened_joints import OpenJoint
from rodhand.book.work.verdicts import caution
from rodhand.units import Figure, Standing
from rodhand.words import say


def open_verdict(bore: str, joints: tuple[OpenJoint, ...], key: str) -> Verdict:
    """Shoulders that opened in a bore: under-torque, and not the bend, used the life.

    Parameters
    ----------
    bore : str
        Its name.
    joints : tuple of OpenJoint
        At least one.
    key : str
        Start of the figures' keys.
    """
    worst = max(joints, key=lambda joint: joint.needed - joint.made)
    count = Figure(f"{key}.joints", float(len(joints)), "count", Standing.COMPUTED)
    why: dict[str, str | Figure] = {
        "made": Figure(f"{key}.made", worst.made, "share", Standing.MEASURED),
        "needed": Figure(f"{key}.needed", worst.needed, "share", Standing.COMPUTED),
        "station": f"{worst.station}",
    }
    return Verdict(
        "stop",
        Sentence("verdict.shoulder_open.what", {"bore": bore, "joints": count}),
        Sentence("verdict.shoulder_open.why", why),
        Sentence("verdict.shoulder_open.do"),
        say("source.record"),
        caution("joint"),
        "watch",
    )
