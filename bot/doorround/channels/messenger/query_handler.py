"""Answers to what is asked in a chat: what is due, who is late, a door, a defect, what is wrong on
a floor.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from doorround.channels.messenger.defect_commands import DefectCommands
from doorround.channels.messenger.door_report import door_report, doors_called
from doorround.channels.messenger.results import Reply, tell
from doorround.domain.check import Prompt
from doorround.domain.defects import NOT_LOOKED_AT, Deed, Defect, State, by_urgency
from doorround.domain.people import Person, Right, Role
from doorround.domain.query import DOES, READS, Query, QueryKind, on_floor
from doorround.domain.schedule.due import Due, When, due_list
from doorround.domain.schedule.plan import Plan
from doorround.logbook.clock import doubt_now
from doorround.logbook.defects import Defects, read_defects
from doorround.logbook.due import doors_due
from doorround.logbook.errors import UnknownPersonError
from doorround.logbook.people import People
from doorround.logbook.reminder_log import rota_of, snooze, take_days_off
from doorround.logbook.store import Logbook
from doorround.messages.phrasing import counted
from doorround.reports.summary import Every, report

NOT_YOURS = "Only supervisors and auditors may ask that."
MAX_LINES = 12
MAX_TAPS = 6
MAX_NAMED = 4


@dataclass(frozen=True)
class QueryHandler:
    """Reads the logbook for one site's people; snoozes and days off are one's own."""

    logbook: Logbook
    plan: Plan

    def answer(self, person: Person, asked: Query, now: datetime) -> Reply | None:
        """What to tell; None where this person may not ask that.

        Raises LogbookError in words for who asks.
        """
        today = now.astimezone(ZoneInfo(self.logbook.zone)).date()
        if asked.what in READS:
            if person.may(Right.READ) or self._is_own(person, asked):
                return self._read(person, asked, today, now)
            return tell(NOT_YOURS) if person.may(Right.CHECK) else None
        if not person.may(Right.CHECK):
            return None
        if asked.what in DOES:
            return DefectCommands(self.logbook, self._defects_for(person)).settle(
                person, asked, now
            )
        if asked.what is QueryKind.OFF and asked.until is not None:
            take_days_off(self.logbook, person.name, today, asked.until, person.name, now)
            return tell(f"Noted. Others are reminded of your doors until {_spoken(asked.until)}.")
        begins = snooze(self.logbook, person.name, int(asked.number or 1), now)
        return tell(f"No reminders until {_spoken(begins)}. What is due then is said then.")

    def say(self, name: str, asked: Query, now: datetime) -> tuple[Prompt, ...]:
        """The same for who asks by voice; somebody who was never made known has the logbook before
        them, and may read.

        Raises StorageError.
        """
        try:
            person = People(self.logbook).person(name)
        except UnknownPersonError:
            person = Person(name, Role.AUDITOR, now)
        told = self.answer(person, asked, now)
        return told.say if told else (Prompt(text=NOT_YOURS),)

    def _read(self, person: Person, asked: Query, today: date, now: datetime) -> Reply:
        match asked.what:
            case QueryKind.DUE:
                return self._due(person, self._due_for(person, today, now))
            case QueryKind.LATE:
                return self._late(person, today, now)
            case QueryKind.DOOR:
                return self._door(person, asked.number, today)
            case QueryKind.DEFECT:
                return self._defect(person, int(asked.number), today)
            case QueryKind.PERSON:
                settling = DefectCommands(self.logbook, self._defects_for(person))
                meant = settling.named(asked.name)
                if meant is None:
                    return tell(f"Nobody called “{asked.name[:60]}” is known here.")
                late = [
                    each.door.number
                    for each, name in self._overdue(person, today, now)
                    if name == meant.name
                ]
                return settling.person(meant, late, today)
            case QueryKind.SUMMARY:
                made = report(
                    self.logbook, self.plan, Every(asked.every or Every.DAY), today, person
                ).summary
                return tell(made.text, taps=made.taps)
        return self._wrong(person, asked, today)

    def _defect_taps(
        self, person: Person, defect: Defect
    ) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The buttons of a defect, and what they order."""
        show = (f"show door {defect.door[2]}",) if person.may(Right.READ) else ()
        settling = DefectCommands(self.logbook, self._defects_for(person))
        return (*show, *settling.taps(person, defect)), (*show, *settling.does(person, defect))

    def _is_own(self, person: Person, asked: Query) -> bool:
        """Whether whoever checks doors asks of their own work: what is due, or a defect given to
        them or found by them.
        """
        if not person.may(Right.CHECK):
            return False
        if asked.what is QueryKind.DEFECT:
            defect = self._defects_for(person).called(int(asked.number))
            return defect is not None and person.name in (defect.given_to, defect.found_by)
        return asked.what is QueryKind.DUE

    def _due_for(self, person: Person, today: date, now: datetime) -> list[Due]:
        doors = [
            each
            for each in doors_due(self.logbook, self.plan.intervals, today, now)
            if person.knows(each.site)
        ]
        return due_list(doors, self.plan.intervals, today)

    def _defects_for(self, person: Person) -> Defects:
        found = read_defects(self.logbook, self.plan.defects)
        mine, gone = (
            {id: each for id, each in some.items() if person.knows(each.door[0])}
            for some in (found.all, found.gone)
        )
        return Defects(
            mine, {door: why for door, why in found.out.items() if person.knows(door[0])}, gone
        )

    def _due(self, person: Person, due: list[Due]) -> Reply:
        now = [each for each in due if each.when is not When.THIS_WEEK]
        later = len(due) - len(now)
        out = self._defects_for(person).out
        waiting = [*self._to_be_looked_at(person), *self._of_clock()]
        if not now:
            line = (
                f"Nothing is due today. {counted(later, 'door')} more by Sunday."
                if later
                else "Nothing is due."
            )
            return tell("\n".join((line, *waiting)))
        late = sum(each.when is When.OVERDUE for each in now)
        lines = [
            f"{counted(len(now), 'door')} due, {late} overdue, {later} more by Sunday. In the order"
            " of the walk:"
        ]
        lines += [_due_line(each, each.door.id in out) for each in now[:MAX_LINES]]
        rest = [each.door.number for each in now[MAX_LINES:]]
        lines += [f"And {', '.join(rest)}."] if rest else []
        lines += waiting
        # who may not read of a door may begin its check
        show = "show door" if person.may(Right.READ) else "door"
        return tell("\n".join(lines), taps=tuple(f"{show} {each.door.number}" for each in now[:3]))

    def _of_clock(self) -> list[str]:
        doubt = doubt_now(self.logbook)
        return (
            [f"The clock is in doubt: {doubt.why}. Checks signed by it are not counted here."]
            if doubt
            else []
        )

    def _to_be_looked_at(self, person: Person) -> list[str]:
        doors = self._defects_for(person).to_be_looked_at
        return (
            [f"Repaired, not looked at yet: door {', '.join(doors[:MAX_LINES])}."] if doors else []
        )

    def _overdue(self, person: Person, today: date, now: datetime) -> list[tuple[Due, str]]:
        """Each overdue door, with who minds it."""
        crew = rota_of(self.logbook)
        late = [each for each in self._due_for(person, today, now) if each.when is When.OVERDUE]
        return [
            (each, minder.name if (minder := crew.minder(each.door, today)) else "nobody")
            for each in late
        ]

    def _late(self, person: Person, today: date, now: datetime) -> Reply:
        doors = Counter(name for _, name in self._overdue(person, today, now))
        defects = Counter(
            each.given_to or "nobody" for each in self._defects_for(person).open if each.late(today)
        )
        names = sorted({*doors, *defects}, key=lambda name: (-doors[name] - defects[name], name))
        known = {each.name for each in self.logbook.people()}
        lines = [
            f"{name}: "
            + ", ".join(
                filter(
                    None,
                    (
                        f"{counted(doors[name], 'door')} overdue" if doors[name] else "",
                        f"{counted(defects[name], 'defect')} late" if defects[name] else "",
                    ),
                )
            )
            for name in names
        ]
        shown = [name for name in names if name in known][:MAX_NAMED]
        number = People(self.logbook).number
        more = ("what is due", "what is wrong")
        taps = (*(f"show person {name}" for name in shown), *more)
        does = (*(f"show person #{number(name)}" for name in shown), *more)
        return tell("\n".join(lines), taps=taps, does=does) if lines else tell("Nobody is late.")

    def _door(self, person: Person, number: str, today: date) -> Reply:
        doors = doors_called(self.logbook, person, number)
        if not doors:
            return tell(f"There is no door {number} on your sites.")
        found = self._defects_for(person)
        ids = [(door.site, door.building, door.number) for door in doors]
        lines = [f"OUT OF ACTION: {found.out[id]}" for id in ids if id in found.out]
        standing = [each for id in ids for each in found.at(id)]
        standing = by_urgency(standing)
        lines += [
            door_report(self.logbook, doors, defects=False),
            *(_defect_line(each, today) for each in standing),
        ]
        return tell(
            "\n".join(lines), taps=tuple(f"defect {each.id}" for each in standing[:MAX_TAPS])
        )

    def _wrong(self, person: Person, asked: Query, today: date) -> Reply:
        found = self._defects_for(person)
        floors = {
            (door.site, door.building, door.number): door.floor for door in self.logbook.doors()
        }
        here = [
            each for each in by_urgency(found.open) if on_floor(asked, floors.get(each.door, ""))
        ]
        out = [
            f"Door {id[2]} is out of action: {why}"
            for id, why in sorted(found.out.items())
            if on_floor(asked, floors.get(id, "")) and not any(each.door == id for each in here)
        ]
        if asked.floor and not any(on_floor(asked, floor) for floor in floors.values()):
            return tell(f"The register has no door on {asked.floor}.")
        where = f" on {asked.floor}" if asked.floor else ""
        if not here and not out:
            return tell(f"No defect is open{where}.")
        lines = [
            f"{counted(len(here), 'defect')} open{where}:",
            *(_defect_line(each, today) for each in here[:MAX_LINES]),
        ]
        lines += [f"And {len(here) - MAX_LINES} more."] if len(here) > MAX_LINES else []
        return tell(
            "\n".join((*lines, *out)), taps=tuple(f"defect {each.id}" for each in here[:MAX_TAPS])
        )

    def _defect(self, person: Person, id: int, today: date) -> Reply:
        found = self._defects_for(person)
        defect = found.all.get(id)
        if defect is None:
            return DefectCommands(self.logbook, found).unknown(id)
        lines = [
            f"{_defect_line(defect, today)}",
            f"First seen {_spoken(defect.first)} by {defect.found_by}",
            f"Seen {defect.times}×, last {_spoken(defect.last)}",
            *([f"Opened again {defect.reopened}×"] if defect.reopened else []),
            f"{defect.finding.why} {defect.finding.do_now} ({defect.finding.source})",
        ]
        taps, does = self._defect_taps(person, defect)
        return tell("\n".join((*lines, *map(_deed_line, defect.deeds))), taps=taps, does=does)


def _deed_line(deed: Deed) -> str:
    to = f" to {deed.to}" if deed.to else ""
    by = f", by {_spoken(deed.by)}" if deed.by else ""
    return f"{_spoken(deed.day)} {deed.person}: {deed.kind}{to}{by}" + (
        f", {deed.text}" if deed.text else ""
    )


def _due_line(due: Due, out: bool) -> str:
    late = f", {counted(due.days_late, 'day')} late" if due.days_late else ""
    ended = ", OUT OF ACTION" if out else ""
    return f"· {due.door.number}" + (f", {due.door.where}" if due.door.where else "") + late + ended


def _defect_line(defect: Defect, today: date) -> str:
    late = f", {counted(defect.late(today), 'day')} late" if defect.late(today) else ""
    by = f"by {_spoken(defect.due)}{late}" if defect.due else "at the next check"
    state = NOT_LOOKED_AT if defect.state is State.MADE_GOOD else str(defect.state)
    stands = (
        by if defect.ended is None else f"{state}, {_spoken(defect.ended)} by {defect.ended_by}"
    )
    about = (
        f"Defect {defect.id}, door {defect.door[2]}, {defect.what}."
        f" {str(defect.severity).capitalize()}, {stands}"
    )
    return f"{about}; {defect.given_to or 'nobody'} has it."


def _spoken(day: date) -> str:
    return f"{day.day} {day:%B %Y}"
