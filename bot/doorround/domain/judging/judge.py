"""Judges one answer: sound, unknown, or findings with the severity that the rules give."""

from __future__ import annotations

from doorround.domain.checklist import Checklist, Question
from doorround.domain.door import Door
from doorround.domain.door_kinds import UNNAMED_FACES
from doorround.domain.findings import Finding, Verdict, worst
from doorround.domain.judging.formatting import defect_words
from doorround.domain.judging.gap_places import judged_places
from doorround.domain.judging.rule import JudgedAnswer
from doorround.domain.judging.rule_catalogue import rules_at
from doorround.domain.unnamed_faults import to_be_judged
from doorround.domain.values import (
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


def judge(
    door: Door, question: Question, value: Value, checklist: Checklist
) -> tuple[Finding, ...]:
    """All findings on one answer; empty if there are none."""
    answer = JudgedAnswer(door, question, value, checklist.rules)
    found = [
        each
        for defect in getattr(value, "defects", ())
        for each in _named(answer, defect, checklist)
    ]
    if isinstance(value, Measure) and value.spots:
        found += judged_places(answer)
    else:
        found += [finding for rule in rules_at(question.key) for finding in rule.judge(answer)]
    return tuple(_at_face(each, door, question) for each in found or _not_seen(answer))


def _at_face(finding: Finding, door: Door, question: Question) -> Finding:
    if question.side is None or door.faces == UNNAMED_FACES:
        return finding
    here, beyond = door.faces
    return finding.model_copy(update={"face": here if question.side == "here" else beyond})


def verdict(value: Value, findings: tuple[Finding, ...]) -> Verdict:
    """The part's state after an answer.

    A part not looked at, or a value not measured, is UNKNOWN, never SOUND.
    """
    if findings:
        return worst([finding.verdict for finding in findings])
    if isinstance(value, Measure) and value.unmeasured:
        return Verdict.UNKNOWN
    if isinstance(value, CannotCheck | DoesNotApply | NotMeasured):
        return Verdict.UNKNOWN
    if isinstance(value, Choice) and value.chosen == "unknown":
        return Verdict.UNKNOWN
    return Verdict.SOUND


def unseen(value: Value, findings: tuple[Finding, ...]) -> bool:
    """Whether an answer leaves something of its part unseen, whatever else was found."""
    partly = isinstance(value, Measure) and bool(value.unmeasured)
    partly = partly or to_be_judged(value)
    return partly or verdict(value, findings) is Verdict.UNKNOWN


def _named(answer: JudgedAnswer, defect: Defect, checklist: Checklist) -> list[Finding]:
    """A named fault.

    If put right on the spot, where that is possible, it is closed as soon as it is found.
    """
    known = checklist.fault(answer.question.component, defect.name)
    if known.is_none_at(answer.door):
        return []
    known = known.at(answer.door, answer.rules.kin)
    rule = f"{known.component}.{known.name}"
    what = defect_words(known.words, defect)
    found = answer.finding(
        rule,
        known.severity,
        what,
        known.why,
        known.do_now,
        known.source,
        must_not_move=known.must_not_move,
    )
    if not (defect.made_good and known.mended):
        return found
    closed = {"made_good": True, "what": f"{what}, made good on the spot", "do_now": _KEEP}
    return [each.model_copy(update=closed) for each in found]


_ALIKE = ({Unit.MM, Unit.INCH}, {Unit.NEWTON, Unit.POUND_FORCE})
_KINDS: dict[str, type] = {
    "condition": Condition,
    "count": Count,
    "measure": Measure,
    "yes_no": YesNo,
    "choice": Choice,
}


def _answers(question: Question, value: Value) -> bool:
    """Whether a value has the type that the question expects and, for a measure, a unit of the same
    dimension.
    """
    if isinstance(value, NotMeasured) or (isinstance(value, Choice) and value.chosen == "unknown"):
        return True
    if not isinstance(value, _KINDS[question.kind]):
        return False
    if not isinstance(value, Measure) or value.unit == question.unit:
        return True
    return any({value.unit, question.unit} <= alike for alike in _ALIKE)


_KEEP = "Look at it again at the next check."


def _not_seen(answer: JudgedAnswer) -> list[Finding]:
    value = answer.value
    if isinstance(value, CannotCheck):
        what = f"not checked: {value.reason}" if value.reason else "not checked"
        why = "A part that was not seen is not known to be sound."
        do_now = "Check it as soon as it can be reached."
    elif isinstance(value, DoesNotApply):
        what = value.reason or "said not to apply"
        why = "The door schedule says that this door has it."
        do_now = "The supervisor compares door and schedule."
    elif not _answers(answer.question, value):
        what = "not checked: the answer is of another kind"
        why = "What does not answer the question shows nothing of the part."
        do_now = "Ask it again."
    else:
        return []
    return [
        Finding(
            rule=f"{answer.question.component}.not_seen",
            question=answer.question.key,
            component=answer.question.component,
            what=what,
            why=why,
            do_now=do_now,
            source="common practice, no source",
        )
    ]
