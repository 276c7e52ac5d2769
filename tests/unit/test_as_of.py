"""The past stays as it was: whatever is entered is in one day, one week and one month, and what was
said of a day is said of it for ever.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import small_visit as visit
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from doorround.domain.check import Check
from doorround.domain.defects import ChangeKind, DeedKind
from doorround.domain.door import Use
from doorround.domain.judging.severity import Targets
from doorround.domain.schedule.due import due_list
from doorround.domain.schedule.intervals import Intervals
from doorround.domain.schedule.plan import Plan
from doorround.domain.schedule.recurrence import Recurrence
from doorround.domain.summary import Period
from doorround.domain.values import CannotCheck
from doorround.logbook.as_of import as_of
from doorround.logbook.defect_deeds import act, call_fit, put_out
from doorround.logbook.defects import read_defects
from doorround.logbook.door_changes import bring_back_door, renumber_door, retire_door
from doorround.logbook.due import door_statuses, refuse_access
from doorround.logbook.errors import LogbookError
from doorround.logbook.period import read_period
from doorround.logbook.settings_log import note_settings, plan_as_of
from doorround.logbook.store import Logbook
from doorround.reports.summary import Frequency, report
from tests.whole import so_many

ZONE = "Europe/London"
# four whole weeks that are also a whole month
FIRST = date(2027, 2, 1)
LAST = date(2027, 2, 28)


@dataclass
class History:
    """Some hundred things that happen on those days, at random but the same for the same seed."""

    logbook: Logbook
    dice: Random
    now: datetime = datetime(2027, 1, 31, 12, 0, tzinfo=UTC)
    plan: Plan = field(default_factory=Plan)
    checks: int = 0
    left_open: list[Check] = field(default_factory=list)

    def begin(self) -> None:
        self.logbook._clock = lambda: self.now
        for name, role in (("Ines", "caretaker"), ("Sam", "caretaker"), ("Mona", "supervisor")):
            self.logbook.add_person(name, role, self.now)
        for number in range(6):
            use = (Use.CORRIDOR, Use.STAIR, Use.RISER)[number % 3]
            self.logbook.add_door(visit.door(str(number), use=use), "Mona", self.now)
        note_settings(self.logbook, self.plan, self.now)
        self.now = midnight_before(FIRST)

    def until(self, midnight: datetime, events: int) -> None:
        """So many things, before midnight, at any hour."""
        begin = self.now
        for moment in sorted(self.dice.random() for _ in range(events)):
            self.now = begin + (midnight - begin) * moment
            with suppress(LogbookError, ValueError):
                self.happen(self.dice.choice(DEEDS))
        self.now = midnight

    def happen(self, what: str) -> None:
        logbook, dice = self.logbook, self.dice
        door = dice.choice(logbook.doors())
        match what:
            case "check" | "fault" | "late" | "unseen":
                self.check(door, what)
            case "begun":
                self.begin_check(door)
            case "corrected" if self.left_open:
                self.correct()
            case "refused":
                refuse_access(logbook, door, "nobody in", "Ines", self.now)
            case "out":
                put_out(logbook, door, "leaf taken off", "Mona", self.now)
            case "fit":
                call_fit(logbook, door, "hung again", "Sam", self.now, self.plan.defects)
            case "renumber" | "retire" | "back":
                self.change(door, what)
            case "settings":
                uses: dict[Use, Any] = {Use.STAIR: Recurrence(dice.randrange(1, 40), "day")}
                soon = Targets(soon=dice.randrange(1, 20))
                self.plan = replace(self.plan, intervals=Intervals((), uses), defects=soon)
                note_settings(logbook, self.plan, self.now)
            case "good" | "look" | "again" | "give":
                self.settle(what)

    def check(self, door: Any, what: str) -> None:
        """late: answered up to three days ago on a telephone without a network."""
        self.checks += 1
        ago = timedelta(hours=self.dice.randrange(1, 72)) if what == "late" else timedelta()
        minute = (self.now - ago - visit.MORNING) / timedelta(minutes=1)
        turn = visit.start(door, id=f"c{self.checks}", minute=minute)
        self.logbook.begin("chat", turn)
        seals = visit.PAINTED if what in ("fault", "late") else visit.SOUND
        value = CannotCheck(reason="no access") if what == "unseen" else seals
        turn = visit.answer(turn.check, "seals", value, minute)
        self.logbook.keep("chat", None, turn)
        self.logbook.keep("chat", None, visit.close(turn.check, minute))

    def change(self, door: Any, what: str) -> None:
        logbook = self.logbook
        if what == "renumber":
            number = f"{door.number}{self.dice.choice('abc')}"
            renumber_door(logbook, door, number, "w", "M", self.now)
        elif what == "retire" and len(logbook.doors()) > 3:
            retire_door(logbook, door, "bricked up", "Mona", self.now)
        elif what == "back" and logbook.retired_doors():
            bring_back_door(logbook, logbook.retired_doors()[0].door, "opened", "Mona", self.now)

    def begin_check(self, door: Any) -> None:
        """A fault is found, and the check left open."""
        self.checks += 1
        turn = visit.start(door, id=f"c{self.checks}", minute=self.minute)
        self.logbook.begin(f"chat {turn.check.id}", turn)
        turn = visit.answer(turn.check, "seals", visit.PAINTED, self.minute)
        self.logbook.keep(f"chat {turn.check.id}", None, turn)
        self.left_open.append(turn.check)

    def correct(self) -> None:
        """A check that was left open, on whatever day: what was found is taken back or corrected,
        and it is signed.
        """
        check = self.left_open.pop(0)
        chat = f"chat {check.id}"
        turn = (
            visit.withdraw(check, "seals", self.minute)
            if self.dice.random() < 0.5
            else visit.answer(check, "seals", visit.SOUND, self.minute)
        )
        self.logbook.keep(chat, None, turn)
        turn = visit.answer(turn.check, "hinges.count", visit.THREE, self.minute)
        self.logbook.keep(chat, None, turn)
        self.logbook.keep(chat, None, visit.close(turn.check, self.minute))

    @property
    def minute(self) -> float:
        return (self.now - visit.MORNING) / timedelta(minutes=1)

    def settle(self, what: str) -> None:
        kinds = {
            "good": DeedKind.MADE_GOOD,
            "look": DeedKind.LOOKED_AT,
            "again": DeedKind.REOPENED,
            "give": DeedKind.ASSIGNED,
        }
        defects = list(read_defects(self.logbook, self.plan.defects).all.values())
        if not defects:
            return
        defect, kind = self.dice.choice(defects), kinds[what]
        who = self.dice.choice(("Ines", "Mona"))
        to = "Sam" if kind is DeedKind.ASSIGNED else None
        act(self.logbook, defect, kind, who, self.now, "seals replaced", to=to, no_photo="too dark")


DEEDS = (
    *("check", "check", "fault", "fault", "late", "unseen", "refused", "out", "fit", "renumber"),
    *("begun", "begun", "corrected", "corrected"),
    *("retire", "back", "settings", "good", "good", "look", "again", "give"),
)


def days(first: date, last: date) -> list[date]:
    return [first + timedelta(days=nth) for nth in range((last - first).days + 1)]


def midnight_before(day: date) -> datetime:
    return datetime(day.year, day.month, day.day, tzinfo=ZoneInfo(ZONE)).astimezone(UTC)


def told(logbook: Logbook, plan: Plan, day: date) -> tuple[object, ...]:
    """Everything that is said of a past day."""
    texts = [report(logbook, plan, every, day, None).summary.text for every in Frequency]
    then = plan_as_of(logbook, plan, as_of(logbook, day))
    due = [
        (each.door.id, each.on, each.days_late, each.door.tries)
        for each in due_list(door_statuses(logbook, day), then.intervals, day)
    ]
    found = read_defects(logbook, then.defects, day)
    defects = [
        (each.id, each.door, each.state, each.due, each.given_to, each.reopened)
        for each in found.all.values()
    ]
    return (*texts, due, defects, found.out, found.since)


def span(logbook: Logbook, first: date, last: date) -> Period:
    return read_period(logbook, Plan(), "x", first, last, lambda site: True, ())


def moves(of: Period) -> list[int]:
    return [of.changed(what) for what in ChangeKind]


@settings(max_examples=so_many(2, 6), deadline=None, phases=[Phase.generate])
@given(st.integers(0, 10**9))
def test_the_past_never_changes_and_days_add_up(seed: int) -> None:
    """180 things at random on 28 days: checks, late ones, faults, repairs, settings, doors."""
    with (
        TemporaryDirectory() as folder,
        Logbook.open(Path(folder) / "logbook.db", ZONE) as logbook,
    ):
        history = History(logbook, Random(seed))
        history.begin()
        said: dict[date, tuple[object, ...]] = {}
        for day in days(FIRST, LAST):
            history.until(midnight_before(day + timedelta(days=1)), history.dice.randrange(3, 11))
            said[day] = told(logbook, history.plan, day)
        for day in days(FIRST, LAST):
            assert told(logbook, history.plan, day) == said[day], day
        _adds_up(logbook)
        assert logbook.verify() == []


def _adds_up(logbook: Logbook) -> None:
    """Each check and each change of a defect is in one day, one week and one month."""
    dailies = [span(logbook, day, day) for day in days(FIRST, LAST)]
    mondays = [FIRST + timedelta(weeks=nth) for nth in range(4)]
    weeklies = [span(logbook, monday, monday + timedelta(days=6)) for monday in mondays]
    month = span(logbook, FIRST, LAST)
    kinds = [entry.kind for entry in logbook.entries()]
    visits = kinds.count("signed") + kinds.count("access refused")
    for parts in (dailies, weeklies, [month]):
        assert sum(len(part.visits) for part in parts) == visits > 0
        assert [sum(each) for each in zip(*map(moves, parts), strict=True)] == moves(month)


@pytest.fixture
def logbook(tmp_path: Path) -> Any:
    with Logbook.open(tmp_path / "logbook.db", ZONE) as logbook:
        yield logbook
