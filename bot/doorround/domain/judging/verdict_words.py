"""A verdict in words: the result in one sentence, and what the door's own evidence allowed."""

from __future__ import annotations

from collections.abc import Mapping

from doorround.domain.checklist import Checklist
from doorround.domain.door import Door
from doorround.domain.findings import Finding
from doorround.domain.judging.causes import SEVERAL, one_each_cause
from doorround.domain.judging.gaps import EDGE_OF, allowed_by_evidence
from doorround.domain.judging.optional_questions import question_of
from doorround.domain.judging.results import Result
from doorround.domain.judging.severity import Severity, most_severe
from doorround.domain.parts import part_name
from doorround.domain.values import Measure, Unit, Value

WITHOUT_DELAY = "to be corrected without delay (NFPA 80, 5.1.5, from memory)"
HINGED_ONLY = "This program judges hinged doors only: a competent person looks at this one."
KIND_OF_GLASS = ("glass.wrong", "mark.unmarked", "screens.wrong")
"""Faults that leave open whether glass is fire-resisting."""
_OWN_LIMITS = ("gap_sides_least_mm", "gap_sides_most_mm", "gap_meeting_most_mm")
_EVIDENCE = (*_OWN_LIMITS, "gap_threshold_most_mm", "evidence_seals")


def part_words(finding: Finding, checklist: Checklist) -> str:
    """A finding with its part: "Leaf, this side: a hole in it"."""
    if finding.rule == SEVERAL:
        return f"{finding.what[:1].upper()}{finding.what[1:]}"
    question = question_of(finding.question, checklist)
    if finding.component != question.component:
        return f"{checklist.part(finding.component).name}: {finding.what}"
    return f"{part_name(question, checklist)}: {finding.what}"


def count_words(faults: int) -> str:
    """ "1 defect", "2 defects"."""
    return f"{faults} defect{'' if faults == 1 else 's'}"


def sentence(
    result: Result, bad: tuple[Finding, ...], unseen: tuple[str, ...], checklist: Checklist
) -> str:
    """The result in plain words. bad: faults, possibly several findings of one cause."""
    causes = [each for each in one_each_cause(bad) if not each.access]
    counted = [each for each in (*causes, *(each for each in bad if each.rule == SEVERAL))]
    grave = [part_words(each, checklist) for each in counted if each.severity is Severity.ACT_NOW]
    count = count_words(len(causes))
    worst = most_severe(each.severity for each in counted if each.severity)
    use = sum(1 for each in bad if each.access)
    beside = f" Beside fire: {use} of ease of use." if use else ""
    match result:
        case Result.OUT_OF_ACTION:
            return f"Out of action as a fire door: {'; '.join(grave)}.{beside}"
        case Result.NOT_SHOWN:
            more = f", and {count}, the gravest: {worst}" if causes else ""
            return f"Not shown to be fit: {left_open(unseen, bad)}{more}.{beside}"
        case Result.DEFICIENT:
            return f"Deficient: {count}, {WITHOUT_DELAY}.{beside}"
        case Result.WITH_DEFECTS:
            return f"Fit, with {count}; the gravest: {worst}.{beside}"
        case Result.FIT:
            return f"Fit, as far as eyes and hands can tell.{beside}"


def left_open(unseen: tuple[str, ...], bad: tuple[Finding, ...]) -> str:
    """What prevents a door from being shown to be fit: "2 not checked, glass of an
    unknown kind".
    """
    glass = {each.question for each in bad if each.rule in KIND_OF_GLASS}.intersection(unseen)
    left = len(unseen) - len(glass)
    parts = [f"{left} not checked"] if left or not glass else []
    return ", ".join([*parts, *(["glass of an unknown kind"] if glass else [])])


def by_evidence(door: Door, answers: Mapping[str, Value], checklist: Checklist) -> tuple[str, ...]:
    """Where the door's own evidence allowed what the set does not, or names no document."""
    lines = []
    for key, value in answers.items():
        if (
            key not in EDGE_OF
            or not isinstance(value, Measure)
            or value.unit not in (Unit.MM, Unit.INCH)
        ):
            continue
        if said := allowed_by_evidence(door, EDGE_OF[key], value, checklist.rules):
            lines.append(f"{part_name(question_of(key, checklist), checklist)}: {said}")
    if door.document is None and any(getattr(door, name) is not None for name in _EVIDENCE):
        lines.append(
            "The register has limits of the door's own and names no document for them: the"
            " published limits stand."
        )
    if door.hinged is False:
        lines.append(HINGED_ONLY)
    return tuple(lines)
