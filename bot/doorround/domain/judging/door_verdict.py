"""The verdict on a whole door: every answer judged, combined findings, one result, and the limits
of a simple check.
"""

from __future__ import annotations

from collections.abc import Mapping

from pydantic import BaseModel, ConfigDict

from doorround.domain.checklist import Checklist
from doorround.domain.door import Door
from doorround.domain.findings import Finding, Verdict
from doorround.domain.judging.causes import one_each_cause
from doorround.domain.judging.contradictions import (
    as_answered,
    as_seen,
    contradiction_finding,
    contradictions,
    with_closer_seen,
)
from doorround.domain.judging.cross_checks import (
    CROSS_CHECKS,
    REGISTER_CHECKS,
    SEVERAL_RULE,
    CrossCheck,
)
from doorround.domain.judging.gap_places import apart
from doorround.domain.judging.gaps import EDGE_OF, POINTS
from doorround.domain.judging.judge import judge, unseen
from doorround.domain.judging.optional_questions import question_of
from doorround.domain.judging.results import Result
from doorround.domain.judging.rule import JudgedAnswer, Rule
from doorround.domain.judging.severity import Severity, most_severe
from doorround.domain.judging.verdict_words import (
    KIND_OF_GLASS,
    by_evidence,
    part_words,
    sentence,
)
from doorround.domain.values import Choice, Measure, Value

__all__ = ["Judgement", "Result", "findings_together", "judge_door", "open_findings"]


class Judgement(BaseModel):
    """The verdict on a whole door.

    faults: number of faults, each counted once however often it was seen. sentence: the result in
    plain words. together: findings across answers; findings: all findings including those, most
    severe first. not_checked: keys of questions not answered or not seen. evidence: where the
    door's own evidence allowed what the set does not. competent: what needs a competent person.
    loosened: rules that the organisation made milder. limit: what a simple check cannot establish.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    result: Result
    sentence: str
    rules: str
    findings: tuple[Finding, ...] = ()
    together: tuple[Finding, ...] = ()
    faults: int = 0
    not_checked: tuple[str, ...] = ()
    evidence: tuple[str, ...] = ()
    competent: tuple[str, ...] = ()
    loosened: tuple[str, ...] = ()
    limit: str

    @property
    def severity(self) -> Severity | None:
        """The highest severity among faults not made good."""
        return most_severe(each.severity for each in open_findings(self.findings) if each.severity)


def open_findings(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Severities of faults not made good on the spot."""
    return tuple(each for each in findings if each.verdict in (Verdict.DEFECT, Verdict.ACT_NOW))


def judge_door(
    door: Door, answers: Mapping[str, Value], checklist: Checklist, doubted: tuple[str, ...] = ()
) -> Judgement:
    """Judge a door and its answers, by question key. doubted: keys of questions with a reported but
    unconfirmed fault: treated as not seen, whatever their answers. Raises KeyError for an unknown
    key.
    """
    checklist = checklist.facing(door)
    door, put_right = as_answered(door, answers, lambda key: question_of(key, checklist).fills)
    each = {
        key: judge(door, question_of(key, checklist), value, checklist)
        for key, value in answers.items()
    }
    found = tuple(finding for findings in each.values() for finding in findings)
    together = findings_together(door, answers, found, checklist)
    open_keys = dict.fromkeys((*_not_checked(door, answers, each, checklist), *doubted))
    open_keys |= dict.fromkeys(one.question for one in together if one.verdict is Verdict.UNKNOWN)
    open_keys |= dict.fromkeys(_unknown_glass(found, checklist))
    everything = tuple(sorted((*found, *together), key=_gravest_first))
    bad = open_findings(everything)
    result = _result(bad, tuple(open_keys), checklist)
    return Judgement(
        result=result,
        sentence=sentence(result, bad, tuple(open_keys), checklist),
        rules=checklist.rules.key,
        findings=everything,
        together=together,
        faults=len([one for one in one_each_cause(bad) if not one.access]),
        not_checked=tuple(open_keys),
        evidence=(*by_evidence(door, answers, checklist), *put_right),
        competent=tuple(
            dict.fromkeys(part_words(one, checklist) for one in bad if _LOOKED_AT in one.do_now)
        ),
        loosened=checklist.rules.loosened,
        limit=checklist.caution,
    )


_LOOKED_AT = "a competent person looks at it"


def _gravest_first(finding: Finding) -> int:
    return -finding.severity.rank if finding.severity and not finding.made_good else 1


def findings_together(
    door: Door, answers: Mapping[str, Value], found: tuple[Finding, ...], checklist: Checklist
) -> tuple[Finding, ...]:
    """Findings from several answers together, and from several faults; each attributed to the last
    answer it rests on.
    """
    together: list[Finding] = []
    given = answers
    answers = apart(answers)
    for rule in (*CROSS_CHECKS, *REGISTER_CHECKS):
        together += _cross_check(rule, door, answers, checklist)
    for one in contradictions(door, answers):
        part = question_of(one.question, checklist).component
        together.append(contradiction_finding(door, one, part))
    bad = open_findings((*found, *together))
    if bad:
        last = question_of(bad[-1].question, checklist)
        answer = JudgedAnswer(
            door, last, answers[last.key], checklist.rules, answers, (*found, *together)
        )
        together += SEVERAL_RULE.judge(answer)
    return tuple(each if each.question in given else _at_edge(each) for each in together)


def _at_edge(finding: Finding) -> Finding:
    """A finding about one point of a gap, attributed to the answer that holds it."""
    return finding.model_copy(update={"question": EDGE_OF[finding.question]})


def _cross_check(
    rule: Rule | CrossCheck, door: Door, answers: Mapping[str, Value], checklist: Checklist
) -> list[Finding]:
    measured = [key for key in answers if key in rule.at]
    if not measured:
        return []
    question = question_of(measured[-1], checklist)
    return list(
        rule.judge(JudgedAnswer(door, question, answers[question.key], checklist.rules, answers))
    )


def _not_checked(
    door: Door,
    answers: Mapping[str, Value],
    found: Mapping[str, tuple[Finding, ...]],
    checklist: Checklist,
) -> tuple[str, ...]:
    """Questions of this door not answered, or answered in a way that leaves the part unseen.
    Measuring every point of an edge replaces its single worst value. Gaps in the register are not
    unchecked parts, except those that decide whether a door holds back fire and smoke.
    """
    facts = wanting_facts(door, answers, checklist)
    door = as_seen(with_closer_seen(door, answers), contradictions(door, answers))
    asked = [each.key for each in checklist.for_door(door) if each.component != "register"]
    keys = dict.fromkeys((*asked, *(key for key in answers if _looked_for(key, checklist))))
    left = [
        key
        for key in keys
        if not _by_points(key, answers) and (key not in answers or unseen(answers[key], found[key]))
    ]
    return (*facts, *left)


def wanting_facts(
    door: Door, answers: Mapping[str, Value], checklist: Checklist
) -> tuple[str, ...]:
    """Register questions that must be answered before the door can be shown to be fit: its rating;
    whether it has a second leaf; the kind of its seals, if they must hold back smoke, or fire for
    an hour; how it opens, if not hinged; whether there is glass beside it, if somebody could not
    tell.
    """
    smoke = door.holds_smoke is not False
    seals = smoke or (door.sixty_minutes is not False and checklist.rules.kin != "nfpa-80")
    wanting = {
        "register.rating": door.rating is None,
        "register.seals": door.seals is None and seals and door.rating is not None,
        "register.leaves": door.leaves is None,
        "register.operation": door.hinged is False,
        "register.screens": answers.get("register.screens") == Choice(chosen="unknown"),
    }
    known = {question.key for question in checklist.question}
    return tuple(key for key, wants in wanting.items() if wants and key in known)


def _unknown_glass(findings: tuple[Finding, ...], checklist: Checklist) -> tuple[str, ...]:
    """Questions whose answers leave open whether glass is fire-resisting: until a competent person
    has looked, the door is not shown to be fit. NFPA 80 calls a door deficient if its glass bears
    no label. Common practice, no source.
    """
    if checklist.rules.without_delay:
        return ()
    return tuple(each.question for each in findings if each.rule in KIND_OF_GLASS)


def _looked_for(key: str, checklist: Checklist) -> bool:
    return question_of(key, checklist).component != "register"


def _by_points(key: str, answers: Mapping[str, Value]) -> bool:
    points = POINTS.get(key, ())
    return bool(points) and all(isinstance(answers.get(point), Measure) for point in points)


def _result(bad: tuple[Finding, ...], unseen: tuple[str, ...], checklist: Checklist) -> Result:
    of_fire = [each for each in bad if not each.access]
    if any(each.severity is Severity.ACT_NOW for each in of_fire):
        return Result.OUT_OF_ACTION
    if unseen:
        return Result.NOT_SHOWN
    if not of_fire:
        return Result.FIT
    return Result.DEFICIENT if checklist.rules.without_delay else Result.WITH_DEFECTS
