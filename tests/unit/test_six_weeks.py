"""Six weeks of forty doors, through the commands, against a ledger reckoned by hand in this test:
what is due, what is nudged, what is open, what the summary counts. The clocks go forward in them,
February ends, and public holidays lie among them.
"""

from __future__ import annotations

import json
from calendar import monthrange
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from random import Random
from zoneinfo import ZoneInfo

import pytest
import small_visit as visit
from typer.testing import CliRunner

from doorround.cli.app import app
from doorround.domain.defects import DeedKind
from doorround.domain.door import Use
from doorround.domain.judging.severity import Targets
from doorround.logbook.defect_deeds import act
from doorround.logbook.defects import read_defects
from doorround.logbook.store import Logbook

ZONE = ZoneInfo("Europe/London")
Run = Callable[..., list[dict[str, object]]]

# begins, and what lies in those six weeks
SPANS = {
    "the clocks go forward and Easter": date(2026, 3, 2),
    "the clocks go back": date(2026, 10, 5),
    "a leap day": date(2028, 1, 31),
    "a year ends": date(2026, 12, 1),
}


@dataclass
class Line:
    """One door of the ledger. broken: found on that day and not made good since."""

    number: str
    weekly: bool
    checked: date | None = None
    broken: date | None = None
    mended: date | None = None

    def due(self, began: date) -> date:
        """Seven days on, or the same day of the next month, or its last day where it is shorter."""
        if self.checked is None:
            return began
        if self.weekly:
            return date.fromordinal(self.checked.toordinal() + 7)
        year, month = self.checked.year, self.checked.month + 1
        if month == 13:
            year, month = year + 1, 1
        return date(year, month, min(self.checked.day, monthrange(year, month)[1]))


class Estate:
    """Forty doors and their ledger, lived through day by day. done: how much of what is due is
    checked in a day.
    """

    done = 0.6

    def __init__(self, logbook: Logbook, began: date, seed: int) -> None:
        self.logbook, self.began, self.dice = logbook, began, Random(seed)
        self.ledger = {str(nth): Line(str(nth), nth % 2 == 0) for nth in range(40)}
        self.visits: dict[date, int] = {}
        for name, role in (("Ines", "caretaker"), ("Sam", "caretaker"), ("Mona", "supervisor")):
            logbook.add_person(name, role, self.at(began, 7))
        for line in self.ledger.values():
            use = Use.CORRIDOR if line.weekly else Use.STAIR
            door = visit.door(line.number, use=use)
            logbook.add_door(door, "Mona", self.at(began, 7))

    def at(self, day: date, hour: float) -> datetime:
        local = datetime(day.year, day.month, day.day, tzinfo=ZONE) + timedelta(hours=hour)
        return local.astimezone(UTC)

    def live(self, day: date) -> None:
        """Some of what is due is checked, at any hour of the day; some faults, some repairs."""
        due = [line for line in self.ledger.values() if line.due(self.began) <= day]
        chosen = [line for line in due if self.dice.random() < self.done]
        for nth, line in enumerate(chosen):
            self.check(line, day, 9 + nth * 0.33, self.dice.random() < 0.15)
        for line in self.ledger.values():
            if line.broken and not line.mended and self.dice.random() < 0.2:
                self.mend(line, day)

    def check(self, line: Line, day: date, hour: float, fault: bool) -> None:
        fault = fault or (line.broken is not None and line.mended is None)
        minute = (self.at(day, hour) - visit.MORNING) / timedelta(minutes=1)
        door = visit.door(line.number, use=Use.CORRIDOR if line.weekly else Use.STAIR)
        turn = visit.start(door, id=f"{day}-{line.number}", minute=minute)
        self.logbook.begin("chat", turn)
        for question, value in (
            ("hinges.count", visit.THREE),
            ("seals", visit.PAINTED if fault else visit.SOUND),
        ):
            turn = visit.answer(turn.check, question, value, minute)
            self.logbook.keep("chat", None, turn)
        self.logbook.keep("chat", None, visit.close(turn.check, minute))
        line.checked = day
        self.visits[day] = self.visits.get(day, 0) + 1
        if not fault:
            line.broken = line.mended = None
        elif line.broken is None or line.mended is not None:
            line.broken, line.mended = day, None

    def mend(self, line: Line, day: date) -> None:
        open_now = read_defects(self.logbook, Targets()).open
        [defect] = [each for each in open_now if each.door[2] == line.number]
        now = self.at(day, 18)
        act(
            self.logbook,
            defect,
            DeedKind.MADE_GOOD,
            "Sam",
            now,
            "seals redone",
            no_photo="too dark",
        )
        line.mended = day


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path))
    monkeypatch.setenv("DOORROUND_ZONE", "Europe/London")
    monkeypatch.delenv("DOORROUND_SETTINGS", raising=False)

    def run(*words: str) -> list[dict[str, object]]:
        done = CliRunner().invoke(app, [*words, "--json"])
        assert done.exit_code == 0, done.output
        return [json.loads(line) for line in done.stdout.splitlines()]

    return run


@pytest.fixture
def say(run: Run) -> Callable[..., str]:
    return lambda *words: CliRunner().invoke(app, list(words)).stdout


@pytest.mark.parametrize("began", SPANS.values(), ids=list(SPANS))
def test_the_commands_agree_with_the_ledger_day_by_day(
    began: date, tmp_path: Path, run: Run, say: Callable[..., str]
) -> None:
    days = [began + timedelta(days=nth) for nth in range(42)]
    said: dict[date, tuple[object, ...]] = {}
    wanted: dict[date, tuple[object, ...]] = {}
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        estate = Estate(logbook, began, began.toordinal())
        for day in days:
            estate.live(day)
            wanted[day] = as_ledger(estate, day)
    # every day of the first six weeks, every third of the others
    for day in days if began == date(2026, 3, 2) else days[::3]:
        said[day] = as_told(run, say, day)
        assert said[day] == wanted[day], day
    month = sum(count for day, count in estate.visits.items() if day.month == days[20].month)
    last = max(day for day in days if day.month == days[20].month)
    text = say("summary", "--on", last.isoformat(), "--every", "monthly")
    assert f": {month} checks" in text, text


def as_ledger(estate: Estate, day: date) -> tuple[object, ...]:
    """Doors due by that day, with the day and how late; open and repaired defects; checks done."""
    due = {
        line.number: (on.isoformat(), (day - on).days)
        for line in estate.ledger.values()
        if (on := line.due(estate.began)) <= day
    }
    lines = estate.ledger.values()
    open_now = {
        line.number: (line.broken + timedelta(days=7)).isoformat()
        for line in lines
        if line.broken and not line.mended
    }
    looks = {
        line.number: (line.mended + timedelta(days=7)).isoformat() for line in lines if line.mended
    }
    return due, open_now, looks, estate.visits.get(day, 0)


def as_told(run: Run, say: Callable[..., str], day: date) -> tuple[object, ...]:
    on = ("--on", day.isoformat())
    due = {
        row["door"]: (row["due"], row["days_late"])
        for row in run("due", *on)
        if row["kind"] == "check" and row["state"] != "this week"
    }
    rows = run("defects", "list", *on)
    open_now = {row["door"]: row["due"] for row in rows if row["state"] == "open"}
    looks = {row["door"]: row["look_by"] for row in rows if row["state"] == "made good"}
    text = say("summary", *on).splitlines()
    told = next((line for line in text if f"{day:%A} {day.day} {day:%B}: " in line), "")
    number = told.partition(": ")[2].partition(" check")
    return due, open_now, looks, int(number[0]) if number[1] else 0
