"""Current state of all defects, folded from sightings, looks and deeds. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

from doorround.domain.defects import (
    ChangeKind,
    CheckedParts,
    Deed,
    DeedKind,
    Defect,
    DefectChange,
    Event,
    Sighting,
    State,
    Withdrawal,
)
from doorround.domain.findings import Finding
from doorround.domain.judging.severity import Severity, Targets
from doorround.domain.schedule.due import DoorId
from doorround.domain.unnamed_faults import is_own

NOT_ASKED_ABOUT = frozenset(["clear.locked"])
"""Faults outside the scope of their part's question, so a sound answer to it ("all clear") does not
close them: somebody has to report a repair and have it looked at.
"""


class DefectLedger:
    """Folds events in entry order; holds every defect ever found. gone: withdrawn findings under
    their original numbers, since an alert may have quoted them.
    """

    def __init__(self, targets: Targets) -> None:
        self._targets = targets
        self._at: dict[tuple[DoorId, str], int] = {}
        self._of: dict[DoorId, list[int]] = {}
        self._said: set[tuple[str, str, str]] = set()
        self._taken_back: dict[int, tuple[str, Withdrawal]] = {}
        self._by_look: set[int] = set()
        self.defects: dict[int, Defect] = {}
        self.gone: dict[int, Defect] = {}

    def has_unsettled(self, door: DoorId) -> bool:
        """Whether a check of that door could close or reopen any defect."""
        ids = self._of.get(door, ())
        return any(self.defects[id].state is not State.CLOSED or id in self._by_look for id in ids)

    def take(self, events: Iterable[Event]) -> None:
        """Fold in some events."""
        for event in events:
            match event:
                case Sighting(gone=None):
                    self._sighted(event)
                case Sighting():
                    self._was_taken_back(event)
                case CheckedParts():
                    self._looked(event)
                case Deed() if event.defect in self.defects:
                    self.defects[event.defect] = _done(
                        self.defects[event.defect], event, self._targets
                    )
                    if event.finding is not None:
                        self._named(self.defects[event.defect], event.finding, event.day)
                case Deed() if event.defect in self.gone:
                    self.gone[event.defect] = _done(self.gone[event.defect], event, self._targets)

    def _new(self, event: Sighting) -> Defect:
        severity = event.finding.severity or Severity.WATCH
        changes = (DefectChange(ChangeKind.NEW, event.seq, event.day),)
        self._at[event.door, event.finding.rule] = event.seq
        return Defect(
            event.seq,
            event.door,
            event.finding,
            severity,
            event.day,
            event.day,
            self._due(severity, event.day),
            found_by=event.person,
            seen_by=event.person,
            seen_at=event.at,
            by_rule=self._due(severity, event.day),
            changes=changes,
        )

    def _named(self, known: Defect, finding: Finding, day: date) -> None:
        """A fault in own words has been named: seen again under that name, it is the same
        defect.
        """
        before = known.door, known.finding.rule
        if not is_own(before[1].partition(".")[2]) and self._at.get(before) == known.id:
            del self._at[before]  # it was named wrongly
        severity = finding.severity or known.severity
        due = known.due if known.given else self._due(severity, day)
        self._at.setdefault((known.door, finding.rule), known.id)
        by_rule = self._due(severity, day)
        named = replace(known, finding=finding, severity=severity, due=due, by_rule=by_rule)
        self.defects[known.id] = named

    def _was_taken_back(self, event: Sighting) -> None:
        """Keeps its number for what the same check finds instead, or for others found meanwhile."""
        assert event.gone is not None
        id = self._at.get((event.door, event.finding.rule), 0)
        if id in self.defects or (id in self.gone and self._goes_on(id, event)):
            if id in self.gone:
                self._taken_back[id] = event.check, event.gone
                self.gone[id] = _ended(
                    self.gone[id], event.gone, f"{event.gone.person}, taken back"
                )
            return
        new = self._new(event)
        self._taken_back[new.id] = event.check, event.gone
        self.gone[new.id] = _ended(new, event.gone, f"{event.gone.person}, taken back")

    def _goes_on(self, id: int, event: Sighting) -> bool:
        check, gone = self._taken_back[id]
        return event.check == check or event.seq < gone.seq

    def _sighted(self, event: Sighting) -> None:
        key = (event.door, event.finding.rule)
        said = (event.check, event.answer, event.finding.rule)
        id = self._at.get(key, 0)
        said_before = bool(event.answer) and said in self._said
        self._said.add(said)
        if id in self.gone and self._goes_on(id, event):
            known = self._stands_after_all(id, event)
        elif id not in self.defects:
            known = self._new(event)
        else:
            known = self._again(self.defects[id], event, said_before)
        if known.id not in self.defects:
            self._of.setdefault(event.door, []).append(known.id)
        if event.finding.made_good and known.state is not State.CLOSED:
            known = _ended(known, event, f"{event.person}, on the spot")
        self._by_look.discard(known.id)
        self.defects[known.id] = known

    def _stands_after_all(self, id: int, event: Sighting) -> Defect:
        """If the corrected answer reports the same fault, the defect keeps its number and
        orders.
        """
        before = self.gone.pop(id)
        gone = self._taken_back.pop(id)[1]
        new = self._new(event)
        at_once = gone.at == event.at
        self._at[event.door, event.finding.rule] = id
        return replace(
            new,
            id=id,
            first=before.first if at_once else new.first,
            given_to=before.given_to,
            given=before.given,
            due=before.due if before.given else new.due,
            measures=before.measures,
            deeds=before.deeds,
            changes=before.changes[:1] if at_once else new.changes,
            seen_at=before.seen_at if at_once else new.seen_at,
        )

    def _again(self, known: Defect, event: Sighting, said_before: bool) -> Defect:
        """Seen again: it stays as it was, or reopens with a new date; it never becomes less severe
        by itself. When a rule judges the same answer again, only the wording changes.
        """
        severity = event.finding.severity or Severity.WATCH
        finding = event.finding
        if is_own(finding.rule.partition(".")[2]) and known.finding.rule != finding.rule:
            finding = known.finding  # reported in those words again, it keeps the name it was given
        due = known.due
        graver = severity.rank > known.severity.rank
        seen = replace(known, finding=finding)
        if not said_before:
            seen = replace(
                seen, last=event.day, times=known.times + 1, seen_by=event.person, seen_at=event.at
            )
        if known.state is State.OPEN or said_before:
            if graver:
                sooner = self._due(severity, event.day)
                due = min(filter(None, (due, sooner)), default=None)
                seen = replace(seen, severity=severity, by_rule=sooner)
            return replace(seen, due=due)
        return _opened(replace(seen, severity=severity), event, self._due(severity, event.day))

    def _looked(self, event: CheckedParts) -> None:
        """A check that looked at the whole part and did not find the defect closes it; one that
        could not look does not. A check that found it reopens it, if signed after one that had not.
        """
        # a fault told in own words and named since is still found under its words
        found = {self._at.get((event.door, rule)) for rule in event.found}
        for id in self._of.get(event.door, ()):
            known = self.defects[id]
            part = _part(self.defects[id].finding)
            if known.finding.rule in event.found or id in found:
                known = replace(known, parts=max(1, event.seen.get(part, 0)))
                if id in self._by_look and not known.finding.made_good:
                    known = _opened(known, event, self._due(known.severity, event.day))
                self._by_look.discard(id)
                self.defects[id] = known
            elif (
                known.state is not State.CLOSED
                and known.finding.rule not in NOT_ASKED_ABOUT
                and event.seen.get(part, 0) >= known.parts
                and part not in event.unseen
            ):
                self._by_look.add(id)
                self.defects[id] = _ended(known, event, f"{event.person}, seen sound")

    def _due(self, severity: Severity, day: date) -> date | None:
        days = self._targets.days(severity)
        return None if days is None else day + timedelta(days=days)


def _part(finding: Finding) -> str:
    """The part that a finding is about: "leaf" for leaf.here and leaf.beyond, which swap with the
    caretaker's side.
    """
    return finding.question.partition(".")[0]


def _ended(known: Defect, event: Sighting | CheckedParts | Deed | Withdrawal, by: str) -> Defect:
    """Closed; if reported as made good, the end date and the person are taken from that report."""
    if known.state is not State.OPEN:
        return replace(known, state=State.CLOSED)
    change = DefectChange(ChangeKind.ENDED, event.seq, event.day)
    return replace(
        known, state=State.CLOSED, ended=event.day, ended_by=by, changes=(*known.changes, change)
    )


def _opened(
    known: Defect, event: Sighting | CheckedParts | Deed, due: date | None, given: bool = False
) -> Defect:
    change = DefectChange(ChangeKind.AGAIN, event.seq, event.day)
    return replace(
        known,
        state=State.OPEN,
        due=due,
        by_rule=known.by_rule if isinstance(event, Deed) else due,
        look_by=None,
        given=given,
        ended=None,
        ended_by="",
        reopened=known.reopened + 1,
        changes=(*known.changes, change),
    )


def _done(known: Defect, deed: Deed, targets: Targets) -> Defect:
    known = replace(known, deeds=(*known.deeds, deed))
    match deed.kind:
        case DeedKind.ASSIGNED:
            return replace(known, given_to=deed.to, due=deed.by or known.due, given=True)
        case DeedKind.MADE_GOOD if known.state is State.OPEN:
            days = targets.look_days(known.severity)
            look_by = None if days is None else deed.day + timedelta(days=days)
            made_good = _ended(known, deed, deed.person)
            return replace(made_good, state=State.MADE_GOOD, look_by=look_by)
        case DeedKind.LOOKED_AT if known.state is State.MADE_GOOD:
            return _ended(known, deed, deed.person)
        case DeedKind.REOPENED if known.state is not State.OPEN:
            return _opened(known, deed, known.due, known.given)
        case DeedKind.DISMISSED:
            return _ended(known, deed, f"{deed.person}, no fault")
        case DeedKind.MEASURE:
            return replace(known, measures=(*known.measures, deed.text))
    return known
