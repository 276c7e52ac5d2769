"""A defect from the first time it was seen until it is made good. What is so now is folded from
what happened, in defect_ledger.py. Pure.
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
    """MADE_GOOD: somebody says so, and neither somebody else nor a check has looked at it yet."""

    OPEN = "open"
    MADE_GOOD = "made good"
    CLOSED = "closed"


NOT_LOOKED_AT = "repaired, not looked at yet"


@dataclass(frozen=True)
class Withdrawal:
    """That an answer was taken back or corrected, and what was found on it with it. seq: of the
    entry that did so.
    """

    seq: int
    at: datetime
    day: date
    person: str


@dataclass(frozen=True)
class Sighting:
    """A finding, as it was entered. seq: number of its entry. day: local. check, answer: ids; a
    rule that speaks again of one answer has not looked again. gone: it does not stand any more.
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
    """What a signed check looked at. seen, unseen: by the part's name, how many questions were
    answered by looking, and how many were not. found: rules that found something wrong in it. Its
    sightings come before it.
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
    """What may be done about a defect."""

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
    """What somebody did about a defect. to, by: given to whom, until when. text: what was done.
    evidence: SHA-256 of a photo or a file; no_photo: why there is none. finding: what
    a fault in own words was named. why: of a date that is later than the severity allows. same:
    whoever looked had made it good.
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
    """What may become of a defect in a period."""

    NEW = "new"
    ENDED = "made good"
    AGAIN = "open again"


@dataclass(frozen=True)
class DefectChange:
    """That a defect came, ended or came again. seq: of the entry that says so. day: local."""

    what: ChangeKind
    seq: int
    day: date


@dataclass(frozen=True)
class Defect:
    """id: number of the entry that found it first, for good: also where the answer was corrected
    since. last: the day on which it was last seen; seen_at, seen_by: when and by whom. due: by
    when; None: at the next check. by_rule: by when its severity has it. look_by: by when somebody
    looks at the repair. parts: how many questions about its part the check that saw it
    last had answered by looking.
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
        """What is wrong with which part: "leaf: a hole in it", with the face
        where that has a name."""
        return fault_with_part(self.finding.component, self.finding.what, self.finding.face)

    def age(self, today: date) -> int:
        """Days since it was first seen, or how many it took."""
        return ((self.ended or today) - self.first).days

    def late(self, today: date) -> int:
        """Days past its date; 0 for one that is not, or that is not open."""
        return max(0, (today - self.due).days) if self.state is State.OPEN and self.due else 0

    @property
    def opened(self) -> date:
        """The day since which it is open: found, or opened again."""
        began = (
            change.day for change in reversed(self.changes) if change.what is not ChangeKind.ENDED
        )
        return next(began, self.first)

    def late_by_rule(self, today: date) -> int:
        """Days past the date that its severity allows, whatever date it was given."""
        return max(0, (today - self.by_rule).days) if self._waits and self.by_rule else 0

    @property
    def put_off(self) -> bool:
        """Whether its date is later than its severity allows."""
        return bool(self._waits and self.due and self.by_rule and self.due > self.by_rule)

    def look_late(self, today: date) -> int:
        """Days past the one by which its repair was to be looked at; 0 for one not repaired."""
        waits = self.state is State.MADE_GOOD and self.look_by is not None
        return max(0, (today - self.look_by).days) if waits and self.look_by else 0

    @property
    def _waits(self) -> bool:
        return self.state is State.OPEN

    @property
    def danger(self) -> bool:
        """Whether it is to be acted on now."""
        return self.state is State.OPEN and self.severity is Severity.ACT_NOW

    @property
    def out_of_action(self) -> bool:
        """Whether the door does not count as a fire door because of it: until somebody has looked
        at the repair.
        """
        return self.state is not State.CLOSED and self.severity is Severity.ACT_NOW

    @property
    def why_out(self) -> str:
        """What is wrong, and that it is said to be repaired."""
        return f"{self.what}: {NOT_LOOKED_AT}" if self.state is State.MADE_GOOD else self.what


def by_urgency(defects: Iterable[Defect]) -> list[Defect]:
    """The gravest first, then by date, then by age."""
    return sorted(
        defects, key=lambda each: (-each.severity.rank, each.due or date.max, each.first, each.id)
    )
