"""A set of rules as data: which limits, how soon, and what an organisation changed."""

from __future__ import annotations

from fractions import Fraction

from pydantic import BaseModel, ConfigDict, Field

from doorround.domain.judging.severity import Severity, Targets
from doorround.domain.values import MM_PER_INCH, NEWTONS_PER_POUND_FORCE, Unit

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
    evidence. grave: above this the door is out of action; common practice, no source. makers: above
    `most` the maker's data decide, and the door is not shown to be fit until they are known.
    access: of how easily people get through; it cannot fail the fire rating. most_mm: the most as
    published in millimetres beside the inches, for what was measured in them.
    """

    most: Fraction | None = None
    least: Fraction | None = None
    watch: Fraction | None = None
    grave: Fraction | None = None
    unit: Unit
    source: str = Field(min_length=1)
    makers: bool = False
    access: bool = False
    most_mm: Fraction | None = None

    def exact(self, amount: Fraction) -> Fraction:
        """An amount of this limit in millimetres where it is a length, in newtons where it is a
        force, else as it is.
        """
        factors = {Unit.INCH: MM_PER_INCH, Unit.POUND_FORCE: NEWTONS_PER_POUND_FORCE}
        return amount * factors.get(self.unit, Fraction(1))

    def grade(self, amount: Fraction, measured_in: Unit | None = None) -> Severity | None:
        """How soon an amount (millimetres for a length) above this limit is dealt with; None when
        it is not. measured_in: the unit in which it was measured.
        """
        if measured_in is Unit.MM and self.most_mm is not None and amount <= self.most_mm:
            return None
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


class Duty(_Data):
    """One thing that law or guidance wants done: what, how often, of which doors, by whom."""

    words: str
    source: str


class HingesByHeight(_Data):
    """How many hinges a leaf needs: two up to `two_up_to_mm`, one more for each `more_each_mm` or
    part of it.
    """

    two_up_to_mm: Fraction
    more_each_mm: Fraction
    source: str

    def wanted(self, leaf_height_mm: float) -> int:
        """Hinges for a leaf of that height."""
        over = Fraction(str(leaf_height_mm)) - self.two_up_to_mm
        return 2 + max(0, -(-over // self.more_each_mm))


class RuleSet(_Data):
    """One set of rules.

    family: the sets that word and cite alike; "" where it is alone. edition: of the standard that
    it follows. without_delay: whether any defect is to be corrected without delay, so that no door
    with one is called fit. duties: what law or guidance wants done. hinges: how many a leaf needs,
    where that goes by its height.

    unit: in which lengths are told. severity: rule → how soon, where it differs from the rule's
    own. without: rule → why this set does not have it. points: the published list that the set
    follows. gauges: what the organisation has to measure with, beside a gap gauge: of GAUGES. own:
    where its changes stand; loosened: those of them that make a rule milder, shown in every report.
    """

    key: str
    title: str
    family: str = ""
    edition: str = ""
    without_delay: bool = False
    duties: tuple[Duty, ...] = ()
    hinges: HingesByHeight | None = None
    unit: Unit = Unit.MM
    limits: dict[str, Limit]
    severity: dict[str, Severity] = Field(default_factory=dict)
    without: dict[str, str] = Field(default_factory=dict)
    points: tuple[Point, ...] = ()
    targets: Targets = Targets()
    gauges: tuple[str, ...] = ()
    own: str = ""
    loosened: tuple[str, ...] = ()

    @property
    def kin(self) -> str:
        """The family of sets that it belongs to."""
        return self.family or self.key

    def wants(self, sets: tuple[str, ...], gauge: str | None, limits: tuple[str, ...]) -> bool:
        """Whether a question is asked under this set: by the sets that need it, its gauge, the
        limits that judge it.
        """
        limited = not limits or any(limit in self.limits for limit in limits)
        return (gauge is None or (gauge in self.gauges and limited)) and (
            not sets or self.kin in sets
        )

    def how_soon(self, rule: str, severity: Severity) -> Severity | None:
        """How soon a finding of that rule is dealt with under this set; None where the set does not
        have the rule.
        """
        return None if rule in self.without else self.severity.get(rule, severity)
