"""How often a door is checked, and why: by use, law or guidance, or the site's own setting.

The strictest wins.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from types import MappingProxyType

from doorround.domain.door import Use
from doorround.domain.schedule.recurrence import Recurrence

WEEK = Recurrence(1, "week")
MONTH = Recurrence(1, "month")
QUARTER = Recurrence(3, "month")
YEAR = Recurrence(12, "month")
ENGLAND = "Fire Safety (England) Regulations 2022, regulation 10"
PRACTICE = "common practice, no source"
OWN_DEFAULT = "a default of this program, no source"
OWN_SETTING = "the responsible person's own setting"


class AppliedRule(StrEnum):
    """Law or guidance that, according to the responsible person, applies here."""

    FLATS = "flats in England over 11 m"
    NFPA = "NFPA 80"


@dataclass(frozen=True)
class Reason:
    """One interval and its justification. source: document and clause, or that there is none."""

    every: Recurrence
    why: str
    source: str

    def __str__(self) -> str:
        return f"{self.every}: {self.why} ({self.source})"


_SELDOM = (Use.CUPBOARD, Use.STORE, Use.PLANT_ROOM, Use.RISER)


def by_use(use: Use | None) -> Reason:
    """Interval by use; an unknown use is never assumed to be infrequent."""
    match use:
        case Use.CORRIDOR:
            return Reason(WEEK, "in constant use", PRACTICE)
        case Use.FLAT_ENTRANCE:
            return Reason(YEAR, "flat entrance, best endeavours", f"{ENGLAND}, taken as a default")
        case None:
            return Reason(MONTH, "what it is for is not known yet", OWN_DEFAULT)
    if use in _SELDOM:
        return Reason(MONTH, f"seldom opened: {use}", PRACTICE)
    return Reason(MONTH, f"{use}", OWN_DEFAULT)


def by_rule(rule: AppliedRule, use: Use | None) -> Reason:
    """What a law or guidance requires of a door with that use."""
    if rule is AppliedRule.NFPA:
        return Reason(
            Recurrence(1, "year"), "inspected and tested", "NFPA 80, section 5.2 (secondary)"
        )
    if use is Use.FLAT_ENTRANCE:
        return Reason(YEAR, "flat entrance, best endeavours", ENGLAND)
    return Reason(QUARTER, "common parts", ENGLAND)


@dataclass(frozen=True)
class HouseInterval:
    """Interval set by the responsible person. why: the reason, without which it does not override
    law or guidance. by: who set it.
    """

    every: Recurrence
    why: str = ""
    by: str = ""

    def reason(self, of: str) -> Reason:
        """As a reason. of: "door 14" or the doors' use."""
        whose = f"set by {self.by}, the responsible person" if self.by else OWN_SETTING
        because = f", because: {self.why}" if self.why else ""
        return Reason(self.every, f"set for {of}{because}", whose)


class Intervals:
    """A site's settings. rules: applicable law and guidance. uses, doors: the responsible person's
    own settings, by use and by number; a bare interval is one without a reason.
    """

    def __init__(
        self,
        rules: tuple[AppliedRule, ...] = (),
        uses: Mapping[Use, Recurrence | HouseInterval] = MappingProxyType({}),
        doors: Mapping[str, Recurrence | HouseInterval] = MappingProxyType({}),
    ) -> None:
        self.rules = rules
        self.uses = {use: _own(every) for use, every in uses.items()}
        self.doors = {number: _own(every) for number, every in doors.items()}

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Intervals):
            return NotImplemented
        return (self.rules, self.uses, self.doors) == (other.rules, other.uses, other.doors)

    def __hash__(self) -> int:
        return hash((self.rules, tuple(self.uses.items()), tuple(self.doors.items())))

    def reasons(self, use: Use | None, number: str) -> tuple[Reason, ...]:
        """Every interval that applies to a door: law and guidance first, then the person's own,
        then the program's default for its use.
        """
        law, own, default = self._of(use, number)
        return (*law, *own, default)

    def in_force(self, use: Use | None, number: str) -> tuple[Reason, ...]:
        """The intervals of which the strictest counts.

        The responsible person's setting overrides the program's default and, with a reason, law and
        guidance too.
        """
        law, own, default = self._of(use, number)
        setting = self._setting(use, number)
        if setting is None:
            return (*law, default)
        return own if setting[0].why else (*law, *own)

    def _of(
        self, use: Use | None, number: str
    ) -> tuple[tuple[Reason, ...], tuple[Reason, ...], Reason]:
        law = tuple(by_rule(rule, use) for rule in self.rules)
        setting = self._setting(use, number)
        own = (setting[0].reason(setting[1]),) if setting else ()
        return law, own, by_use(use)

    def _setting(self, use: Use | None, number: str) -> tuple[HouseInterval, str] | None:
        """The setting for a door: its own, or else the one for its use."""
        if number in self.doors:
            return self.doors[number], f"door {number}"
        if use is not None and use in self.uses:
            return self.uses[use], use.value
        return None


def _own(every: Recurrence | HouseInterval) -> HouseInterval:
    return every if isinstance(every, HouseInterval) else HouseInterval(every)


def strictest(reasons: tuple[Reason, ...], last: date) -> tuple[date, Reason]:
    """Due date of the next check after one on that day, and the reason: the earliest of all; on a
    tie, the first.
    """
    return min(((reason.every.after(last), reason) for reason in reasons), key=lambda each: each[0])


def shortest(reasons: tuple[Reason, ...]) -> Reason:
    """The reason with the fewest days between two checks."""
    return min(reasons, key=lambda each: each.every.days)


def latest_due(reasons: tuple[Reason, ...], by: date) -> date:
    """The latest last-check date that is due again by that day.

    No interval exceeds ten years.
    """
    sure = by - timedelta(days=4000)
    early = by
    while (early - sure).days > 1:
        middle = sure + (early - sure) / 2
        if strictest(reasons, middle)[0] <= by:
            sure = middle
        else:
            early = middle
    return sure
