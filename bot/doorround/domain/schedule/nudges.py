"""Who to remind of what on a day: a first nudge, a second, then the supervisor. Pure; days are
local.

Each thing is sent once per step; progress is derived from what was sent, so that downtime shifts
everything and duplicates nothing.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from doorround.domain.defects import Defect, State, by_urgency
from doorround.domain.people import Person
from doorround.domain.schedule.due import DoorId, Due, DueState
from doorround.domain.schedule.plan import Plan
from doorround.domain.schedule.rota import Rota


class NudgeStep(StrEnum):
    """Escalation steps: the person, the person again, the supervisor."""

    FIRST = "first"
    SECOND = "second"
    SUPERVISOR = "supervisor"


Subject = tuple[str, ...]
"""Subject of a nudge, as plain text: a door with its due date and attempts, or a defect with its
date and recurrences.
"""
SaidNudges = Mapping[tuple[Subject, NudgeStep], date]
"""Date on which each subject was sent."""


@dataclass(frozen=True)
class NudgePoint:
    """One subject to send to one person."""

    subject: Subject
    step: NudgeStep
    due: Due | None = None
    defect: Defect | None = None


@dataclass(frozen=True)
class Nudge:
    """One message to one person. key: idempotency key. points: in message order. text: "" until
    rendered.
    """

    key: str
    to: str
    points: tuple[NudgePoint, ...]
    text: str = ""


def door_subject(due: Due) -> Subject:
    """Subject for a due door; a new due date or another failed attempt makes it a new subject."""
    return ("door", *due.door.id, due.on.isoformat(), str(due.door.tries))


def defect_subject(defect: Defect) -> Subject:
    """Subject for a defect; a new date, a new assignee or a new sighting makes it a new subject."""
    on = defect.due.isoformat() if defect.due else ""
    return (
        "defect",
        str(defect.id),
        on,
        str(defect.reopened),
        defect.given_to if defect.given and defect.given_to else "",
    )


def plan_nudges(
    due: Iterable[Due],
    defects: Iterable[Defect],
    said: SaidNudges,
    rota: Rota,
    plan: Plan,
    today: date,
    out: Collection[DoorId] = (),
) -> list[Nudge]:
    """The messages of a day, at most one per person. Empty on no day by itself: whether this is a
    working day and a time for messages is up to the caller. out: doors out of action.
    """
    by_person: dict[str, list[NudgePoint]] = {}
    for each in due:
        if each.when is not DueState.THIS_WEEK:
            _add_door(by_person, each, said, rota, plan, today)
    for defect in by_urgency(defects):
        add = _add_look if defect.state is State.MADE_GOOD else _add_defect
        add(by_person, defect, said, rota, plan, today)
    return [
        Nudge(f"nudge/{name}/{today.isoformat()}", name, tuple(points))
        for name, points in sorted(by_person.items())
    ]


def _add_door(
    by_person: dict[str, list[NudgePoint]],
    due: Due,
    said: SaidNudges,
    rota: Rota,
    plan: Plan,
    today: date,
) -> None:
    tried = due.door.tried
    if tried is not None and today < tried + timedelta(days=plan.retry_after):
        return
    subject = door_subject(due)
    minder = rota.minder(due.door, today)
    step = _next_step(subject, said, plan, today)
    if step is NudgeStep.SUPERVISOR:
        _tell(by_person, rota.supervisors(due.door.site, today), NudgePoint(subject, step, due=due))
    elif step is not None and minder is not None and not _asleep(minder, due, rota, plan, today):
        _tell(by_person, [minder], NudgePoint(subject, step, due=due))


def _asleep(person: Person, due: Due, rota: Rota, plan: Plan, today: date) -> bool:
    """Whether somebody has snoozed messages today; never for a door more than so many days late."""
    latest = due.on + timedelta(days=plan.snooze_days)
    return rota.asleep(person.name, today) and today < latest


def _add_look(
    by_person: dict[str, list[NudgePoint]],
    defect: Defect,
    said: SaidNudges,
    rota: Rota,
    plan: Plan,
    today: date,
) -> None:
    """A repair to be looked at: sent to the others who check doors there, again on its date, and to
    the supervisor if late.
    """
    subject = ("look", str(defect.id), str(defect.look_by), str(defect.reopened))
    site = defect.door[0]
    supervisors = rota.supervisors(site, today)
    looker = rota.looker(site, defect.ended_by, today)
    if defect.look_by is None:
        return
    if (subject, NudgeStep.FIRST) not in said:
        _tell(
            by_person,
            [looker] if looker else supervisors,
            NudgePoint(subject, NudgeStep.FIRST, defect=defect),
        )
    elif today < defect.look_by:
        return
    elif (
        looker
        and (subject, NudgeStep.SECOND) not in said
        and said[subject, NudgeStep.FIRST] < today
    ):
        _tell(by_person, [looker], NudgePoint(subject, NudgeStep.SECOND, defect=defect))
    elif (
        defect.look_late(today) >= plan.escalate_after
        and (subject, NudgeStep.SUPERVISOR) not in said
    ):
        _tell(by_person, supervisors, NudgePoint(subject, NudgeStep.SUPERVISOR, defect=defect))


def _add_defect(
    by_person: dict[str, list[NudgePoint]],
    defect: Defect,
    said: SaidNudges,
    rota: Rota,
    plan: Plan,
    today: date,
) -> None:
    """Sent to the assignee at once and again on its date; to the supervisor if unassigned
    or late.
    """
    subject = defect_subject(defect)
    site = defect.door[0]
    holder = rota.holder(defect.given_to, site, today) if defect.given else None
    supervisors = rota.supervisors(site, today)
    if (subject, NudgeStep.FIRST) not in said:
        _tell(
            by_person,
            [holder] if holder else supervisors,
            NudgePoint(subject, NudgeStep.FIRST, defect=defect),
        )
    elif defect.due is None or today < defect.due:
        return
    elif (
        holder
        and (subject, NudgeStep.SECOND) not in said
        and said[subject, NudgeStep.FIRST] < today
    ):
        _tell(by_person, [holder], NudgePoint(subject, NudgeStep.SECOND, defect=defect))
    elif defect.late(today) >= plan.escalate_after and (subject, NudgeStep.SUPERVISOR) not in said:
        _tell(by_person, supervisors, NudgePoint(subject, NudgeStep.SUPERVISOR, defect=defect))


def _next_step(subject: Subject, said: SaidNudges, plan: Plan, today: date) -> NudgeStep | None:
    """The next step, given when the previous one was taken; None if none is due today."""
    first = said.get((subject, NudgeStep.FIRST))
    second = said.get((subject, NudgeStep.SECOND))
    if first is None:
        return NudgeStep.FIRST
    if second is None:
        return NudgeStep.SECOND if today >= first + timedelta(days=plan.second_after) else None
    late = today >= second + timedelta(days=plan.supervisor_after)
    return NudgeStep.SUPERVISOR if late and (subject, NudgeStep.SUPERVISOR) not in said else None


def _tell(
    by_person: dict[str, list[NudgePoint]], people: Iterable[Person], point: NudgePoint
) -> None:
    for person in people:
        by_person.setdefault(person.name, []).append(point)
