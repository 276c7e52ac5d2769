"""A set of rules as data: which limits, how soon, and what an organisation changed."""

from __future__ import annotations

from fractions import Fraction

from pydantic import BaseModel, ConfigDict, Field

from doorround.domain.judging.severity import Severity, Targets
from doorround.domain.values import MM_PER_INCH, Unit

COMMON = "common practice, no source"
GAUGES = ("stopwatch", "force gauge", "ruler")
"""What an organisation may say it has: then what it measures is asked for, where the set limits
it.
"""


class _Data(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Limit(_Data):
    """What a measured value may be, in `unit`.

    most, least: as published. watch: above this, though allowed, it is compared with the door's
    evidence. grave: above this the door is out of action; common practice, no source.
    """

    most: Fraction | None = None
    least: Fraction | None = None
    watch: Fraction | None = None
    grave: Fraction | None = None
    unit: Unit
    source: str = Field(min_length=1)

    def exact(self, amount: Fraction) -> Fraction:
        """An amount of this limit in millimetres where it is a length, else as it is."""
        return amount * MM_PER_INCH if self.unit is Unit.INCH else amount

    def grade(self, amount: Fraction) -> Severity | None:
        """How soon an amount (millimetres for a length) above this limit is dealt with; None when
        it is not.
        """
        for edge, severity in (
            (self.grave, Severity.ACT_NOW),
            (self.most, Severity.SOON),
            (self.watch, Severity.WATCH),
        ):
            if edge is not None and amount > self.exact(edge):
                return severity
        return None

    def too_little(self, amount: Fraction) -> bool:
        """Whether an amount (millimetres for a length) is under the least."""
        return self.least is not None and amount < self.exact(self.least)


class Point(_Data):
    """One thing that a published list wants looked at. questions: that ask for it. rules: that
    judge it.
    """

    name: str
    words: str
    questions: tuple[str, ...] = Field(min_length=1)
    rules: tuple[str, ...] = Field(min_length=1)


class RuleSet(_Data):
    """One set of rules.

    unit: in which lengths are told. severity: rule → how soon, where it differs from the rule's
    own. without: rule → why this set does not have it. points: the published list that the set
    follows. gauges: what the organisation has to measure with, beside a gap gauge: of GAUGES. own:
    where its changes stand; loosened: those of them that make a rule milder, shown in every report.
    """

    key: str
    title: str
    unit: Unit = Unit.MM
    limits: dict[str, Limit]
    severity: dict[str, Severity] = Field(default_factory=dict)
    without: dict[str, str] = Field(default_factory=dict)
    points: tuple[Point, ...] = ()
    targets: Targets = Targets()
    gauges: tuple[str, ...] = ()
    own: str = ""
    loosened: tuple[str, ...] = ()

    def wants(self, sets: tuple[str, ...], gauge: str | None, limits: tuple[str, ...]) -> bool:
        """Whether a question is asked under this set: by the sets that need it, its gauge, the
        limits that judge it.
        """
        limited = not limits or any(limit in self.limits for limit in limits)
        return (gauge is None or (gauge in self.gauges and limited)) and (
            not sets or self.key in sets
        )

    def how_soon(self, rule: str, severity: Severity) -> Severity | None:
        """How soon a finding of that rule is dealt with under this set; None where the set does not
        have the rule.
        """
        return None if rule in self.without else self.severity.get(rule, severity)
