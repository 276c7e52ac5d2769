"""How often a door is checked, and why: by use, by law or guidance, by the site's own setting.

The strictest wins.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import StrEnum

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


class Rule(StrEnum):
    """Law or guidance that the responsible person says applies here."""

    FLATS = "flats in England over 11 m"
    NFPA = "NFPA 80"


@dataclass(frozen=True)
class Reason:
    """One interval and why it holds. source: document and clause, or that there is none."""

    every: Recurrence
    why: str
    source: str

    def __str__(self) -> str:
        return f"{self.every}: {self.why} ({self.source})"


_SELDOM = (Use.CUPBOARD, Use.STORE, Use.PLANT_ROOM, Use.RISER)


def by_use(use: Use | None) -> Reason:
    """How often, by what the door is for; what is not known is never taken for seldom used."""
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


def by_rule(rule: Rule, use: Use | None) -> Reason:
    """What a law or guidance asks of a door of that use."""
    if rule is Rule.NFPA:
        return Reason(
            Recurrence(1, "year"), "inspected and tested", "NFPA 80, section 5.2 (secondary)"
        )
    if use is Use.FLAT_ENTRANCE:
        return Reason(YEAR, "flat entrance, best endeavours", ENGLAND)
    return Reason(QUARTER, "common parts", ENGLAND)


@dataclass(frozen=True)
class Intervals:
    """What holds on a site. rules: law and guidance that apply. uses, doors: own settings, by use
    and by number.
    """

    rules: tuple[Rule, ...] = ()
    uses: Mapping[Use, Recurrence] = field(default_factory=dict)
    doors: Mapping[str, Recurrence] = field(default_factory=dict)

    def reasons(self, use: Use | None, number: str) -> tuple[Reason, ...]:
        """Every interval that holds for a door: law and guidance first, then own settings, then its
        use.
        """
        own = (
            [Reason(self.doors[number], f"set for door {number}", OWN_SETTING)]
            if number in self.doors
            else []
        )
        if use is not None and use in self.uses:
            own.append(Reason(self.uses[use], f"set for: {use}", OWN_SETTING))
        return (*(by_rule(rule, use) for rule in self.rules), *own, by_use(use))


def strictest(reasons: tuple[Reason, ...], last: date) -> tuple[date, Reason]:
    """When the next check is due after one on that day, and the reason: the earliest of all; of
    equals, the first.
    """
    return min(((reason.every.after(last), reason) for reason in reasons), key=lambda each: each[0])


def shortest(reasons: tuple[Reason, ...]) -> Reason:
    """The reason with the fewest days between two checks."""
    return min(reasons, key=lambda each: each.every.days)


def latest_due(reasons: tuple[Reason, ...], by: date) -> date:
    """The latest day of a last check that is due again by that day.

    No interval is longer than ten years.
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
