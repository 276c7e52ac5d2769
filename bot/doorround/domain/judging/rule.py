"""A rule: a small pure function from an answer to findings, with its source and an example."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from doorround.domain.checklist import Question
from doorround.domain.door import Door
from doorround.domain.findings import Finding
from doorround.domain.judging.formatting import amount_words, beside
from doorround.domain.judging.rule_set import COMMON, Limit, RuleSet
from doorround.domain.judging.severity import Severity
from doorround.domain.values import Measure, Value

EVIDENCE = "Where the door's own evidence says otherwise, it prevails."
REPORT = f"Report it; a competent person sets it right. {EVIDENCE}"
COMPETENT = "Report it; a competent person looks at it."
KEEP_SHUT = "keep the door shut"
NEVER_LOCKED = f"{KEEP_SHUT}, never locked"


@dataclass(frozen=True)
class JudgedAnswer:
    """Input of a rule: a door, one answer, the rules in force. others: all answers, by question.
    found: findings on each answer alone, for cross-checks.
    """

    door: Door
    question: Question
    value: Value
    rules: RuleSet
    others: Mapping[str, Value] = field(default_factory=dict)
    found: tuple[Finding, ...] = ()

    def finding(
        self,
        rule: str,
        how_soon: Severity,
        what: str,
        why: str,
        do_now: str,
        source: str,
        *,
        must_not_move: bool = False,
        access: bool = False,
    ) -> list[Finding]:
        """One finding, with the severity that the set gives; none if the set lacks the rule."""
        severity = self.rules.how_soon(rule, how_soon)
        if severity is None:
            return []
        return [
            Finding(
                rule=rule,
                question=self.question.key,
                component=self.question.component,
                what=what,
                why=why,
                do_now=self.shut_never_locked(do_now),
                source=source,
                severity=severity,
                must_not_move=must_not_move,
                access=access,
            )
        ]

    def shut_never_locked(self, do_now: str) -> str:
        """What to do, clarifying "keep the door shut" where it may be an escape route."""
        if self.door.may_be_kept_locked or NEVER_LOCKED in do_now:
            return do_now
        return do_now.replace(KEEP_SHUT, f"{KEEP_SHUT}, never locked")

    def cites(self, british: str, american: str) -> str:
        """The source under these rules: British or American."""
        return american if self.rules.kin == "nfpa-80" else british

    def against(self, value: Measure, limit: Limit, edge: Fraction, says: str) -> str:
        """A measured value beside its limit: "5 mm, 4 mm allowed"."""
        unit = self.rules.unit
        return (
            f"{beside(value.mm, limit.exact(edge), unit)}, {amount_words(limit, edge, unit)} {says}"
        )


@dataclass(frozen=True)
class Example:
    """A door and answers that trigger the rule, and the resulting finding. rules: key of
    the set.
    """

    door: Mapping[str, Any]
    answers: Mapping[str, Mapping[str, Any]]
    what: str
    rules: str = "uk-premises"


@dataclass(frozen=True)
class Rule:
    """One rule. key: used in findings. at: questions whose answers trigger it. says: its
    requirement in one sentence. severity: how soon, the highest if graduated; mildest: the lowest
    then. limits: those it reads from the set. american: the source under American sets, if
    different.
    """

    key: str
    at: tuple[str, ...]
    says: str
    severity: Severity
    judge: Callable[[JudgedAnswer], Iterable[Finding]]
    example: Example
    source: str = COMMON
    american: str = ""
    limits: tuple[str, ...] = ()
    mildest: Severity | None = None
