"""From an answer to what it means for the door: sound, unknown, a defect, or act now.

Pure functions over door, question and answer. A rule names its source; the door's own evidence, local rules and a
competent person prevail over every one of them.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction

from bot.domain.checklist import Checklist, Question
from bot.domain.door import Closer, Door, Material, Seals
from bot.domain.findings import Finding, Verdict, worst
from bot.domain.meaning import (
    CannotCheck,
    Choice,
    Condition,
    Count,
    Defect,
    DoesNotApply,
    Measure,
    NotMeasured,
    Unit,
    Value,
    YesNo,
)

LEAST_HINGES = 3  # common practice, no source
WIDEST_SIDE_GAP_MM = Fraction(4)  # GOV.UK fire door guidance, timber (secondary)
WIDEST_SIDE_GAP_STEEL_MM = Fraction(254, 10) * Fraction(3, 16)  # NFPA 80, 6.3.1.7: 1/8 in + 1/16 in (secondary)
WIDEST_SMOKE_THRESHOLD_MM = Fraction(3)  # BS 8214:2016, 12.3 (secondary)
WIDEST_THRESHOLD_MM = Fraction(10)  # BS 8214:2016: as the evidence says, often 8 to 10 mm (secondary)

EVIDENCE = "Where the door's own evidence says otherwise, it prevails."

Rule = Callable[[Door, Question, Value], list[Finding]]


def judge(door: Door, question: Question, value: Value, checklist: Checklist) -> tuple[Finding, ...]:
    """Everything the rules say of one answer; empty when it leaves nothing to say."""
    named = [_named(question, defect, checklist) for defect in getattr(value, "defects", ())]
    found = named + [finding for rule in _RULES.get(question.key, ()) for finding in rule(door, question, value)]
    return tuple(found or _not_seen(question, value))


def verdict(value: Value, findings: tuple[Finding, ...]) -> Verdict:
    """How an answer leaves its part. A part not looked at, and a value not measured, is UNKNOWN, never SOUND."""
    if findings:
        return worst([finding.verdict for finding in findings])
    if isinstance(value, CannotCheck | DoesNotApply | NotMeasured):
        return Verdict.UNKNOWN
    if isinstance(value, Choice) and value.chosen == "unknown":
        return Verdict.UNKNOWN
    return Verdict.SOUND


def _named(question: Question, defect: Defect, checklist: Checklist) -> Finding:
    known = checklist.fault(question.component, defect.name)
    return Finding(
        rule=f"{question.component}.{defect.name}",
        question=question.key,
        component=question.component,
        verdict=known.verdict,
        what=defect_words(known.words, defect),
        why=known.why,
        do_now=known.do_now,
        source=known.source,
    )


def defect_words(words: str, defect: Defect) -> str:
    """A defect as read back: "2 screws missing, top hinge"."""
    if defect.count is not None:
        thing = words if defect.count == 1 else words.replace("screw", "screws", 1)
        words = f"{defect.count} {thing}"
    return ", ".join(part for part in (words, defect.where, defect.face) if part)


def _not_seen(question: Question, value: Value) -> list[Finding]:
    if isinstance(value, CannotCheck):
        what = f"not checked: {value.reason}" if value.reason else "not checked"
        why, do_now = "A part that was not seen is not known to be sound.", "Check it as soon as it can be reached."
    elif isinstance(value, DoesNotApply):
        what = value.reason or "said not to apply"
        why, do_now = "The door schedule says that this door has it.", "The supervisor compares door and schedule."
    else:
        return []
    return [_finding(question, "not_seen", Verdict.UNKNOWN, what, why, do_now, "common practice, no source")]


def _finding(question: Question, rule: str, how_bad: Verdict, what: str, why: str, do_now: str, source: str) -> Finding:
    return Finding(
        rule=f"{question.component}.{rule}",
        question=question.key,
        component=question.component,
        verdict=how_bad,
        what=what,
        why=why,
        do_now=do_now,
        source=source,
    )


def _too_few_hinges(door: Door, question: Question, value: Value) -> list[Finding]:
    if not isinstance(value, Count):
        return []
    wanted = max(LEAST_HINGES, door.hinges or 0)
    if value.number >= wanted:
        return []
    what = f"{value.number} hinge{'' if value.number == 1 else 's'}, {wanted} expected"
    why = "Too few hinges let the leaf drop or warp away from the frame in a fire."
    source = "common practice, no source" if wanted == LEAST_HINGES else "the door schedule"
    how_bad = Verdict.DEFECT if value.number else Verdict.ACT_NOW
    do_now = "Report it today." if value.number else "Do not swing the door. Tell the supervisor at once."
    return [_finding(question, "too_few", how_bad, what, why, do_now, source)]


def side_gap_limit(door: Door) -> tuple[Fraction, str]:
    """Widest gap allowed at head and jambs, millimetres, and its source. Unknown material: as for timber."""
    if door.material is Material.STEEL:
        return WIDEST_SIDE_GAP_STEEL_MM, "NFPA 80, 6.3.1.7, steel: 1/8 in + 1/16 in (secondary)"
    return WIDEST_SIDE_GAP_MM, "GOV.UK, fire door guidance: never more than 4 mm (secondary)"


def threshold_gap_limit(door: Door) -> tuple[Fraction, str]:
    """Widest gap allowed at the threshold, millimetres, and its source. Unknown smoke control: as if needed."""
    if door.holds_smoke is False:
        return WIDEST_THRESHOLD_MM, "BS 8214:2016: as the door's evidence says, often 8 to 10 mm (secondary)"
    if str(door.threshold_seal or "") == "fitted":
        return WIDEST_THRESHOLD_MM, "BS 8214:2016, with a threshold seal, as the door's evidence says (secondary)"
    return WIDEST_SMOKE_THRESHOLD_MM, "BS 8214:2016, 12.3: at most 3 mm, else a threshold seal (secondary)"


def _too_wide(door: Door, question: Question, value: Value) -> list[Finding]:
    if not isinstance(value, Measure) or value.unit is Unit.KG:
        return []
    limit, source = side_gap_limit(door) if question.key == "gaps.sides" else threshold_gap_limit(door)
    if value.mm <= limit:
        return []
    what = f"{in_mm(value)} mm, {in_words(limit)} mm allowed"
    why = "Fire and smoke pass through a gap that the seals cannot close."
    return [_finding(question, "too_wide", Verdict.DEFECT, what, why, f"Report it. {EVIDENCE}", source)]


def in_mm(value: Measure) -> str:
    """A length in millimetres, at most two decimals: "3.18"."""
    return in_words(value.mm)


def in_words(amount: Fraction) -> str:
    """A number without needless zeros, at most two decimals, rounded half up."""
    return f"{math.floor(amount * 100 + Fraction(1, 2)) / 100:g}" if amount.denominator != 1 else str(amount.numerator)


def _not_locked(_door: Door, question: Question, value: Value) -> list[Finding]:
    if not isinstance(value, YesNo) or value.yes:
        return []
    why = "A door without a closer protects only while it is locked shut."
    source = "GOV.UK, fire door guidance: cupboard and riser doors not self-closing are kept locked shut (secondary)"
    do_now = "Lock it when you leave and tell the supervisor at once."
    return [_finding(question, "unlocked", Verdict.ACT_NOW, "was not locked", why, do_now, source)]


def _no_mark(_door: Door, question: Question, value: Value) -> list[Finding]:
    if not isinstance(value, YesNo) or value.yes:
        return []
    why = "Clear glass without a mark may be ordinary glass, which breaks within minutes."
    do_now = "Report it; a competent person looks at it."
    return [_finding(question, "unmarked", Verdict.DEFECT, "no mark", why, do_now, "common practice, no source")]


def _wrong_seals(door: Door, question: Question, value: Value) -> list[Finding]:
    """The kind of seals in the register against the rating, told each time the seals are looked at."""
    if not isinstance(value, Condition) or door.seals is None or door.rating is None:
        return []
    kind, report = door.seals, "Report it; a competent person looks at it."
    source = "trade data sheets (secondary); the S in FD30S: Approved Document B (from memory)"
    if kind is Seals.NONE:
        why = "Without seals the gap stays open in a fire."
        return [_finding(question, "no_seals", Verdict.DEFECT, "no seals", why, "Report it today.", source)]
    found = []
    if door.rating.smoke and kind in (Seals.PLAIN, Seals.PAIR):
        why = f"{door.rating} must hold smoke: a plain strip resists fire only, a brush or fin also smoke."
        found.append(_finding(question, "no_smoke_seal", Verdict.DEFECT, "no smoke seal", why, report, source))
    if door.rating.minutes >= 60 and kind in (Seals.PLAIN, Seals.SMOKE):
        why = f"{door.rating} mostly shows two strips side by side, or one wide one. {EVIDENCE}"
        found.append(_finding(question, "one_strip", Verdict.DEFECT, "one strip only", why, report, source))
    return found


def _no_closer(_door: Door, question: Question, value: Value) -> list[Finding]:
    if not isinstance(value, Choice) or value.chosen != Closer.MISSING:
        return []
    why = "Every fire door that is not kept locked must close by itself."
    source = "GOV.UK, fire door guidance (secondary)"
    do_now = "Shut it and tell the supervisor at once."
    return [_finding(question, "no_closer", Verdict.ACT_NOW, "no closer", why, do_now, source)]


_RULES: dict[str, tuple[Rule, ...]] = {
    "hinges.count": (_too_few_hinges,),
    "gaps.sides": (_too_wide,),
    "gaps.threshold": (_too_wide,),
    "lock": (_not_locked,),
    "mark": (_no_mark,),
    "seals": (_wrong_seals,),
    "register.closer": (_no_closer,),
}
