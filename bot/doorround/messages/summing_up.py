"""Summing up: the result of a whole check, immediate actions, the signature, and who is told about
the defects.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from doorround.domain.alerts import Reach
from doorround.domain.findings import Finding
from doorround.domain.judging.door_verdict import Judgement, Result
from doorround.domain.judging.severity import Severity
from doorround.domain.judging.verdict_words import left_open
from doorround.messages.phrasing import counted, quoted

TOLD_YOURSELF = "The defects are in the logbook. Tell the supervisor yourself."


ACT_NOW = "ACT NOW."
"""Begins what to do at once about a danger."""


def act_now(findings: Sequence[Finding]) -> str:
    """Immediate action and reason. findings: at least one, all with the same action."""
    reasons = dict.fromkeys(each.why for each in findings)
    return " ".join((ACT_NOW, findings[0].do_now, *reasons))


def result_words(judgement: Judgement) -> str:
    """The whole door in one line: "out of action, 6 defects, 3 not checked", "fit with 1
    defect".
    """
    defects = judgement.faults
    unseen = judgement.not_checked
    parts = [counted(defects, "defect")] if defects else []
    if judgement.result is Result.WITH_DEFECTS:
        return f"fit with {parts[0]}"
    if judgement.result is Result.FIT:
        return "fit, as far as eyes and hands can tell"
    return ", ".join(
        [judgement.result, *parts, *([left_open(unseen, judgement.findings)] if unseen else [])]
    )


def repairs_result(sound: Sequence[str], waiting: Sequence[str], defects: int) -> str:
    """A short visit for repairs in one line. sound: faults seen to be put right; waiting: those
    that were not. defects: found during this visit.
    """
    parts = [f"put right: {'; '.join(sound)}"] if sound else []
    parts += [f"not seen to be put right: {'; '.join(waiting)}"] if waiting else []
    parts += [f"{counted(defects, 'defect')} found"] if defects else []
    return ". ".join(each[0].upper() + each[1:] for each in parts)


def look_begins(repairs: Sequence[str]) -> str:
    """At the start of a short visit: what it is about."""
    return (
        f"A short look at what was repaired: {'; '.join(repairs)}. Then how the door closes."
        " This is not a full check."
    )


def look_signed(same: Sequence[str], left: Sequence[int]) -> str:
    """After a short visit. same: of those put right, the ones looked at by their own repairer.
    left: numbers of the defects still waiting.
    """
    lines = [f"You repaired this yourself, and that is entered: {'; '.join(same)}."] if same else []
    which = ", ".join(map(str, left))
    lines += [f"Still waiting for a look: defect {which}."] if left else []
    return " ".join(lines)


def of_severity(severity: Severity, findings: Sequence[str]) -> str:
    """All findings of one severity."""
    return f"{severity.capitalize()}: {'; '.join(findings)}."


def made_good(findings: Sequence[str]) -> str:
    return f"Made good: {'; '.join(findings)}."


def not_checked(parts: Sequence[str]) -> str:
    return f"Not checked: {'; '.join(parts)}."


def many_not_checked(named_parts: Sequence[str], others: int) -> str:
    """The same for many. named_parts: those with details; others: count of the rest."""
    rest = f"{counted(others, 'part')}{' more' if named_parts else ''}"
    named = "; ".join([*named_parts, rest] if others else named_parts)
    return f"Not checked: {named}.{' “What is left” names them.' if others else ''}"


def not_tested(why: str, parts: Sequence[str]) -> str:
    """why: "the door must not be moved"."""
    return f"Not tested, as {why}: {'; '.join(parts)}."


def wanted_facts(parts: Sequence[str]) -> str:
    """Register fields without which no door is shown to be fit."""
    return f"Not known, and needed: {'; '.join(parts)}."


def disagree(findings: Sequence[str]) -> str:
    """A contradiction between what was seen and the register."""
    return f"Register and door disagree: {'; '.join(findings)}."


def left_out(count: int, why: str) -> str:
    """As soon as it is known that questions will be skipped. why: as above."""
    return f"Not tested: {counted(count, 'question')} left out, as {why}."


def milder(rules: Sequence[str]) -> str:
    """Rules that the organisation made milder than published."""
    return f"Relaxed by your own rules: {'; '.join(rules)}."


def reported_only(said: str) -> str:
    """Among the unchecked: a fault with neither a yes nor a no."""
    return f"{said} (reported, not confirmed)"


def for_reason(part: str, reason: str) -> str:
    """Among the unchecked: a part, with the reason."""
    return f"{part} ({reason})"


def not_measured(edges: str) -> str:
    """Why a part was not seen: edges not measured."""
    return f"not measured: {edges}"


def door_result(door: str, result: str) -> str:
    return f"Door {door}: {result}."


def sign_or_not(door: str, result: str, more: bool) -> str:
    """The question whether to sign. more: some questions have no answer."""
    rest = ", or carry on to answer the rest" if more else ""
    return f"Door {door}: {result}. Say finish check to sign{rest}."


def at_summary(more: bool) -> str:
    """What may be said now, after other input. more: as above."""
    rest = " carry on to answer the rest," if more else ""
    return f"Say finish check to sign it,{rest} or change and the part's name."


def signed(door: str, result: str) -> str:
    return f"Signed. {door_result(door, result)}"


def signed_unconfirmed(said: str) -> str:
    """Faults with neither a yes nor a no up to the signature."""
    return f"Not confirmed, so not in the list of defects: {said}. Tell the supervisor yourself."


def unread_at_end(words: Sequence[str]) -> str:
    """Before the signature: words said at the summary that were not understood."""
    unread = ", ".join(quoted(each) for each in words)
    return (
        f"I didn't understand {unread}. If that is a fault, say change and the part's name. If not,"
        " say finish check to sign."
    )


def signed_unread(words: Sequence[str]) -> str:
    """The same words, once the check has been signed without them."""
    unread = ", ".join(quoted(each) for each in words)
    return f"Not understood, so not in the list of defects: {unread}."


def who_is_told(reach: Reach | None, dangers: Collection[str]) -> str:
    """After a signature with defects: who is told about them, and when; it promises no more than
    that.

    dangers: rules of act-now findings.
    """
    if reach is None:
        return TOLD_YOURSELF
    if not reach.names:
        return (
            "The defects are in the logbook. Nobody is registered to be told: tell the supervisor"
            " yourself."
        )
    names = " and ".join(reach.names)
    if not dangers:
        return f"The defects are in the logbook. {names} will be reminded of them."
    if not set(dangers) - reach.known:
        return (
            f"The defects are in the logbook. {names} had a message about the danger already:"
            " ask what is being done."
        )
    if not reach.at_once:
        return (
            f"The defects are in the logbook. {names} will be told when the quiet hours end:"
            " ring them before then."
        )
    return f"The defects are in the logbook. A message is on its way to {names}."
