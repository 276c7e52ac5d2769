"""A short visit to look at repairs: which questions to ask, which repairs were seen to be sound.
Pure.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from pydantic import BaseModel, ConfigDict

from doorround.domain.defect_ledger import NOT_ASKED_ABOUT
from doorround.domain.defects import Defect, State
from doorround.domain.findings import Finding
from doorround.domain.question import Question
from doorround.domain.unnamed_faults import is_own

CLOSING_TESTS = frozenset(
    (
        "closer.full",
        "closer.full_second",
        "closer.ajar",
        "closer.ajar_second",
        "latch",
        "latch_second",
    )
)
"""Asked at every short visit, since any repair may have stopped the door closing. Common practice,
no source.
"""


class Repair(BaseModel):
    """A defect reported as made good. defect: its number. component, question, rule: of its
    finding. what: in words. by: who made it good.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    defect: int
    component: str
    question: str
    rule: str
    what: str
    by: str

    def is_about(self, question: Question) -> bool:
        """Whether a question is about the repaired part."""
        return question.component == self.component or _part(question.key) == _part(self.question)


def repairs_of(defects: Iterable[Defect]) -> tuple[Repair, ...]:
    """The defects among these that are waiting for a look."""
    return tuple(
        Repair(
            defect=each.id,
            component=each.finding.component,
            question=each.finding.question,
            rule=each.finding.rule,
            what=each.what,
            by=each.ended_by,
        )
        for each in defects
        if each.state is State.MADE_GOOD
    )


def looks_at(repairs: Iterable[Repair], question: Question) -> bool:
    """Whether a short visit asks a question: about the repaired parts, and the closing tests. Gaps
    in the register wait for a full check.
    """
    if question.component == "register":
        return False
    return question.key in CLOSING_TESTS or any(each.is_about(question) for each in repairs)


def seen_sound(
    repairs: Iterable[Repair],
    asked: Iterable[Question],
    findings: Mapping[str, tuple[Finding, ...]],
) -> tuple[Repair, ...]:
    """Repairs for which every question about the part was answered by looking and the fault was not
    found again, nor a fault in own words, which may be the same.

    asked: the questions of the visit. findings: by key of each question answered by looking. A
    repair that no question covers is never included.
    """
    found = {each.rule for some in findings.values() for each in some}
    unnamed = {part for part, _, fault in (rule.partition(".") for rule in found) if is_own(fault)}
    questions = list(asked)
    return tuple(
        each
        for each in repairs
        if each.rule not in found
        and each.rule not in NOT_ASKED_ABOUT
        and each.component not in unnamed
        and _is_seen(each, questions, findings)
    )


def _is_seen(repair: Repair, asked: list[Question], findings: Mapping[str, object]) -> bool:
    about = [each.key for each in asked if repair.is_about(each)]
    return bool(about) and all(key in findings for key in about)


def _part(key: str) -> str:
    return key.partition(".")[0]
