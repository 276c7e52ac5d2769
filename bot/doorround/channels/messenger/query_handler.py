"""Answers queries in a chat: what is due, who is late, a door, a defect, faults on a floor."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

from doorround.channels.messenger.defect_commands import DefectCommands
from doorround.channels.messenger.door_report import (
    door_answers,
    door_photos,
    door_report,
    doors_called,
    shown_prompts,
)
from doorround.channels.messenger.own_work import own_defects, paused_checks
from doorround.channels.messenger.results import Reply, tell
from doorround.channels.messenger.word_judging import KeepWords
from doorround.domain.check import Prompt
from doorround.domain.defects import Defect, by_urgency
from doorround.domain.door import Door
from doorround.domain.people import Person, Right, Role, same_name
from doorround.domain.query import BEGINS, DOES, READS, Query, QueryKind, on_floor
from doorround.domain.schedule.due import Due, DueState, due_list
from doorround.domain.schedule.plan import Plan
from doorround.domain.schedule.repair_looks import looks
from doorround.logbook.attachments import attachments_of_defect
from doorround.logbook.clock import doubt_now
from doorround.logbook.defects import Defects, read_defects
from doorround.logbook.due import doors_due
from doorround.logbook.errors import UnknownPersonError
from doorround.logbook.people import People
from doorround.logbook.reminder_log import snooze, take_days_off
from doorround.logbook.rota import rota_of
from doorround.logbook.store import Logbook
from doorround.messages import buttons, people, query_answers
from doorround.reports.summary import Frequency, report

MAX_TAPS = 6
MAX_LOOKS = 3
MAX_NAMED = 4


@dataclass(frozen=True)
class QueryHandler:
    """Reads the logbook for one site's people; snoozes and days off concern only oneself."""

    logbook: Logbook
    plan: Plan
    keep_words: KeepWords | None = None

    def answer(self, person: Person, asked: Query, now: datetime) -> Reply | None:
        """The reply; None if this person may not ask that.

        Raises LogbookError worded for the asker.
        """
        today = now.astimezone(ZoneInfo(self.logbook.zone)).date()
        if asked.what in READS:
            if person.may(Right.READ) or self._is_own(person, asked, today):
                return self._read(person, asked, today, now)
            return tell(query_answers.NOT_YOURS) if person.may(Right.CHECK) else None
        if not person.may(Right.CHECK) or asked.what in BEGINS:
            return None
        if asked.what in DOES:
            return self._settling(person, today).settle(person, asked, now)
        if asked.what is QueryKind.OFF and asked.until is not None:
            return self._off(person, asked, today, now)
        begins = snooze(
            self.logbook, person.name, int(asked.number or 1), now, self.plan.snooze_days
        )
        return tell(query_answers.snoozed(begins))

    def _off(self, person: Person, asked: Query, today: date, now: datetime) -> Reply:
        """Enter days off, and a stand-in, if named."""
        assert asked.until is not None
        deputy = next(
            (each.name for each in self.logbook.people() if same_name(each.name, asked.name)), None
        )
        if asked.name and deputy is None:
            return tell(people.nobody_called(asked.name))
        take_days_off(self.logbook, person.name, today, asked.until, person.name, now, deputy)
        return tell(query_answers.days_off(asked.until, deputy))

    def say(self, name: str, asked: Query, now: datetime) -> tuple[Prompt, ...]:
        """The same for voice queries; somebody never added as a person has the logbook at hand, and
        may read.

        Raises StorageError.
        """
        try:
            person = People(self.logbook).person(name)
        except UnknownPersonError:
            person = Person(name, Role.AUDITOR, now)
        reply = self.answer(person, asked, now)
        return reply.say if reply else (Prompt(text=query_answers.NOT_YOURS),)

    def _read(self, person: Person, asked: Query, today: date, now: datetime) -> Reply:
        match asked.what:
            case QueryKind.MINE | QueryKind.PAUSED:
                return self._own(person, asked, today)
            case QueryKind.DUE:
                return self._due(person, self._due_for(person, today, now), today)
            case QueryKind.LATE:
                return self._late(person, today, now)
            case QueryKind.DOOR:
                return self._door(person, asked.number, today)
            case QueryKind.ANSWERS:
                return self._door_answers(person, asked.number)
            case QueryKind.DEFECT:
                return self._defect(person, int(asked.number), today)
            case QueryKind.PERSON:
                settling = self._settling(person, today)
                meant = settling.named(asked.name)
                if meant is None:
                    return tell(people.nobody_called(asked.name))
                late = [
                    each.door.number
                    for each, name in self._overdue(person, today, now)
                    if name == meant.name
                ]
                return settling.person(meant, late, today)
            case QueryKind.SUMMARY:
                made = report(
                    self.logbook,
                    self.plan,
                    Frequency(asked.every or Frequency.DAY),
                    today,
                    person,
                ).summary
                return tell(made.whole_text, taps=made.taps)
        return self._wrong(person, asked, today)

    def _own(self, person: Person, asked: Query, today: date) -> Reply:
        if asked.what is QueryKind.PAUSED:
            return paused_checks(self.logbook, person.name)
        rota = rota_of(self.logbook)
        return own_defects(self._defects_for(person), rota, person.name, today)

    def _door_answers(self, person: Person, number: str) -> Reply:
        called = doors_called(self.logbook, person, number)
        if not called:
            return tell(query_answers.no_such_door(number))
        return tell(door_answers(self.logbook, called))

    def _defect_taps(
        self, person: Person, defect: Defect, today: date
    ) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The buttons of a defect, and their commands."""
        show = (buttons.show_door(defect.door[2]),) if person.may(Right.READ) else ()
        settling = self._settling(person, today)
        return (*show, *settling.taps(person, defect)), (*show, *settling.does(person, defect))

    def _settling(self, person: Person, today: date) -> DefectCommands:
        return DefectCommands(self.logbook, self._defects_for(person), self.keep_words, today)

    def _is_own(self, person: Person, asked: Query, today: date) -> bool:
        """Whether a checker asks about their own work: what is due, or a defect that they found,
        have, or stand in for.
        """
        if not person.may(Right.CHECK):
            return False
        if asked.what is QueryKind.DEFECT:
            defect = self._defects_for(person).called(int(asked.number))
            rota = rota_of(self.logbook)
            return defect is not None and (
                person.name == defect.found_by
                or rota.sees_to(person.name, defect.given_to, defect.door[0], today)
            )
        return asked.what in (QueryKind.DUE, QueryKind.MINE, QueryKind.PAUSED)

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

    def _due(self, person: Person, due: list[Due], today: date) -> Reply:
        now = [each for each in due if each.when is not DueState.THIS_WEEK]
        later = len(due) - len(now)
        found = self._defects_for(person)
        out = found.out
        short = looks(found.all.values(), today)
        waiting = [query_answers.look_due(each) for each in short]
        waiting += self._of_clock()
        look_taps = tuple(buttons.look_at(each.defects[0].id) for each in short[:MAX_LOOKS])
        if not now:
            later_line = query_answers.nothing_due_today(later)
            line = later_line if later else query_answers.NOTHING_DUE
            return tell("\n".join((line, *waiting)), taps=look_taps)
        late = sum(each.when is DueState.OVERDUE for each in now)
        lines = [query_answers.due_head(len(now), late, later)]
        lines += waiting
        lines += [query_answers.due_line(each, each.door.id in out) for each in now]
        # who may not read about a door may begin its check
        tap = buttons.show_door if person.may(Right.READ) else buttons.door
        taps = (*(tap(each.door.number) for each in now[:3]), *look_taps)
        return tell("\n".join(lines), taps=taps)

    def _of_clock(self) -> list[str]:
        doubt = doubt_now(self.logbook)
        return [query_answers.clock_in_doubt(doubt.why)] if doubt else []

    def _overdue(self, person: Person, today: date, now: datetime) -> list[tuple[Due, str]]:
        """Each overdue door, with the person who minds it."""
        rota = rota_of(self.logbook)
        late = [each for each in self._due_for(person, today, now) if each.when is DueState.OVERDUE]
        return [
            (each, minder.name if (minder := rota.minder(each.door, today)) else "nobody")
            for each in late
        ]

    def _late(self, person: Person, today: date, now: datetime) -> Reply:
        doors = Counter(name for _, name in self._overdue(person, today, now))
        defects = Counter(
            each.given_to or "nobody" for each in self._defects_for(person).open if each.late(today)
        )
        names = sorted({*doors, *defects}, key=lambda name: (-doors[name] - defects[name], name))
        known = {each.name for each in self.logbook.people()}
        lines = [query_answers.late_line(name, doors[name], defects[name]) for name in names]
        shown = [name for name in names if name in known][:MAX_NAMED]
        number = People(self.logbook).number
        more = (buttons.WHAT_IS_DUE, buttons.WHAT_IS_WRONG)
        taps = (*(buttons.show_person(name) for name in shown), *more)
        does = (*(buttons.show_person(f"#{number(name)}") for name in shown), *more)
        if not lines:
            return tell(query_answers.NOBODY_LATE)
        return tell("\n".join(lines), taps=taps, does=does)

    def _door(self, person: Person, number: str, today: date) -> Reply:
        doors = doors_called(self.logbook, person, number)
        if not doors:
            return tell(query_answers.no_such_door(number))
        found = self._defects_for(person)
        ids = [(door.site, door.building, door.number) for door in doors]
        lines = [query_answers.out_of_action(found.out[id]) for id in ids if id in found.out]
        standing = [each for id in ids for each in found.at(id)]
        standing = by_urgency(standing)
        lines += [
            door_report(self.logbook, doors, defects=False),
            *(query_answers.defect_line(each, today) for each in standing),
        ]
        taps = tuple(buttons.defect(each.id) for each in standing[:MAX_TAPS])
        taps += (buttons.answers_of(doors[0].number),) if self._checked(doors) else ()
        reply = tell("\n".join(lines), taps=taps)
        return replace(reply, say=(*door_photos(self.logbook, doors), *reply.say))

    def _checked(self, doors: list[Door]) -> bool:
        return any(not self.logbook.first_visit(door) for door in doors)

    def _wrong(self, person: Person, asked: Query, today: date) -> Reply:
        found = self._defects_for(person)
        floors = {
            (door.site, door.building, door.number): door.floor for door in self.logbook.doors()
        }
        here = [
            each for each in by_urgency(found.open) if on_floor(asked, floors.get(each.door, ""))
        ]
        out = [
            query_answers.door_out(id[2], why)
            for id, why in sorted(found.out.items())
            if on_floor(asked, floors.get(id, "")) and not any(each.door == id for each in here)
        ]
        if asked.floor and not any(on_floor(asked, floor) for floor in floors.values()):
            return tell(query_answers.no_door_on(asked.floor))
        if not here and not out:
            return tell(query_answers.no_defect_open(asked.floor))
        lines = [
            query_answers.defects_open(len(here), asked.floor),
            *(query_answers.defect_line(each, today) for each in here),
        ]
        taps = tuple(buttons.defect(each.id) for each in here[:MAX_TAPS])
        return tell("\n".join((*lines, *out)), taps=taps)

    def _defect(self, person: Person, id: int, today: date) -> Reply:
        found = self._defects_for(person)
        defect = found.all.get(id)
        if defect is None:
            return DefectCommands(self.logbook, found).unknown(id)
        lines = [query_answers.defect_line(defect, today), *query_answers.defect_history(defect)]
        taps, does = self._defect_taps(person, defect, today)
        reply = tell("\n".join(lines), taps=taps, does=does)
        shown = shown_prompts(self.logbook, attachments_of_defect(self.logbook, defect))
        return replace(reply, say=(*shown, *reply.say))
