"""A simulated year of an invented estate, day by day: checks, defects, days off, snoozes, a round
handed over, days without the bot.

The expected state is calculated independently of the program, by plain arithmetic on the simulated
events, and compared with the logbook and the outbox. The same seed gives the same year.
"""

from __future__ import annotations

from collections import Counter
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from random import Random

from doorround.domain.answers import Answer
from doorround.domain.defects import DeedKind
from doorround.domain.door import Door
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.findings import Finding
from doorround.domain.input_result import By
from doorround.domain.judging.severity import Severity
from doorround.domain.schedule.due import due_list
from doorround.domain.schedule.intervals import Intervals
from doorround.domain.values import CannotCheck, Condition
from doorround.logbook.chats import Chats
from doorround.logbook.defect_deeds import act
from doorround.logbook.defects import read_defects
from doorround.logbook.due import doors_due, refuse_access
from doorround.logbook.handover import hand_over
from doorround.logbook.outbox import Outbox
from doorround.logbook.reminder_log import snooze, take_days_off
from doorround.logbook.store import Logbook
from doorround.reminders.ticker import Ticker
from tests.benchmarks.invented_entries import small_checklist
from tests.benchmarks.year_laws import (
    CARETAKERS,
    FIRST,
    HOLIDAYS,
    PLAN,
    SUPERVISORS,
    USES,
    ZONE,
    State,
    YearLaws,
)


class Year(YearLaws):
    """folder: for the logbook. doors, days: size. Raises AssertionError on the first day that
    violates an invariant.
    """

    def __init__(self, folder: Path, doors: int, days: int, seed: int) -> None:
        super().__init__()
        self.dice = Random(seed)
        self.days = days
        self.path = folder / "year.db"
        self.wording = ""
        with Logbook.open(self.path, "Europe/London") as logbook:
            self._furnish(logbook, doors)

    def run(self) -> Counter[str]:
        """Simulate every day. Returns the counts."""
        with Logbook.open(self.path, "Europe/London") as logbook:
            logbook._db.conn.execute("PRAGMA synchronous = OFF")  # nobody pulls this plug
            ticker = Ticker(logbook, PLAN)
            for nth in range(self.days):
                day = FIRST + timedelta(days=nth)
                self._plan_trouble(logbook, day)
                if self.dice.random() < 0.05:
                    ticker = Ticker(logbook, PLAN)  # the program was restarted
                self._live(logbook, ticker, day)
            assert logbook.verify() == []
            self.figures["entries"] = logbook.head().count
        return self.figures

    # ---- the estate and its people

    def _furnish(self, logbook: Logbook, doors: int) -> None:
        opened = datetime.combine(FIRST - timedelta(days=1), time(12), UTC)
        for name in CARETAKERS + SUPERVISORS:
            logbook.add_person(name, "caretaker" if name in CARETAKERS else "supervisor", opened)
            Chats(logbook).belong(f"telegram/{name}", name)
        with logbook.writing():
            self.wording = logbook._keep_checklist(small_checklist())
            for nth in range(doors):
                floor = nth // 20 % 6
                use = USES[nth % len(USES)]
                door = Door(
                    number=f"D{nth}",
                    building="East" if nth % 2 else "West",
                    floor=f"floor {floor}",
                    use=use,
                )
                logbook.add_door(door, "Mona", opened)
                self.states[door.number] = State(door, opened.date())

    def _plan_trouble(self, logbook: Logbook, day: date) -> None:
        noon = self._at(day, 6)
        dice = self.dice
        if dice.random() < 0.03:
            begin = dice.randrange(24)
            hours = dice.choice((2, 6, 30, 80))
            for nth in range(hours):
                later = datetime.combine(day, time()) + timedelta(hours=begin + nth)
                self.down.add((later.date(), later.hour))
        if dice.random() < 0.02:
            take_days_off(
                logbook,
                dice.choice(CARETAKERS),
                day,
                day + timedelta(days=dice.randrange(1, 12)),
                "Mona",
                noon,
            )
        if dice.random() < 0.03:
            name = dice.choice(CARETAKERS)
            self.snoozed[name] = snooze(logbook, name, dice.randrange(1, 4), noon)
        if day == FIRST + timedelta(days=150):
            hand_over(logbook, "Ines", "Sam", "Mona", noon)

    # ---- one day

    def _live(self, logbook: Logbook, ticker: Ticker, day: date) -> None:
        working = day.weekday() < 5 and day not in HOLIDAYS
        nudged = False
        for hour in range(24):
            if hour == 10 and working:
                self._work(logbook, day)
            if (day, hour) in self.down:
                continue
            self.figures["messages"] += ticker.tick(self._at(day, hour, 7))
            self._deliver(logbook)
            if working and 8 <= hour < 19 and not nudged:
                nudged = True
                self._all_mentioned(logbook, day)
        self._nothing_at_night_or_twice(logbook)
        self._summaries(logbook, day, working)
        self._no_defect_lost(logbook, day)

    def _deliver(self, logbook: Logbook) -> None:
        """Deliver everything in the outbox."""
        with logbook.writing():
            for message in Outbox(logbook).deferrable():
                Outbox(logbook).sent({message.id: str(message.id)})

    def _at(self, day: date, hour: int, minute: int = 0) -> datetime:
        return datetime.combine(day, time(hour, minute), ZONE).astimezone(UTC)

    def _work(self, logbook: Logbook, day: date) -> None:
        """The caretakers walk most of what is due, in list order; somebody repairs some defects."""
        now = self._at(day, 10)
        dice = self.dice
        due = [
            each
            for each in due_list(doors_due(logbook, Intervals(), day, now), Intervals(), day)
            if each.on <= day
        ]
        walked = due[: max(3, len(self.states) // 12)]
        with logbook.writing():
            for each in walked:
                if dice.random() < 0.9:
                    self._visit(
                        logbook,
                        self.states[each.door.number],
                        day,
                        now + timedelta(minutes=len(walked)),
                    )
        for id, open_now in list(self.defects.items()):
            if open_now and dice.random() < 0.06:
                self._mend(logbook, id, now + timedelta(hours=3))

    def _visit(self, logbook: Logbook, state: State, day: date, now: datetime) -> None:
        chance = self.dice.random()
        if chance < 0.03:
            refuse_access(logbook, state.door, "nobody in", "Ines", now)
            state.tried, state.tries = day, state.tries + 1
            self.figures["refused"] += 1
            return
        breaks = self.dice.choice(("hinges.loose", "seals.gone")) if chance < 0.08 else None
        if breaks and breaks not in state.broken:
            state.broken[breaks] = self.dice.choice(list(Severity)[1:])
        self._enter(logbook, state, now, seen=chance < 0.97)
        if chance < 0.97:
            state.checked = day
            grave = Severity.ACT_NOW in state.broken.values()
            state.out = (state.out or day) if grave else None
            state.tried = None
            state.tries = 0
            self.figures["checks"] += 1
        else:
            state.tried, state.tries = day, state.tries + 1
            self.figures["refused"] += 1

    def _enter(self, logbook: Logbook, state: State, now: datetime, seen: bool) -> None:
        number = state.door.number
        person = self.dice.choice(CARETAKERS)
        check = f"{now:%Y%m%d}-{number}"
        more = {"at": now, "person": person, "door": number, "check": check}
        place = {
            "site": "",
            "building": state.door.building,
            "checklist": "bench",
            "checklist_hash": self.wording,
        }
        entries = [Entry(kind=EntryKind.CHECK_STARTED, body=place, **more)]
        for part in ("hinges", "seals"):
            value = Condition() if seen else CannotCheck(reason="no access")
            said = Answer(
                id=f"{part}#1",
                question=part,
                component=part,
                value=value,
                heard="x",
                probability=1,
                by=By.TAP,
                engine="year",
                at=now,
            )
            entries.append(
                Entry(kind=EntryKind.ANSWERED, body=said.model_dump(mode="json"), **more)
            )
            for rule, severity in state.broken.items():
                if seen and rule.startswith(part):
                    found = _finding(rule, part, severity).model_dump(mode="json")
                    entries.append(
                        Entry(kind=EntryKind.FOUND, body={**found, "answer": f"{part}#1"}, **more)
                    )
        body = {
            "verdict": "sound",
            "answers": 2,
            "not_checked": [] if seen else ["hinges", "seals"],
        }
        logbook._enter([*entries, Entry(kind=EntryKind.SIGNED, body=body, **more)])

    def _mend(self, logbook: Logbook, id: int, now: datetime) -> None:
        defect = read_defects(logbook, PLAN.defects).all[id]
        if self.dice.random() < 0.3:
            act(
                logbook,
                defect,
                DeedKind.ASSIGNED,
                "Mona",
                now,
                to="Sam",
                by=now.date() + timedelta(days=5),
                why="the part is ordered",
            )
            return
        act(
            logbook,
            defect,
            DeedKind.MADE_GOOD,
            "Sam",
            now,
            "part replaced",
            no_photo="a photo shows nothing",
        )
        self.figures["made good"] += 1
        if self.dice.random() < 0.85:
            # else it was not, and the next check sees it again
            self.states[defect.door[2]].broken.pop(defect.finding.rule)
        self.defects[id] = False


def _finding(rule: str, part: str, severity: Severity) -> Finding:
    return Finding(
        rule=rule,
        question=part,
        component=part,
        what=rule,
        why="w",
        do_now="d",
        source="common practice, no source",
        severity=severity,
    )
