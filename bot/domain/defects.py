"""A defect from the first time it was seen until it is made good. Pure: what is so now is folded from what happened."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from enum import StrEnum

from bot.domain.findings import Finding
from bot.domain.judging.severity import Severity, Targets
from bot.domain.parts import fault_with_part
from bot.domain.schedule.due import DoorId


class State(StrEnum):
    """MADE_GOOD: somebody says so, and the next check has not looked at it yet."""

    OPEN = "open"
    MADE_GOOD = "made good"
    CLOSED = "closed"


@dataclass(frozen=True)
class Sighting:
    """A finding. seq: number of its entry. day: local. signed: its check is, and a Looked of it follows."""

    seq: int
    at: datetime
    day: date
    door: DoorId
    person: str
    finding: Finding
    signed: bool = True


@dataclass(frozen=True)
class Looked:
    """What a signed check looked at. seen, unseen: by the part's name, how many questions were answered by looking, and
    how many were not. Sightings of the same check come before it."""

    seq: int
    at: datetime
    day: date
    door: DoorId
    person: str
    seen: dict[str, int]
    unseen: dict[str, int]


class DeedKind(StrEnum):
    ASSIGNED = "assigned"
    MADE_GOOD = "made good"
    NOTED = "noted"
    MEASURE = "temporary measure"


@dataclass(frozen=True)
class Deed:
    """What somebody did about a defect. to, by: given to whom, until when. text: what was done. evidence: SHA-256 of a
    photo or a file."""

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


Event = Sighting | Looked | Deed


@dataclass(frozen=True)
class Defect:
    """id: number of the entry that found it first. last: the day on which it was last seen. due: by when; None: at the
    next check. parts: how many questions about its part the check that saw it last had answered by looking."""

    id: int
    door: DoorId
    finding: Finding
    severity: Severity
    first: date
    last: date
    due: date | None
    state: State = State.OPEN
    found_by: str = ""
    given_to: str | None = None
    given: bool = False
    times: int = 1
    reopened: int = 0
    parts: int = 1
    ended: date | None = None
    ended_by: str = ""
    measures: tuple[str, ...] = ()
    deeds: tuple[Deed, ...] = field(default=(), repr=False)

    @property
    def what(self) -> str:
        """What is wrong with which part: "leaf: a hole in it"."""
        return fault_with_part(self.finding.component, self.finding.what)

    def age(self, today: date) -> int:
        """Days since it was first seen, or how many it took."""
        return ((self.ended or today) - self.first).days

    def late(self, today: date) -> int:
        """Days past its date; 0 for one that is not, or that is not open."""
        return max(0, (today - self.due).days) if self.state is State.OPEN and self.due else 0

    @property
    def out_of_action(self) -> bool:
        """Whether the door does not count as a fire door because of it."""
        return self.state is State.OPEN and self.severity is Severity.ACT_NOW


class DefectLedger:
    """Takes events in the order in which they were entered; holds every defect ever found."""

    def __init__(self, targets: Targets) -> None:
        self._targets = targets
        self._at: dict[tuple[DoorId, str], int] = {}
        self._of: dict[DoorId, list[int]] = {}
        self._seen_now: set[int] = set()
        self.defects: dict[int, Defect] = {}

    def has_unsettled(self, door: DoorId) -> bool:
        """Whether a check of that door could close anything."""
        return any(self.defects[id].state is not State.CLOSED for id in self._of.get(door, ()))

    def take(self, events: Iterable[Event]) -> None:
        """Fold some events in."""
        for event in events:
            match event:
                case Sighting():
                    self._sighted(event)
                case Looked():
                    self._looked(event)
                case Deed() if event.defect in self.defects:
                    self.defects[event.defect] = _done(self.defects[event.defect], event)

    def _sighted(self, event: Sighting) -> None:
        key, finding = (event.door, event.finding.rule), event.finding
        severity = finding.severity or Severity.WATCH
        known = self.defects.get(self._at.get(key, 0))
        if known is None:
            due = self._due(severity, event.day)
            known = Defect(event.seq, event.door, finding, severity, event.day, event.day, due, found_by=event.person)
            self._at[key] = known.id
            self._of.setdefault(event.door, []).append(known.id)
        else:
            known = self._again(known, event, severity)
        if finding.made_good:
            known = replace(known, state=State.CLOSED, ended=event.day, ended_by=f"{event.person}, on the spot")
        if event.signed:
            self._seen_now.add(known.id)
        self.defects[known.id] = known

    def _again(self, known: Defect, event: Sighting, severity: Severity) -> Defect:
        """Seen once more: it stays what it was, or it opens again with a new date; never milder by itself."""
        finding, due = event.finding, known.due
        seen = replace(known, finding=finding, last=event.day, times=known.times + 1)
        if known.state is State.OPEN:
            graver = severity.rank > known.severity.rank
            if graver:
                sooner = self._due(severity, event.day)
                due = min(filter(None, (due, sooner)), default=None)
            return replace(seen, severity=severity if graver else known.severity, due=due)
        due = self._due(severity, event.day)
        return replace(
            seen, state=State.OPEN, severity=severity, due=due, given=False, ended=None, ended_by="",
            reopened=known.reopened + 1,
        )  # fmt: skip

    def _looked(self, event: Looked) -> None:
        """A check that looked at the whole part and did not find it closes it; one that could not look does not."""
        for id in self._of.get(event.door, ()):
            known, part = self.defects[id], _part(self.defects[id].finding)
            if id in self._seen_now:
                self.defects[id] = replace(known, parts=max(1, event.seen.get(part, 0)))
            elif (
                known.state is not State.CLOSED and event.seen.get(part, 0) >= known.parts and part not in event.unseen
            ):
                ended = known.ended if known.state is State.MADE_GOOD else event.day
                by = known.ended_by if known.state is State.MADE_GOOD else f"{event.person}, seen sound"
                self.defects[id] = replace(known, state=State.CLOSED, ended=ended, ended_by=by)
        self._seen_now.clear()

    def _due(self, severity: Severity, day: date) -> date | None:
        days = self._targets.days(severity)
        return None if days is None else day + timedelta(days=days)


def _part(finding: Finding) -> str:
    """The part that a finding is about: "leaf" of leaf.here and leaf.beyond, which change places with the caretaker."""
    return finding.question.partition(".")[0]


def _done(known: Defect, deed: Deed) -> Defect:
    known = replace(known, deeds=(*known.deeds, deed))
    match deed.kind:
        case DeedKind.ASSIGNED:
            return replace(known, given_to=deed.to, due=deed.by or known.due, given=True)
        case DeedKind.MADE_GOOD if known.state is State.OPEN:
            return replace(known, state=State.MADE_GOOD, ended=deed.day, ended_by=deed.person)
        case DeedKind.MEASURE:
            return replace(known, measures=(*known.measures, deed.text))
    return known


def by_urgency(defects: Iterable[Defect]) -> list[Defect]:
    """The gravest first, then by date, then by age."""
    return sorted(defects, key=lambda each: (-each.severity.rank, each.due or date.max, each.first, each.id))
