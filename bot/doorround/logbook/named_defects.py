"""Faults in somebody's own words that a supervisor names or dismisses."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from doorround.domain.checklist import Checklist
from doorround.domain.defects import Deed, DeedKind, Defect, State
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.findings import Finding
from doorround.domain.judging.severity import Severity
from doorround.domain.unnamed_faults import is_own
from doorround.logbook.errors import LogbookError
from doorround.logbook.store import Logbook
from doorround.messages import word_judging


def in_own_words(defect: Defect) -> bool:
    """Whether it is still unnamed."""
    return is_own(defect.finding.rule.partition(".")[2])


def words_of_fault(defect: Defect) -> str:
    """The caretaker's words, without quotation marks."""
    return defect.finding.what.partition("“")[2].rpartition("”")[0]


def checklist_of(logbook: Logbook, defect: Defect) -> Checklist:
    """The checklist under which the defect was found. Raises LogbookError."""
    entry = next(iter(logbook.entries(after=defect.id - 1, limit=1)))
    return logbook.checklist(logbook.check(entry.check or "").checklist)


def name_defect(
    logbook: Logbook,
    defect: Defect,
    fault: str,
    severity: Severity,
    person: str,
    now: datetime,
) -> Finding:
    """Enter which fault it is, and its severity; if it was named before, this replaces its name.
    fault: its name among those of its part.

    Raises LogbookError for a defect that was never told in own words, KeyError for a fault that its
    part cannot have.
    """
    _refuse_others(defect)
    finding = defect.finding
    known = checklist_of(logbook, defect).fault(finding.component, fault)
    words = words_of_fault(defect)
    named = Finding(
        rule=f"{known.component}.{known.name}",
        question=finding.question,
        component=finding.component,
        what=f"{known.words} (“{words}”)",
        why=known.why,
        do_now=known.do_now,
        source=known.source,
        severity=severity,
        must_not_move=known.must_not_move,
    )
    body = {"text": words, "finding": named.model_dump(mode="json")}
    _enter(logbook, EntryKind.DEFECT_NAMED, defect, body, person, now)
    return named


def dismiss_defect(logbook: Logbook, defect: Defect, why: str, person: str, now: datetime) -> None:
    """Enter that it is not a fault, and why. Raises LogbookError for a defect that was never told
    in own words, or without a reason.
    """
    _refuse_others(defect)
    if not why.strip():
        raise LogbookError(word_judging.say_why_none(defect.id))
    _enter(logbook, EntryKind.DEFECT_DISMISSED, defect, {"text": why.strip()}, person, now)


def judged_by(defect: Defect) -> Deed | None:
    """The supervisor's judgement in force: its name or, while it is closed, that it is no fault."""
    kinds = [DeedKind.NAMED]
    if defect.state is State.CLOSED:
        kinds.append(DeedKind.DISMISSED)
    judged = [each for each in defect.deeds if each.kind in kinds]
    return judged[-1] if judged else None


def _refuse_others(defect: Defect) -> None:
    named = any(each.kind is DeedKind.NAMED for each in defect.deeds)
    if not (named or in_own_words(defect)):
        raise LogbookError(word_judging.NOT_NAMED_ANY_MORE)


def _enter(
    logbook: Logbook,
    kind: EntryKind,
    defect: Defect,
    body: Mapping[str, object],
    person: str,
    now: datetime,
) -> None:
    site, building, number = defect.door
    whole = {"defect": defect.id, "site": site, "building": building, **body}
    with logbook.writing():
        logbook._enter([Entry(kind=kind, at=now, person=person, door=number, body=whole)])
