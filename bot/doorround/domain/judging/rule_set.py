"""A rule set as data: limits, severities, and an organisation's changes."""

from __future__ import annotations

from fractions import Fraction

from pydantic import BaseModel, ConfigDict, Field

from doorround.domain.judging.severity import Severity, Targets
from doorround.domain.values import MM_PER_INCH, NEWTONS_PER_POUND_FORCE, Unit

COMMON = "common practice, no source"
GAUGES = ("stopwatch", "force gauge", "ruler")
"""Gauges that an organisation may declare: measurements with them are then asked for, if the set
limits them.
"""


class _Data(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Limit(_Data):
    """Permitted range of a measured value, in `unit`.

    most, least: as published. watch: above this, though allowed, it is compared with the door's
    evidence. grave: above this the door is out of action; common practice, no source. makers: above
    `most` the manufacturer's data decide, and the door is not shown to be fit until they are known.
    access: about ease of use; it cannot fail the fire rating. most_mm: the published maximum in
    millimetres, where given beside inches, for values measured in millimetres.
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
        """An amount of this limit in millimetres for a length, in newtons for a force, otherwise
        unchanged.
        """
        factors = {Unit.INCH: MM_PER_INCH, Unit.POUND_FORCE: NEWTONS_PER_POUND_FORCE}
        return amount * factors.get(self.unit, Fraction(1))

    def grade(self, amount: Fraction, measured_in: Unit | None = None) -> Severity | None:
        """Severity of an amount (millimetres for a length) above this limit; None if within it.
        measured_in: the unit of measurement.
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
        """Whether an amount (millimetres for a length) is under the minimum."""
        return self.least is not None and amount < self.exact(self.least)


class Point(_Data):
    """One item of a published checklist. questions: that ask about it. rules: that judge it."""

    name: str
    words: str
    questions: tuple[str, ...] = Field(min_length=1)
    rules: tuple[str, ...] = Field(min_length=1)


class Duty(_Data):
    """One requirement of law or guidance: what, how often, for which doors, by whom."""

    words: str
    source: str


class HingesByHeight(_Data):
    """Number of hinges for a leaf: two up to `two_up_to_mm`, plus one for each `more_each_mm` or
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
    """One rule set.

    family: sets with the same wording and citations; "" if alone. edition: of the standard that it
    follows. without_delay: whether every defect must be corrected without delay, so that no door
    with one is called fit. duties: requirements of law or guidance. hinges: number per leaf, if it
    depends on height.

    unit: for lengths in messages. severity: rule → how soon, where it differs from the rule's own.
    without: rule → why this set omits it. points: the published checklist that the set follows.
    gauges: those of GAUGES that the organisation has beside a gap gauge. own: where its changes are
    defined; loosened: those that make a rule milder, shown in every report.
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
        """Severity of a finding of that rule under this set; None if the set lacks the rule."""
        return None if rule in self.without else self.severity.get(rule, severity)
