"""Nudges at a moment: due according to the logbook → recipients → the outbox."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

from doorround.domain.defects import State
from doorround.domain.people import Role
from doorround.domain.schedule.due import due_list
from doorround.domain.schedule.nudges import Nudge, plan_nudges
from doorround.domain.schedule.plan import Plan, long_out
from doorround.logbook.alert_log import alerted_on
from doorround.logbook.defects import read_defects
from doorround.logbook.due import doors_due
from doorround.logbook.reminder_log import (
    NUDGE,
    chats_by_person,
    said_so_far,
    say,
    take_back,
    unsent,
    was_said,
)
from doorround.logbook.rota import rota_of
from doorround.logbook.settings_log import plan_on
from doorround.logbook.store import Logbook
from doorround.messages import buttons
from doorround.messages.reminders import nudge_text
from doorround.reminders.calendar import is_free

MAX_TAPS = 3


def nudges_of(
    logbook: Logbook,
    plan: Plan,
    day: date,
    now: datetime,
    reached: frozenset[str] | None = None,
    lost: Collection[str] = (),
) -> list[Nudge]:
    """Messages for a local day, given what was sent so far; empty on a day off. Writes nothing.

    lost: keys of messages that did not arrive.
    """
    if is_free(plan, day):
        return []
    plan = plan_on(logbook, plan, day)
    alerted = alerted_on(logbook, day)
    found = read_defects(logbook, plan.defects, day)
    due = [
        each
        for each in due_list(doors_due(logbook, plan.intervals, day, now), plan.intervals, day)
        if not long_out(found.since.get(each.door.id), plan, day)
    ]
    defects = [
        each
        for each in found.all.values()
        if each.state is State.MADE_GOOD
        or (each.state is State.OPEN and (each.door, each.finding.rule) not in alerted)
    ]
    planned = plan_nudges(
        due, defects, said_so_far(logbook, lost), rota_of(logbook, reached), plan, day, found.out
    )
    return [
        replace(nudge, text=nudge_text(nudge.points, day, found.out))
        for nudge in planned
        if not was_said(logbook, nudge.key)
    ]


def taps_of(nudge: Nudge, supervisors: frozenset[str]) -> tuple[str, ...]:
    """Buttons that open the defects mentioned, begin a look at a repair, and lead on to
    the doors.
    """
    in_points = [point.defect for point in nudge.points if point.defect][:MAX_TAPS]
    defects = [
        buttons.look_at(each.id) if each.state is State.MADE_GOOD else buttons.defect(each.id)
        for each in in_points
    ]
    onward = buttons.WHAT_IS_DUE if nudge.to in supervisors else buttons.NEXT_DOOR
    doors = [onward] if any(point.due for point in nudge.points) else []
    return (*defects, *doors, buttons.SNOOZE)


def send_nudges(logbook: Logbook, plan: Plan, now: datetime) -> list[Nudge]:
    """Write the nudges that may be sent now into the outbox; each is entered.

    Returns those written.
    """
    local = now.astimezone(ZoneInfo(logbook.zone))
    if local.time() < plan.nudge_at or plan.quiet(local.time()):
        return []
    chats = chats_by_person(logbook)
    supervisors = frozenset(each.name for each in logbook.people() if each.role == Role.SUPERVISOR)
    held = {} if is_free(plan, local.date()) else unsent(logbook, NUDGE, local.date())
    lost = [outbound.key for outbounds in held.values() for outbound in outbounds]
    with logbook.writing():
        planned = nudges_of(logbook, plan, local.date(), now, frozenset(chats), lost)
        written = []
        for nudge in planned:
            chat = chats[nudge.to]
            if say(logbook, nudge, chat, now, taps_of(nudge, supervisors), held.pop(chat, ())):
                written.append(nudge)
        # the rest no longer applies, or is sent to somebody else today
        for outbound in (outbound for outbounds in held.values() for outbound in outbounds):
            take_back(logbook, outbound, now)
    return written
