"""Query answers for a supervisor, an auditor or a caretaker: what is due, who is late, what is
wrong, or the state of a door or a defect.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from doorround.domain.defects import NOT_LOOKED_AT, Deed, Defect, State
from doorround.domain.findings import Verdict
from doorround.domain.schedule.due import Due
from doorround.domain.schedule.repair_looks import Look
from doorround.messages.phrasing import counted, quoted

NOT_YOURS = "Only supervisors and auditors can ask that."
NOTHING_DUE = "Nothing is due."
NOBODY_LATE = "Nobody is late."
WHICH_DOOR = "Which door? Send its number, such as 14, or scan its label."
NEVER_CHECKED = "Never fully checked."
PHOTO_GONE = "(The photo was deleted.)"
NO_DEFECT_OF_YOURS = "No open defect was found by you or given to you."
NONE_PAUSED = "No check of yours is open or paused."
NOTHING_OPEN = "Nothing is open."
NOT_ALL_SEEN = "– not all of it was seen"
MAX_NUMBER_QUOTED = 40


def own_defects(count: int) -> str:
    """Above a caretaker's own open defects."""
    return f"{counted(count, 'open defect')} that you found or were given:"


def open_check_line(door: str, count: int, later: int, paused: bool) -> str:
    """One unfinished check. count: questions answered; later: those to come."""
    state = "paused" if paused else "open now"
    return f"· Door {door}, {state}: {count} of {count + later} answered"


def days_off(until: date, deputy: str | None = None) -> str:
    has = deputy or "The supervisor"
    return f"Noted. {has} has your work until {spoken(until)}."


def snoozed(begins: date) -> str:
    return f"No reminders until {spoken(begins)}. What is due will come after that."


def nothing_due_today(later: int) -> str:
    """later: doors due by Sunday."""
    return f"Nothing is due today. {counted(later, 'more door')} by Sunday."


def due_head(due: int, late: int, later: int) -> str:
    """Above the due doors. late: how many of them are. later: more by Sunday."""
    doors = counted(due, "door")
    overdue = "all overdue" if late == due and due > 1 else f"{late} overdue"
    parts = [f"{doors} due", *([overdue] if late else [])]
    parts += [f"{later} more by Sunday"] if later else []
    return f"{', '.join(parts)}. In walking order:"


def due_line(due: Due, out: bool) -> str:
    """One due door. out: it is out of action."""
    where = f", {due.door.where}" if due.door.where else ""
    late = f", {counted(due.days_late, 'day')} late" if due.days_late else ""
    return f"· {due.door.number}{where}{late}" + (", OUT OF ACTION" if out else "")


def clock_in_doubt(why: str) -> str:
    return f"The clock is in doubt: {why}. Checks signed since are not counted here."


def look_due(look: Look) -> str:
    """A repair to be looked at, below the due doors: a short visit."""
    late = f", {counted(look.days_late, 'day')} late" if look.days_late else ""
    what = "; ".join(each.what for each in look.defects)
    return f"Look at a repair by {spoken(look.on)}{late}: door {look.door[2]}, {what}"


def late_line(name: str, doors: int, defects: int) -> str:
    """One person with overdue doors or defects."""
    late = (
        f"{counted(doors, 'door')} overdue" if doors else "",
        f"{counted(defects, 'defect')} late" if defects else "",
    )
    return f"{name}: {', '.join(filter(None, late))}"


def no_such_door(number: str) -> str:
    return f"There is no door {number} at your sites."


def no_door_to_read(words: str) -> str:
    return (
        f"There is no door “{words[:MAX_NUMBER_QUOTED]}” that you can look up. Send a number, such"
        " as 14."
    )


def may_not_check(door: str) -> str:
    return f"You may not check door {door}. Ask your supervisor."


def out_of_action(why: str) -> str:
    """Above the report of one door."""
    return f"OUT OF ACTION: {why}"


def door_out(number: str, why: str) -> str:
    """One of several doors."""
    return f"Door {number} is out of action: {why}"


def no_door_on(floor: str) -> str:
    return f"The register has no door on {floor}."


def no_defect_open(floor: str) -> str:
    """floor: requested one; "" for all."""
    return f"No defect is open{_on(floor)}."


def defects_open(count: int, floor: str) -> str:
    """Above the defects. floor: as above."""
    return f"{counted(count, 'defect')} open{_on(floor)}:"


def _on(floor: str) -> str:
    return f" on {floor}" if floor else ""


def defect_line(defect: Defect, today: date) -> str:
    """One defect: fault, severity, target date, assignee."""
    late = f", {counted(defect.late(today), 'day')} late" if defect.late(today) else ""
    by = f"by {spoken(defect.due)}{late}" if defect.due else "at the next check"
    state = NOT_LOOKED_AT if defect.state is State.MADE_GOOD else str(defect.state)
    ended = f"{state}, {spoken(defect.ended)} by {defect.ended_by}" if defect.ended else by
    about = f"Defect {defect.id}, door {defect.door[2]}, {defect.what}."
    severity = str(defect.severity).capitalize()
    return f"{about} {severity}, {ended}; {defect.given_to or 'nobody'} has it."


def defect_history(defect: Defect) -> list[str]:
    """When a defect was seen, why it matters, and what was done about it."""
    finding = defect.finding
    return [
        f"First seen {spoken(defect.first)} by {defect.found_by}",
        *([f"Seen {defect.times}×, last {spoken(defect.last)}"] if defect.times > 1 else []),
        *([f"Reopened {defect.reopened}×"] if defect.reopened else []),
        f"{finding.why} {finding.do_now} ({finding.source})",
        *map(deed_line, defect.deeds),
    ]


def deed_line(deed: Deed) -> str:
    """One action on a defect."""
    to = f" to {deed.to}" if deed.to else ""
    by = f", by {spoken(deed.by)}" if deed.by else ""
    text = f", {deed.text}" if deed.text else ""
    return f"{spoken(deed.day)} {deed.person}: {deed.kind}{to}{by}{text}"


def spoken(day: date) -> str:
    """ "3 March 2026"."""
    return f"{day.day} {day:%B %Y}"


# ---- the report of one door


def check_line(closed: str, person: str, verdict: str, answers: int) -> str:
    """One signed check. closed: when."""
    return f"{closed}, {person}: {verdict}, {counted(answers, 'answer')}."


def look_line(closed: str, person: str, repairs: int, sound: int) -> str:
    """A short visit for repairs since the last check. sound: how many it found put right."""
    return f"{closed}, {person} looked at {counted(repairs, 'repair')}: {sound} put right."


def check_verdict(verdict: Verdict | None) -> str:
    """Result of a signed check."""
    return "not all seen" if verdict is Verdict.UNKNOWN else str(verdict)


def note_line(person: str, day: str, text: str) -> str:
    """A note from a check."""
    return f"Note by {person}, {day}: {quoted(text)}"


def photo_line(person: str, day: str, repair: bool) -> str:
    """Caption of a photo. repair: it shows what was made good."""
    return f"{'Repair, ' if repair else ''}{person}, {day}"


def answers_head(door: str, closed: str, person: str) -> str:
    """Above every answer of a door's last check."""
    return f"Door {door}, {closed}, {person}:"


def answer_line(part: str, words: str) -> str:
    """One answer of a check."""
    return f"{part}: {words}"


def earlier(line: str) -> str:
    """A check before the last one, formatted by check_line()."""
    return f"Before: {line}"


def open_check(person: str, since: str) -> str:
    return f"Open check by {person}, since {since}."


def not_checked(parts: Sequence[str], more: int) -> str:
    """Parts that the last check did not see. more: not listed."""
    others = f" and {more} more" if more else ""
    return f"– not checked: {'; '.join(parts)}{others}"


def out_because(why: str) -> str:
    """A door put out of action for something other than a listed defect."""
    return f"Out of action: {why}."


def open_defect(defect: Defect) -> str:
    """One defect in the report of a door."""
    mark = "ACT NOW, " if defect.danger else "out of action, " if defect.out_of_action else ""
    mended = f", {NOT_LOOKED_AT}" if defect.state is State.MADE_GOOD else ""
    return f"– {mark}{defect.what}, since {defect.first:%d %b %Y}{mended}"
