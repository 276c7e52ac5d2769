"""Reminders: what has to be checked or made good, for the person responsible."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import date

from doorround.domain.defects import Defect, State
from doorround.domain.judging.severity import Severity
from doorround.domain.schedule.due import DoorId, Due
from doorround.domain.schedule.nudges import NudgePoint, NudgeStep
from doorround.messages.phrasing import counted

MAX_SHOWN = 6
"""Doors listed with their location; the rest by number only."""
_HEADS = {
    NudgeStep.FIRST: "To be checked",
    NudgeStep.SECOND: "Still to be checked",
    NudgeStep.SUPERVISOR: "Not checked after two reminders",
}


def nudge_text(points: Iterable[NudgePoint], today: date, out: Collection[DoorId] = ()) -> str:
    """The message: most severe first, then repeats, then new items."""
    points = list(points)
    lines = [_defect_line(point.defect, today) for point in points if point.defect]
    for step in (NudgeStep.SUPERVISOR, NudgeStep.SECOND, NudgeStep.FIRST):
        doors = [point.due for point in points if point.due and point.step is step]
        if doors:
            lines.append(f"{_HEADS[step]}: {counted(len(doors), 'door')}.")
            lines += [_door_line(each, each.door.id in out) for each in doors[:MAX_SHOWN]]
            rest = [each.door.number for each in doors[MAX_SHOWN:]]
            lines += [f"And {', '.join(rest)}."] if rest else []
    return "\n".join(lines)


def _door_line(due: Due, out: bool) -> str:
    late = f", {counted(due.days_late, 'day')} late" if due.days_late else ""
    ended = ", OUT OF ACTION" if out else ""
    tried = f", no access {due.door.tries}×" if due.door.tries else ""
    return (
        f"· {due.door.number}"
        + (f", {due.door.where}" if due.door.where else "")
        + late
        + tried
        + ended
    )


def _look_line(defect: Defect, today: date) -> str:
    late = defect.look_late(today)
    by = f"by {defect.look_by.day} {defect.look_by:%B}" if defect.look_by else "at the next check"
    when = f"{counted(late, 'day')} late" if late else by
    about = f"door {defect.door[2]}, {defect.what}, {when}"
    return f"Repaired by {defect.ended_by}, to be looked at: {about}."


def _defect_line(defect: Defect, today: date) -> str:
    if defect.state is State.MADE_GOOD:
        return _look_line(defect, today)
    sign = "⚠️ Act now, door" if defect.severity is Severity.ACT_NOW else "Defect, door"
    late = defect.late(today)
    when = (
        f"{counted(late, 'day')} late"
        if late
        else f"by {defect.due.day} {defect.due:%B}"
        if defect.due
        else "at the next check"
    )
    who = "" if defect.given_to else ", nobody has it"
    return f"{sign} {defect.door[2]}, {defect.what}, {when}{who}."
