"""Reports: faults that were read back and got neither a yes nor a no. They are kept, the bot asks
about them before the signature, and while one is open the door is not fit. Pure: reads only its
arguments.
"""

from __future__ import annotations

from typing import Any

from doorround.dialogue.measuring import settled
from doorround.domain.answers import Answer
from doorround.domain.check import Check, Report, Stage, Unread
from doorround.domain.findings import Verdict
from doorround.domain.input_result import Heard, Said
from doorround.domain.judging.judge import judge
from doorround.domain.values import (
    CannotCheck,
    Choice,
    Command,
    Condition,
    Count,
    Defect,
    DoesNotApply,
    Measure,
    NotMeasured,
    Value,
    YesNo,
)

ONE_VALUE = (Count, Measure, YesNo, Choice)
"""Values of which a question can have only one: a different value denies the previous one."""


def is_fault(check: Check, said: Said) -> bool:
    """Whether an answer reports anything wrong, even if it was put right on the spot."""
    if said.question is None or isinstance(said.value, Command):
        return False
    if isinstance(said.value, Condition):
        return bool(said.value.defects)
    found = judge(check.door, check.checklist.ask(said.question), said.value, check.checklist)
    return any(each.verdict in (Verdict.DEFECT, Verdict.ACT_NOW) for each in found)


def put_aside(check: Check) -> Check:
    """The check without its read-back; a fault in it is kept as reported."""
    reported = check.reported
    heard = check.pending
    for said in heard.said if heard else ():
        if (
            is_fault(check, said)
            and (new := _new_in(check, said))
            and not any(_tells_all_of(each, new) for each in reported)
        ):
            assert heard is not None
            reported = (*reported, Report(heard=heard.model_copy(update={"said": (new,)})))
    stage = Stage.ASKING if check.open else Stage.SUMMARY
    return check.model_copy(
        update={"pending": None, "beside": (), "reported": reported, "stage": stage}
    )


def _new_in(check: Check, said: Said) -> Said | None:
    """The part of a fault that is not in the answer in force; None if all of it is."""
    answer = check.answers.get(said.question or "")
    if answer is None:
        return said
    if not isinstance(said.value, Condition) or not isinstance(answer.value, Condition):
        return None if answer.value == said.value else said
    left = tuple(each for each in said.value.defects if not _among(each, answer.value.defects))
    return said.model_copy(update={"value": Condition(defects=left)}) if left else None


def _tells_all_of(report: Report, said: Said) -> bool:
    """Whether a report contains the whole answer, including whether it was put right."""
    if report.question != said.question:
        return False
    reported, value = report.said.value, said.value
    if isinstance(reported, Condition) and isinstance(value, Condition):
        return all(each in reported.defects for each in value.defects)
    return reported == value


def covers(report: Report, said: Said) -> bool:
    """Whether an answer contains the whole report."""
    return (
        said.question == report.question
        and not isinstance(said.value, Command)
        and includes(said.value, report)
    )


def includes(value: Value, report: Report) -> bool:
    """Whether an answer to the same question contains the reported fault, or says that it was put
    right.
    """
    reported = report.said.value
    if isinstance(value, Condition) and isinstance(reported, Condition):
        return all(_among(each, value.defects) for each in reported.defects)
    return value == reported


def _among(fault: Defect, others: tuple[Defect, ...]) -> bool:
    closed = fault.model_copy(
        update={"made_good": True, "where": None, "face": None, "count": None}
    )
    mended = any(
        each.made_good
        and each.model_copy(update={"where": None, "face": None, "count": None}) == closed
        for each in others
    )
    return fault in others or mended


def rules_out(value: Value) -> bool:
    """Whether an answer excludes any other."""
    return value.sound if isinstance(value, Condition) else isinstance(value, ONE_VALUE)


def contradicted(check: Check, said: Said) -> tuple[Report, ...]:
    """Reports that this answer would deny; it is therefore read back, with the denial."""
    if isinstance(said.value, Command) or not rules_out(said.value):
        return ()
    return tuple(each for each in reports_at(check, said.question) if not covers(each, said))


def seems_a_fault(check: Check, unread: Unread) -> bool:
    """Whether words that were not understood are nearest to a fault."""
    return bool(nearest_part(check, unread))


def nearest_part(check: Check, unread: Unread) -> str:
    """Key of the question to whose faults the words are nearest; "" if to none."""
    found = (said for each in unread.heard.nearest[:1] for said in each.said)
    return next((said.question or "" for said in found if is_fault(check, said)), "")


def doubted_words(check: Check, said: Said) -> str:
    """Unread words that a pass of their question would deny; "" if there are none. A fact or
    measurement does not deny a fault of a part.
    """
    if isinstance(said.value, Command) or not rules_out(said.value) or is_fault(check, said):
        return ""
    of_look = check.checklist.ask(said.question or "").kind == "condition"
    here = [each for each in check.unread if each.question == said.question]
    near = [(each.words, nearest_part(check, each)) for each in here]
    return next((words for words, key in near if key and (of_look or key == said.question)), "")


def standing_fault(check: Check, said: Said) -> Answer | None:
    """The answer in force that reports a fault and that this answer would replace without one."""
    answer = check.answers.get(said.question or "")
    if answer is None or isinstance(said.value, Command) or not rules_out(said.value):
        return None
    before = Said(question=said.question, value=answer.value, phrase="")
    return answer if is_fault(check, before) and not is_fault(check, said) else None


def unsees(check: Check, said: Said) -> bool:
    """Whether "not seen" would replace a fault that was seen. That is permitted only if its
    question is being asked again.
    """
    answer = check.answers.get(said.question or "")
    if answer is None or said.question in (check.open, *check.redo[:1]):
        return False
    unseen = isinstance(said.value, CannotCheck | DoesNotApply | NotMeasured)
    before = Said(question=said.question, value=answer.value, phrase="")
    return unseen and is_fault(check, before)


def reported_again(check: Check, answer: Answer) -> Check:
    """The check with an answer's faults kept as reported while its question is asked again."""
    said = Said(question=answer.question, value=answer.value, phrase=answer.heard)
    if not is_fault(check, said):
        return check
    heard = Heard(
        by=answer.by,
        said=(said,),
        words=answer.heard,
        engine=answer.engine,
        audio_sha256=answer.audio_sha256,
    )
    return check.model_copy(update={"reported": (*check.reported, Report(heard=heard))})


def reports_at(check: Check, question: str | None) -> tuple[Report, ...]:
    """The unconfirmed reports of a question."""
    return tuple(each for each in check.reported if each.question == question)


def taken_by(check: Check, heard: Heard) -> tuple[str, ...]:
    """Questions whose waiting answer is denied by the reply: by "no, …", or by a different value if
    only one is possible. A different fault denies nothing.
    """
    waiting = check.pending.said if check.pending else ()
    own = {said.question for said in waiting if isinstance(said.value, Condition)}
    keys = {said.question for said in waiting}
    return tuple(
        said.question or ""
        for said in heard.said
        if said.question in keys
        and said.correction
        and (said.denies or (isinstance(said.value, ONE_VALUE) and said.question not in own))
    )


def as_asked(check: Check, report: Report) -> Heard:
    """A report as a read-back: its fault is added to the part's current answer."""
    answered = report.question in check.answers
    said = report.said.model_copy(update={"added": answered, "correction": False})
    whole = settled(check, report.heard.model_copy(update={"said": (said,)}))
    return whole if isinstance(whole, Heard) else report.heard


def as_body(report: Report) -> dict[str, Any]:
    """A report as the body of an entry."""
    heard = report.heard
    said = report.said
    return {
        "question": report.question,
        "value": said.value.model_dump(mode="json"),
        "heard": said.phrase,
        "by": heard.by.value,
        "probability": heard.probability,
        "engine": heard.engine,
        "audio_sha256": heard.audio_sha256,
        "spoken": said.at,
    }
