"""Result of a whole check: findings by severity, parts not seen, and the verdict."""

from __future__ import annotations

from doorround.dialogue.immovable_door import untested
from doorround.dialogue.unconfirmed_faults import reports_at
from doorround.domain.check import Check
from doorround.domain.findings import Finding, Verdict, worst
from doorround.domain.judging.door_verdict import Judgement, judge_door
from doorround.domain.judging.gap_places import edges_words
from doorround.domain.judging.judge import unseen
from doorround.domain.judging.severity import Severity
from doorround.domain.parts import part_name
from doorround.domain.repair_look import Repair, seen_sound
from doorround.domain.unnamed_faults import to_be_judged
from doorround.domain.values import Condition, Measure, NotMeasured, Value
from doorround.messages import summing_up
from doorround.messages.answers import NOT_MEASURED, said_words
from doorround.messages.confirming import NOT_MOVED
from doorround.messages.offering import UNSEEN
from doorround.messages.replying import NOT_UNDERSTOOD


def judgement(check: Check) -> Judgement:
    """Judge the whole door from the answers so far. A part with an unconfirmed report of a fault
    counts as not seen.
    """
    doubted = tuple(dict.fromkeys(each.question for each in check.reported))
    values = {key: answer.value for key, answer in check.answers.items()}
    return judge_door(check.door_today, values, check.checklist, doubted)


def how_far(check: Check) -> tuple[int, int]:
    """Numbers of questions with and without an answer."""
    done = sum(each.key in check.answers for each in check.in_scope)
    return done, len(check.unanswered) + len(check.left)


def summary_lines(check: Check) -> list[str]:
    """Findings by severity, gravest first, including those from several answers; then what was made
    good, what was not checked, what the door's own evidence allowed, and which rules the
    organisation relaxed.
    """
    whole = judgement(check)
    found = [(key, each) for key in _in_order(check) for each in check.findings[key]]
    lines = []
    for severity in reversed(Severity):
        found_words = [
            _finding_words(check, key, each)
            for key, each in found
            if each.severity is severity and not each.made_good
        ]
        found_words += [each.what for each in whole.together if each.severity is severity]
        lines += [summing_up.of_severity(severity, found_words)] if found_words else []
    mended = [_finding_words(check, key, each) for key, each in found if each.made_good]
    lines += [summing_up.made_good(mended)] if mended else []
    unseen = _unseen(check)
    barred = untested(check)
    lines += [_not_checked(check, unseen)] if unseen else []
    lines += [summing_up.not_tested(NOT_MOVED, barred)] if barred else []
    facts = () if check.repairs else _FACTS
    wanting = [key for key in whole.not_checked if key in facts and not _is_answered(check, key)]
    names = [part_name(check.checklist.ask(key), check.checklist) for key in wanting]
    lines += [summing_up.wanted_facts(names)] if names else []
    doubted = [each.what for each in whole.together if each.severity is None]
    lines += [summing_up.disagree(doubted)] if doubted else []
    lines += whole.evidence
    return [*lines, *([summing_up.milder(whole.loosened)] if whole.loosened else [])]


MAX_UNSEEN = 8
"""Maximum number of unchecked parts that are all named."""


def _not_checked(check: Check, parts: dict[str, str]) -> str:
    """One line on the parts not checked; if there are many, only those with a reason are named."""
    names = list(parts.values())
    if len(names) <= MAX_UNSEEN:
        return summing_up.not_checked(names)
    find = check.checklist.ask
    more_to_say = [
        words for key, words in parts.items() if words != part_name(find(key), check.checklist)
    ]
    return summing_up.many_not_checked(more_to_say, len(names) - len(more_to_say))


_FACTS = ("register.rating", "register.leaves", "register.seals")
"""Register facts without which a door cannot be shown to be fit."""


def _is_answered(check: Check, key: str) -> bool:
    return not unseen(check.answers[key].value, ()) if key in check.answers else False


def _finding_words(check: Check, key: str, finding: Finding) -> str:
    return f"{part_name(check.checklist.ask(key), check.checklist)}: {finding.what}"


def not_seen(check: Check) -> list[str]:
    """Parts that this visit leaves unknown: not reached, skipped, not possible to check, not
    measured, or not to be tried. Register fields are not included, as they are not parts to look
    at.
    """
    return [
        *_unseen(check).values(),
        *(summing_up.for_reason(part, NOT_MOVED) for part in untested(check)),
    ]


def _unseen(check: Check) -> dict[str, str]:
    """Questions of parts not seen → the part, with the reason if there is one."""
    out: dict[str, str] = {}
    reported = [check.checklist.ask(each.question) for each in check.reported]
    others = [each for each in reported if each not in check.in_scope]
    for question in (*check.in_scope, *others):
        answer = check.answers.get(question.key)
        name = part_name(question, check.checklist)
        if question in reported:
            reported_words = "; ".join(
                said_words(each.said, check.checklist) for each in reports_at(check, question.key)
            )
            out[question.key] = summing_up.reported_only(reported_words)
        elif question.component == "register":
            continue
        elif answer is None:
            if check.barred(question):
                continue
            lost = question.key in check.unheard and question.key in (*check.put_off, *check.left)
            out[question.key] = summing_up.for_reason(name, NOT_UNDERSTOOD) if lost else name
        elif unseen(answer.value, check.findings[question.key]):
            reason = _why_unseen(answer.value)
            out[question.key] = summing_up.for_reason(name, reason) if reason else name
    return out


def _why_unseen(value: Value) -> str | None:
    match value:
        case NotMeasured():
            return NOT_MEASURED
        case Measure(unmeasured=edges):
            return summing_up.not_measured(edges_words(edges))
        case Condition() if to_be_judged(value):
            return UNSEEN
        case _:
            return getattr(value, "reason", None)


def _in_order(check: Check) -> list[str]:
    return [question.key for question in check.checklist.question if question.key in check.answers]


def check_verdict(check: Check) -> Verdict:
    """Verdict on the whole door: that of the worst finding; UNKNOWN if any part was not seen, as in
    every repair visit.
    """
    found = [finding.verdict for finding in judgement(check).findings]
    return worst([*found, *([Verdict.UNKNOWN] if check.repairs or not_seen(check) else [])])


def repairs_seen_sound(check: Check) -> tuple[Repair, ...]:
    """On a repair visit: repairs now seen to be sound, with nothing left in doubt."""
    doubted = {each.question for each in check.reported}
    seen = {
        key: check.findings[key]
        for key, answer in check.answers.items()
        if key not in doubted and not unseen(answer.value, check.findings[key])
    }
    together = {each.rule for each in judgement(check).together}
    repairs = [each for each in check.repairs if each.rule not in together]
    return seen_sound(repairs, check.in_scope, seen)


def result_line(check: Check) -> str:
    """One line with the result of the whole door, or of the repairs looked at."""
    if not check.repairs:
        return summing_up.result_words(judgement(check))
    sound = repairs_seen_sound(check)
    return summing_up.repairs_result(
        [each.what for each in sound],
        [each.what for each in check.repairs if each not in sound],
        judgement(check).faults,
    )
