"""The whole door: every answer judged, what they mean together, one result, and what a simple check
cannot know.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from pydantic import BaseModel, ConfigDict

from doorround.domain.checklist import Checklist
from doorround.domain.door import Door
from doorround.domain.findings import Finding, Verdict
from doorround.domain.judging.cross_checks import ACROSS_RULES, SEVERAL_RULE
from doorround.domain.judging.gap_places import apart
from doorround.domain.judging.gaps import EDGE_OF, POINTS, allowed_by_evidence
from doorround.domain.judging.judge import judge, unseen
from doorround.domain.judging.optional_questions import question_of
from doorround.domain.judging.rule import Rule, Seen
from doorround.domain.judging.severity import Severity, gravest
from doorround.domain.parts import part_name
from doorround.domain.values import Measure, Unit, Value


class Result(StrEnum):
    """A whole door.

    NOT_SHOWN: nothing puts it out of action, and not everything was seen: no pass.
    """

    FIT = "fit"
    WITH_DEFECTS = "fit with defects"
    NOT_SHOWN = "not shown to be fit"
    OUT_OF_ACTION = "out of action"


class Judgement(BaseModel):
    """What the rules say of a whole door.

    sentence: the result in plain words. together: findings across answers; findings: all of them,
    those too, the gravest first. not_checked: keys of questions not answered or not seen. evidence:
    where the door's own evidence allowed what the set does not. competent: for what a competent
    person is called. loosened: rules that the organisation made milder. limit: what a simple check
    cannot know.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    result: Result
    sentence: str
    rules: str
    findings: tuple[Finding, ...] = ()
    together: tuple[Finding, ...] = ()
    not_checked: tuple[str, ...] = ()
    evidence: tuple[str, ...] = ()
    competent: tuple[str, ...] = ()
    loosened: tuple[str, ...] = ()
    limit: str

    @property
    def severity(self) -> Severity | None:
        """The gravest of what is not made good."""
        return gravest(each.severity for each in open_findings(self.findings) if each.severity)


def open_findings(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Those of something wrong that was not made good on the spot."""
    return tuple(each for each in findings if each.verdict in (Verdict.DEFECT, Verdict.ACT_NOW))


def judge_door(
    door: Door, answers: Mapping[str, Value], checklist: Checklist, doubted: tuple[str, ...] = ()
) -> Judgement:
    """The judgement on a door and its answers, by question key. doubted: keys of questions of which
    a fault is reported and not confirmed: not seen, whatever their answers. Raises KeyError for a
    key that no question has.
    """
    each = {
        key: judge(door, question_of(key, checklist), value, checklist)
        for key, value in answers.items()
    }
    found = tuple(finding for findings in each.values() for finding in findings)
    together = findings_together(door, answers, found, checklist)
    unseen = tuple(dict.fromkeys((*_not_checked(door, answers, each, checklist), *doubted)))
    everything = tuple(sorted((*found, *together), key=_gravest_first))
    bad = open_findings(everything)
    result = _result(bad, unseen)
    return Judgement(
        result=result,
        sentence=_sentence(result, bad, unseen, checklist),
        rules=checklist.rules.key,
        findings=everything,
        together=together,
        not_checked=unseen,
        evidence=_by_evidence(door, answers, checklist),
        competent=tuple(
            dict.fromkeys(
                _part(each, checklist) for each in bad if "competent person" in each.do_now
            )
        ),
        loosened=checklist.rules.loosened,
        limit=checklist.caution,
    )


def _gravest_first(finding: Finding) -> int:
    return -finding.severity.rank if finding.severity and not finding.made_good else 1


def findings_together(
    door: Door, answers: Mapping[str, Value], found: tuple[Finding, ...], checklist: Checklist
) -> tuple[Finding, ...]:
    """What several answers say together, and what several faults make; each named for the last
    answer it rests on.
    """
    together: list[Finding] = []
    given = answers
    answers = apart(answers)
    for rule in ACROSS_RULES:
        together += _across(rule, door, answers, checklist)
    bad = open_findings((*found, *together))
    if bad:
        last = question_of(bad[-1].question, checklist)
        seen = Seen(door, last, answers[last.key], checklist.rules, answers, (*found, *together))
        together += SEVERAL_RULE.judge(seen)
    return tuple(each if each.question in given else _at_edge(each) for each in together)


def _at_edge(finding: Finding) -> Finding:
    """A finding that rests on one place of a gap, named for the answer that holds it."""
    return finding.model_copy(update={"question": EDGE_OF[finding.question]})


def _across(
    rule: Rule, door: Door, answers: Mapping[str, Value], checklist: Checklist
) -> list[Finding]:
    measured = [key for key in answers if key in rule.at]
    if not measured:
        return []
    question = question_of(measured[-1], checklist)
    return list(rule.judge(Seen(door, question, answers[question.key], checklist.rules, answers)))


def _not_checked(
    door: Door,
    answers: Mapping[str, Value],
    found: Mapping[str, tuple[Finding, ...]],
    checklist: Checklist,
) -> tuple[str, ...]:
    """Questions of this door not answered, or answered by what leaves the part unseen. All places
    of an edge measured stand for its one worst value. What the register does not know is no part
    that failed to be looked at.
    """
    asked = [each.key for each in checklist.for_door(door) if each.component != "register"]
    keys = dict.fromkeys((*asked, *(key for key in answers if _looked_for(key, checklist))))
    return tuple(
        key
        for key in keys
        if not _by_points(key, answers) and (key not in answers or unseen(answers[key], found[key]))
    )


def _looked_for(key: str, checklist: Checklist) -> bool:
    return question_of(key, checklist).component != "register"


def _by_points(key: str, answers: Mapping[str, Value]) -> bool:
    points = POINTS.get(key, ())
    return bool(points) and all(isinstance(answers.get(point), Measure) for point in points)


def _result(bad: tuple[Finding, ...], unseen: tuple[str, ...]) -> Result:
    if any(each.severity is Severity.ACT_NOW for each in bad):
        return Result.OUT_OF_ACTION
    if unseen:
        return Result.NOT_SHOWN
    return Result.WITH_DEFECTS if bad else Result.FIT


def _part(finding: Finding, checklist: Checklist) -> str:
    if finding.rule == SEVERAL_RULE.key:
        return finding.what
    return f"{part_name(question_of(finding.question, checklist), checklist)}: {finding.what}"


def _sentence(
    result: Result, bad: tuple[Finding, ...], unseen: tuple[str, ...], checklist: Checklist
) -> str:
    grave = [_part(each, checklist) for each in bad if each.severity is Severity.ACT_NOW]
    count = f"{len(bad)} defect{'' if len(bad) == 1 else 's'}"
    worst = gravest(each.severity for each in bad if each.severity)
    match result:
        case Result.OUT_OF_ACTION:
            return f"Out of action as a fire door: {'; '.join(grave)}."
        case Result.NOT_SHOWN:
            more = f", and {count}, the gravest: {worst}" if bad else ""
            return f"Not shown to be fit: {len(unseen)} not checked{more}."
        case Result.WITH_DEFECTS:
            return f"Fit, with {count}; the gravest: {worst}."
        case Result.FIT:
            return "Fit, as far as eyes and hands can tell."


def _by_evidence(door: Door, answers: Mapping[str, Value], checklist: Checklist) -> tuple[str, ...]:
    told = []
    for key, value in answers.items():
        if (
            key not in EDGE_OF
            or not isinstance(value, Measure)
            or value.unit not in (Unit.MM, Unit.INCH)
        ):
            continue
        if said := allowed_by_evidence(door, EDGE_OF[key], value, checklist.rules):
            told.append(f"{part_name(question_of(key, checklist), checklist)}: {said}")
    return tuple(told)
