"""Verdicts in words and figures: one maker for each kind of finding."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rodhand.advice.fitness import Reason, days_between
from rodhand.advice.leading import Leading, Replay
from rodhand.advice.rules import Rule, Thresholds
from rodhand.advice.suspects import GaugeOff
from rodhand.advice.verdict import Sentence, Verdict, Voice
from rodhand.book.source_words import source_in_words
from rodhand.book.telling import names_in_words
from rodhand.book.views import OverSteerRow
from rodhand.book.work.happenings import LowMakeup, OverSteer, Spike
from rodhand.units import Figure, Standing
from rodhand.wear.life_used import LifeUsed
from rodhand.words import say

MOSTLY_ASSUMED = 0.5
"""Share of a history on no record above which its figures are shown as assumed. [1]"""
C, A, M = Standing.COMPUTED, Standing.ASSUMED, Standing.MEASURED


def caution(name: str) -> Sentence:
    """A caution of the catalogue."""
    return Sentence(f"caution.{name}")


def source_of(rule: Rule | None, fallback: str) -> str:
    """Where a rule comes from and how sure its number is."""
    if rule is None:
        return say(f"source.{fallback}")
    return say(
        "source.look_rule",
        source=source_in_words(rule.source),
        standing=say(f"source.{rule.standing_of_number}"),
    )


def over_steer_verdict(bore: str, row: OverSteerRow) -> Verdict:
    """A bend over or likely over a limit, for the page of its bore."""
    name = "head_bend" if row.limit == "head" else "over_steer"
    where = {"bore": bore, "station": f"{row.station:g}"}
    return Verdict(
        "stop" if row.verdict == "over" else "note",
        Sentence(f"verdict.{name}.what", where),
        Sentence(
            f"verdict.{name}.why", {"share": row.figures["share"], "radius": row.figures["radius"]}
        ),
        Sentence(f"verdict.{name}.do"),
        say("source.maker_head" if row.limit == "head" else "source.maker"),
        caution("rods"),
    )


def over_steer_group(over: OverSteer, key: str) -> Verdict:
    """A bend over or likely over a limit, for the list of the week."""
    bend = over.bend
    name = "head_bend" if bend.what == "head" else "over_steer"
    return Verdict(
        "stop" if bend.verdict == "over" else "note",
        Sentence(f"verdict.{name}.what", {"bore": over.bore, "station": f"{bend.station}"}),
        Sentence(
            f"verdict.{name}.why",
            {
                "share": Figure(f"{key}.share", bend.share, "share", C),
                "radius": Figure(f"{key}.radius", bend.radius, "radius", C),
            },
        ),
        Sentence(f"verdict.{name}.do"),
        say("source.maker_head" if bend.what == "head" else "source.maker"),
        caution("rods"),
        "watch",
    )


def _line_of(code: str, design: float, thresholds: Thresholds) -> float:
    """The line passed; below the common one it was the one for under a road, rail or water."""
    retire = thresholds.retire if design >= thresholds.retire else thresholds.retire_under
    return {
        "life-retire": retire,
        "life-declared": retire,
        "life-downgrade": thresholds.downgrade,
        "life-inspect": thresholds.inspect,
    }[code]


def life_verdict(
    code: str, life: LifeUsed, thresholds: Thresholds, key: str, of_many: bool = False
) -> Verdict:
    """Life used past one of the owner's lines, of one thing or of the worst of many."""
    standing = A if life.assumed > MOSTLY_ASSUMED else C
    line = Figure(f"{key}.line", _line_of(code, life.design, thresholds), "ratio", A)
    values = {"design": Figure(f"{key}.design", life.design, "ratio", standing)}
    values["low"] = Figure(f"{key}.low", life.low, "ratio", standing)
    if not life.at_least:
        values["best"] = Figure(f"{key}.best", life.best, "ratio", standing)
        values["high"] = Figure(f"{key}.high", life.high, "ratio", standing)
    why = f"{'worst' if of_many else 'one'}{'_at_least' if life.at_least else ''}"
    voice: Voice = "stop" if code == "life-retire" else "note"
    return Verdict(
        voice,
        Sentence(f"verdict.{code}.what", {"line": line}),
        Sentence(f"verdict.life_why.{why}", values),
        Sentence(f"verdict.{code}.do"),
        say("source.owner"),
        caution("rods"),
        "set aside" if code == "life-retire" else "watch",
    )


def finding_verdict(
    reasons: Sequence[Reason], things: str, rules: Mapping[str, Rule], key: str
) -> Verdict:
    """One kind of finding on one or more things; the first reason gives the number."""
    first = reasons[0].finding
    if first is None:
        raise ValueError(f"{key}: reason {reasons[0].code} has no finding")
    rule = rules.get(first.item)
    if first.finding == "bench mark gone":
        what, do = "verdict.bench_mark.what", Sentence("verdict.bench_mark.do")
    else:
        what = "verdict.finding.what"
        do = Sentence(
            f"verdict.finding.do_{first.standing.replace(' ', '_')}",
            {"cleared_by": say(f"work.{(first.cleared_by or 'look').replace(' ', '_')}")},
        )
    return Verdict(
        "stop" if first.standing == "set aside" else "note",
        Sentence(
            what, {"finding": say(f"finding.{first.finding.replace(' ', '_')}"), "things": things}
        ),
        _finding_reason(reasons, key),
        do,
        source_of(rule, "look"),
        caution("threads"),
        first.standing,
    )


def _finding_reason(reasons: Sequence[Reason], key: str) -> Sentence:
    first = reasons[0].finding
    numbers = [r.finding.number for r in reasons if r.finding and r.finding.number is not None]
    if first is None or not numbers:
        count = Figure(f"{key}.looks", float(len(reasons)), "count", M)
        return Sentence(
            "verdict.finding.why_look",
            {"looks": count, "when": max(reason.when for reason in reasons)},
        )
    number = Figure(f"{key}.number", max(numbers), "size", M)
    if first.limit is None:
        return Sentence("verdict.finding.why_number_alone", {"number": number})
    limit = Figure(f"{key}.limit", first.limit, "size", A)
    return Sentence("verdict.finding.why_number", {"number": number, "limit": limit})


def sub_verdict(sub: str, count: int, key: str, rule: Rule | None) -> Verdict:
    """A galled saver sub and the rods that show galling since."""
    return Verdict(
        "stop",
        Sentence("verdict.sub.what", {"sub": sub}),
        Sentence("verdict.sub.why", {"count": Figure(f"{key}.count", float(count), "count", M)}),
        Sentence("verdict.sub.do"),
        source_of(rule, "look"),
        caution("threads"),
        "set aside",
    )


def gauge_verdict(
    rig: str, off: GaugeOff, bores: Sequence[str], key: str, rule: Rule | None
) -> Verdict:
    """A make-up gauge found out of tolerance, and the make-ups in doubt; once mended, a note."""
    name = "gauge_was" if off.mended else "gauge"
    share = Figure(f"{key}.share", off.share, "share", C)
    high = "gauge.reads_high" if off.share < 1.0 else "gauge.reads_low"
    return Verdict(
        "note" if off.mended else "stop",
        Sentence(f"verdict.{name}.what", {"rig": rig, "high": say(high), "share": share}),
        Sentence(
            f"verdict.{name}.why",
            {
                "share": share,
                "count": Figure(f"{key}.bores", float(len(bores)), "count", M),
                "bores": names_in_words(bores),
                "last_good": off.last_good or say("number.unknown"),
                "mended": off.mended,
            },
        ),
        Sentence(f"verdict.{name}.do"),
        source_of(rule, "record"),
        caution("gauge"),
    )


def spike_verdict(spike: Spike, key: str) -> Verdict:
    """A torque above make-up torque and the joints that saw it."""
    return Verdict(
        "stop",
        Sentence(
            "verdict.over_torque.what",
            {"bore": spike.bore, "station": f"{spike.station}",
             "joints": Figure(f"{key}.joints", float(spike.joints), "count", C)},
        ),
        Sentence(
            "verdict.over_torque.why",
            {"torque": Figure(f"{key}.torque", spike.torque, "torque", M),
             "makeup": Figure(f"{key}.makeup", spike.makeup, "torque", A)},
        ),
        Sentence("verdict.over_torque.do"),
        say("source.record"),
        caution("joint"),
        "watch",
    )  # fmt: skip


def low_makeup_verdict(
    low: LowMakeup, key: str, opened: int = 0, needed: float | None = None
) -> Verdict:
    """Joints made up low in one shift; ``opened`` of them opened where ``needed`` was asked."""
    joints = Figure(f"{key}.joints", float(low.joints), "count", M)
    share = Figure(f"{key}.share", low.share, "share", M)
    why = Sentence("verdict.under_torque.why", {"share": share})
    if opened:
        asked = Figure(f"{key}.needed", needed, "share", C)
        count = Figure(f"{key}.opened", float(opened), "count", C)
        values = {"share": share, "needed": asked, "opened": count}
        why = Sentence("verdict.under_torque.why_open", values)
    return Verdict(
        "stop",
        Sentence("verdict.under_torque.what", {"bore": low.bore, "joints": joints}),
        why,
        Sentence("verdict.under_torque.do"),
        say("source.record"),
        caution("joint"),
        "watch",
    )


def wrench_verdict(things: str, number: float, key: str) -> Verdict:
    """A pipe wrench on joints, with how far their diameters are apart."""
    return Verdict(
        "stop",
        Sentence("verdict.wrench.what", {"things": things}),
        Sentence("verdict.wrench.why", {"number": Figure(f"{key}.number", number, "size", M)}),
        Sentence("verdict.wrench.do"),
        say("source.look"),
        caution("joint"),
        "set aside",
    )


def wrench_told_verdict(things: str, count: int, when: str, key: str, rule: Rule | None) -> Verdict:
    """A pipe wrench on joints nobody measured since."""
    return Verdict(
        "note",
        Sentence("verdict.wrench_told.what", {"things": things}),
        Sentence(
            "verdict.wrench_told.why",
            {
                "count": Figure(f"{key}.count", float(count), "count", M),
                "when": when or say("number.unknown"),
            },
        ),
        Sentence("verdict.wrench_told.do"),
        source_of(rule, "record"),
        caution("joint"),
        "watch",
    )


def leading_verdict(rig: str, leads: Leading, gain: Replay | None, key: str) -> Verdict:
    """The same rods lead every bore: what turning the rows gives on the crew's own bores."""
    led = Figure(f"{key}.led", float(leads.led), "count", M)
    bores = Figure(f"{key}.bores", float(leads.bores), "count", M)
    values: dict[str, str | Figure] = {"rig": rig, "led": led, "bores": bores}
    why = "why_few"
    if gain is not None:
        why = "why"
        values["gain"] = Figure(f"{key}.gain", gain.gain, "factor", C)
    return Verdict(
        "price",
        Sentence("verdict.leading.what", values),
        Sentence(f"verdict.leading.{why}", values),
        Sentence("verdict.leading.do"),
        say("source.record"),
        caution("lifting"),
    )


def look_due_verdict(
    look: str, where: str, count: int, last: str, never: bool, key: str, rule: Rule | None
) -> Verdict:
    """Looks of one kind due on a rig or set."""
    number = Figure(f"{key}.count", float(count), "count", M)
    name = "never_looked" if never else "look_due"
    values: dict[str, str | Figure] = {
        "look": look, "where": where, "count": number, "last": last,
    }  # fmt: skip
    return Verdict(
        "note",
        Sentence(f"verdict.{name}.what", values),
        Sentence(f"verdict.{name}.why", values),
        Sentence(f"verdict.{name}.do"),
        source_of(rule, "owner"),
        caution("lifting"),
    )


def set_life_verdict(
    name: str, hours: float, declared: bool, expected: float, key: str, rule: Rule
) -> Verdict:
    """A set near the hours the owner expects of it: plan the purchase."""
    standing = A if declared else C
    return Verdict(
        "price",
        Sentence("verdict.set_life.what", {"set": name}),
        Sentence(
            "verdict.set_life.why",
            {
                "hours": Figure(f"{key}.hours", hours * 3600.0, "hours", standing),
                "expected": Figure(f"{key}.expected", expected * 3600.0, "hours", A),
            },
        ),
        Sentence("verdict.set_life.do"),
        source_of(rule, "owner"),
        caution("rods"),
    )


def gauge_due_verdict(rig: str, days: float | None, key: str, rule: Rule | None) -> Verdict:
    """A gauge whose comparison is overdue, or was made nobody knows when."""
    since = None if days is None else days * 86400.0
    return Verdict(
        "note",
        Sentence("verdict.gauge_due.what", {"rig": rig}),
        Sentence("verdict.gauge_due.why", {"days": Figure(f"{key}.days", since, "days", M)}),
        Sentence("verdict.gauge_due.do"),
        source_of(rule, "owner"),
        caution("gauge"),
    )


def broke_verdict(
    thing: str, bore: str, design: float | None, bends: int | None, key: str
) -> Verdict:
    """A thing broke: what is on record, and no cause; None where it is not known."""
    over = None if bends is None else float(bends)
    return Verdict(
        "stop",
        Sentence("verdict.broke.what", {"thing": thing, "bore": bore or say("number.unknown")}),
        Sentence(
            "verdict.broke.why",
            {
                "design": Figure(f"{key}.design", design, "ratio", C),
                "bends": Figure(f"{key}.bends", over, "count", C),
            },
        ),
        Sentence("verdict.broke.do"),
        say("source.record"),
        caution("rods"),
    )


def _word_of(standing: str) -> str:
    return say(f"standing.{standing.replace(' ', '_')}")


def plain_verdict(
    reason: Reason, standing: str, bores: int, key: str, today: str, thresholds: Thresholds
) -> Verdict:
    """Fit, not looked at, or a standing a person gave."""
    if reason.code in ("given", "held"):
        age = days_between(reason.when, today) * 86400.0 if reason.when else None
        days = Figure(f"{key}.days", age, "days", C)
        return Verdict(
            "note",
            Sentence(f"verdict.{reason.code}.what", {"standing": _word_of(reason.standing)}),
            Sentence(f"verdict.{reason.code}.why", {"days": days}),
            Sentence(f"verdict.{reason.code}.do"),
            say("source.person" if reason.code == "given" else "source.held"),
            caution("rods"), reason.standing,
        )  # fmt: skip
    days = Figure(f"{key}.days", reason.number, "days", C)
    if reason.code == "looked":
        return Verdict(
            "note",
            Sentence("verdict.fit.what"),
            Sentence("verdict.fit.why", {"days": days}),
            Sentence("verdict.fit.do"),
            say("source.look"), caution("rods"), standing,
        )  # fmt: skip
    why = {
        "never-looked": Sentence(
            "verdict.not_looked_at.why_never",
            {"bores": Figure(f"{key}.bores", float(bores), "count", M)},
        ),
        "look-overdue": Sentence("verdict.not_looked_at.why_overdue", {"days": days}),
        "history-unknown": Sentence(
            "verdict.not_looked_at.why_unknown",
            {"bores": Figure(f"{key}.bores", float(bores), "count", M)},
        ),
        "history-assumed": Sentence(
            "verdict.not_looked_at.why_assumed",
            {
                "known": Figure(f"{key}.known", reason.number, "share", C),
                "line": Figure(f"{key}.line", thresholds.known_share, "share", A),
            },
        ),
    }[reason.code]
    return Verdict(
        "note", Sentence("verdict.not_looked_at.what"), why, Sentence("verdict.not_looked_at.do"),
        say("source.owner"), caution("lifting"), standing,
    )  # fmt: skip


def happening_verdict(reason: Reason, key: str) -> Verdict:
    """Something that happened to one thing and asks for a look."""
    happening = reason.happening
    if happening is None:
        raise ValueError(f"{key}: reason {reason.code} has no happening")
    number = Figure(f"{key}.number", happening.number, happening.quantity, C)
    name = reason.code.replace("-", "_")
    return Verdict(
        "note",
        Sentence(f"verdict.happened.{name}.what", {"bore": happening.bore}),
        Sentence(f"verdict.happened.{name}.why", {"number": number, "when": happening.when}),
        Sentence(f"verdict.happened.{name}.do"),
        say("source.record"),
        caution("joint"),
        happening.standing,
    )
