"""Invariants for every day of a simulated year: reminders, summaries, defects."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from doorround.domain.door import Door, Use
from doorround.domain.judging.severity import Severity
from doorround.domain.schedule.plan import Plan
from doorround.logbook.defects import read_defects
from doorround.logbook.outbox import Outbox
from doorround.logbook.store import Logbook
from doorround.reports.summary import Frequency

ZONE = ZoneInfo("Europe/London")
FIRST = date(2026, 3, 23)
PLAN = Plan(country="GB", region="ENG")
# bank holidays of England, written out: the program takes them from a library
HOLIDAYS = {
    date(2026, *day) for day in ((4, 3), (4, 6), (5, 4), (5, 25), (8, 31), (12, 25), (12, 28))
} | {date(2027, 1, 1)}
USES = (Use.CORRIDOR, Use.STAIR, Use.CUPBOARD, Use.RISER)
CARETAKERS = ("Ines", "Sam", "Kim")
SUPERVISORS = ("Mona", "Olu")


@dataclass
class State:
    """One door according to the simulation. broken: rule → severity of each current fault."""

    door: Door
    added: date
    checked: date | None = None
    tried: date | None = None
    tries: int = 0
    out: date | None = None
    broken: dict[str, Severity] = field(default_factory=dict)

    def due(self) -> date:
        if self.checked is None:
            return self.added
        if self.door.use is Use.CORRIDOR:
            return self.checked + timedelta(days=7)
        year, month = divmod(self.checked.year * 12 + self.checked.month, 12)
        last = (
            (date(year, month + 1, 1) + timedelta(days=32)).replace(day=1) - timedelta(days=1)
        ).day
        return date(year, month + 1, min(self.checked.day, last))


class YearLaws:
    """The invariants of each day. Raises AssertionError on the first day that violates one."""

    def __init__(self) -> None:
        self.figures: Counter[str] = Counter()
        self.states: dict[str, State] = {}
        self.down: set[tuple[date, int]] = set()
        self.snoozed: dict[str, date] = {}
        self.defects: dict[int, bool] = {}
        self.told: set[tuple[str, ...]] = set()
        self.read_until = 0

    def _reminders(self, logbook: Logbook) -> list[tuple[datetime, dict[str, object]]]:
        """Reminders entered since the last look: local time and body."""
        rows = logbook._rows(
            "SELECT seq, at, body FROM entries WHERE kind = 'reminded' AND seq > ? ORDER BY seq",
            self.read_until,
        )
        self.read_until = max([self.read_until, *(seq for seq, _, _ in rows)])
        return [
            (datetime.fromisoformat(at).astimezone(ZONE), json.loads(body)) for _, at, body in rows
        ]

    def _take_in(self, logbook: Logbook) -> None:
        """No reminder twice, none at night or on a free day, one per person, day and type, each
        with its number.
        """
        for at, body in self._reminders(logbook):
            kind = str(body["what"])
            key = str(body["key"])
            if kind == "alarm":
                self.figures["alarms"] += 1
                assert ("key", key) not in self.told, f"{key} went out twice"
                self.told.add(("key", key))
                continue
            earliest = 8 if kind == "nudge" else 16
            assert earliest <= at.hour < 19 and at.weekday() < 5 and at.date() not in HOLIDAYS, (
                at,
                key,
            )
            assert ("key", key) not in self.told, f"{key} went out twice"
            self.told.add(("key", key))
            message = (
                [each for each in Outbox(logbook).all(f"telegram/{body['name']}")][-1]
                if kind == "nudge"
                else None
            )
            for subject in body["said"]:  # type: ignore[attr-defined]
                said = (
                    tuple(subject) if subject[-1] != "supervisor" else (*subject, str(body["name"]))
                )
                said = (*said, str(body["name"])) if subject[0] == "defect" else said
                assert said not in self.told, f"{said} was said twice"
                self.told.add(said)
                self.figures[f"{subject[0]}, {subject[-1]}"] += 1
                if message is not None and subject[0] == "door":
                    assert subject[3] in message.body.text, f"{subject[3]} is not in the message"

    def _all_mentioned(self, logbook: Logbook, day: date) -> None:
        """Every door that is due was mentioned, except those silent for a week after an attempt,
        and snoozed ones.
        """
        self._take_in(logbook)
        if any(day < until for until in self.snoozed.values()):
            self.figures["days with a snooze"] += 1
            return
        self.figures["days looked at"] += 1
        for state in self.states.values():
            waits = state.tried is not None and day < state.tried + timedelta(days=7)
            long_out = state.out is not None and day >= state.out + timedelta(days=7)
            if state.due() <= day and not waits and not long_out:
                place = ("door", "", state.door.building, state.door.number)
                said = (*place, state.due().isoformat(), str(state.tries), "first")
                assert said in self.told, f"on {day} {said} is unmentioned"

    def _nothing_at_night_or_twice(self, logbook: Logbook) -> None:
        self._take_in(logbook)

    def _summaries(self, logbook: Logbook, day: date, working: bool) -> None:
        up = any((day, hour) not in self.down for hour in range(16, 19))
        for name in SUPERVISORS:
            keys = (f"summary/{every}/{name}/{day.isoformat()}" for every in Frequency)
            told = sum(("key", key) in self.told for key in keys)
            assert (told > 0) is (working and up), (day, name)

    def _no_defect_lost(self, logbook: Logbook, day: date) -> None:
        """Every fault that exists and was seen by a check is an open defect, or was made good
        since; nothing else is open.
        """
        found = read_defects(logbook, PLAN.defects)
        followed = {(each.door[2], each.finding.rule): each for each in found.all.values()}
        for state in self.states.values():
            for rule in state.broken:
                known = followed.get((state.door.number, rule))
                assert known is not None and known.state != "closed", (
                    f"on {day} {rule} at {state.door.number} is lost"
                )
                self.figures["defect-days followed"] += 1
        for each in found.open:
            number = each.door[2]
            rule = each.finding.rule
            assert rule in self.states[number].broken, (
                f"on {day} {rule} at {number} is open and mended"
            )
            self.defects[each.id] = True
        self.figures["defects"] = len(found.all)
        self.figures["reopened"] = sum(each.reopened for each in found.all.values())
