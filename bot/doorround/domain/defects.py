"""A defect from its first sighting until it is made good. Its current state is folded from events
in defect_ledger.py. Pure.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum

from doorround.domain.findings import Finding
from doorround.domain.judging.severity import Severity
from doorround.domain.parts import fault_with_part
from doorround.domain.schedule.due import DoorId


class State(StrEnum):
    """MADE_GOOD: reported as repaired, but not yet looked at by another person or a check."""

    OPEN = "open"
    MADE_GOOD = "made good"
    CLOSED = "closed"


NOT_LOOKED_AT = "repaired, not looked at yet"


@dataclass(frozen=True)
class Withdrawal:
    """An answer was withdrawn or corrected, together with the findings on it. seq: of the entry
    that did so.
    """

    seq: int
    at: datetime
    day: date
    person: str


@dataclass(frozen=True)
class Sighting:
    """A finding as entered. seq: number of its entry. day: local. check, answer: ids; a rule
    judging the same answer again is not a new look. gone: set once it no longer stands.
    """

    seq: int
    at: datetime
    day: date
    door: DoorId
    person: str
    finding: Finding
    check: str = ""
    answer: str = ""
    gone: Withdrawal | None = None


@dataclass(frozen=True)
class CheckedParts:
    """What a signed check looked at. seen, unseen: by part name, how many questions were answered
    by looking, and how many were not. found: rules that found a fault in it. Its sightings precede
    it.
    """

    seq: int
    at: datetime
    day: date
    door: DoorId
    person: str
    seen: dict[str, int]
    unseen: dict[str, int]
    found: frozenset[str] = frozenset()


class DeedKind(StrEnum):
    """Kinds of action on a defect."""

    ASSIGNED = "assigned"
    MADE_GOOD = "made good"
    NOTED = "noted"
    MEASURE = "temporary measure"
    LOOKED_AT = "looked at"
    REOPENED = "opened again"
    NAMED = "named"
    DISMISSED = "no fault"


@dataclass(frozen=True)
class Deed:
    """An action on a defect. to, by: assignee and target date. text: what was done. evidence:
    SHA-256 of a photo or file; no_photo: why there is none. finding: the known fault given to a
    fault in own words. why: reason for a date later than the severity allows. same: the person who
    looked is the one who made it good.
    """

    seq: int
    at: datetime
    day: date
    kind: DeedKind
    defect: int
    person: str
    text: str = ""
    to: str | None = None
    by: date | None = None
    evidence: str | None = None
    no_photo: str = ""
    finding: Finding | None = None
    why: str = ""
    same: bool = False


Event = Sighting | CheckedParts | Deed


class ChangeKind(StrEnum):
    """How a defect may change in a period."""

    NEW = "new"
    ENDED = "made good"
    AGAIN = "open again"


@dataclass(frozen=True)
class DefectChange:
    """A defect appeared, ended or reappeared. seq: of the entry that records it. day: local."""

    what: ChangeKind
    seq: int
    day: date


@dataclass(frozen=True)
class Defect:
    """id: number of the entry that first found it; permanent, even if the answer was since
    corrected. last: day it was last seen; seen_at, seen_by: when and by whom. due: target date;
    None: at the next check. by_rule: target date by severity. look_by: date by which somebody looks
    at the repair. parts: how many questions about its part were answered by looking in the check
    that last saw it.
    """

    id: int
    door: DoorId
    finding: Finding
    severity: Severity
    first: date
    last: date
    due: date | None
    state: State = State.OPEN
    found_by: str = ""
    seen_by: str = ""
    seen_at: datetime | None = None
    given_to: str | None = None
    given: bool = False
    times: int = 1
    reopened: int = 0
    parts: int = 1
    ended: date | None = None
    ended_by: str = ""
    by_rule: date | None = None
    look_by: date | None = None
    measures: tuple[str, ...] = ()
    deeds: tuple[Deed, ...] = field(default=(), repr=False)
    changes: tuple[DefectChange, ...] = field(default=(), repr=False)

    @property
    def what(self) -> str:
        """What is wrong with which part: "leaf: a hole in it", plus the face if it has a name."""
        return fault_with_part(self.finding.component, self.finding.what, self.finding.face)

    def age(self, today: date) -> int:
        """Days since it was first seen or, once closed, how many days it took."""
        return ((self.ended or today) - self.first).days

    def late(self, today: date) -> int:
        """Days past its target date; 0 if not overdue or not open."""
        return max(0, (today - self.due).days) if self.state is State.OPEN and self.due else 0

    @property
    def opened(self) -> date:
        """The day from which it has been open: found or reopened."""
        began = (
            change.day for change in reversed(self.changes) if change.what is not ChangeKind.ENDED
        )
        return next(began, self.first)

    def late_by_rule(self, today: date) -> int:
        """Days past the date that its severity allows, whatever its target date."""
        return max(0, (today - self.by_rule).days) if self._waits and self.by_rule else 0

    @property
    def put_off(self) -> bool:
        """Whether its target date is later than its severity allows."""
        return bool(self._waits and self.due and self.by_rule and self.due > self.by_rule)

    def look_late(self, today: date) -> int:
        """Days past the date by which its repair was to be looked at; 0 if not repaired."""
        waits = self.state is State.MADE_GOOD and self.look_by is not None
        return max(0, (today - self.look_by).days) if waits and self.look_by else 0

    @property
    def _waits(self) -> bool:
        return self.state is State.OPEN

    @property
    def danger(self) -> bool:
        """Whether it requires action now."""
        return self.state is State.OPEN and self.severity is Severity.ACT_NOW

    @property
    def out_of_action(self) -> bool:
        """Whether it stops the door counting as a fire door, which lasts until somebody has looked
        at the repair.
        """
        return self.state is not State.CLOSED and self.severity is Severity.ACT_NOW

    @property
    def why_out(self) -> str:
        """What is wrong, and that it has been reported as repaired."""
        return f"{self.what}: {NOT_LOOKED_AT}" if self.state is State.MADE_GOOD else self.what


def by_urgency(defects: Iterable[Defect]) -> list[Defect]:
    """Sorted by severity (most severe first), then date, then age."""
    return sorted(
        defects, key=lambda each: (-each.severity.rank, each.due or date.max, each.first, each.id)
    )
