"""Who is reminded of what in six weeks of forty doors, against a ledger reckoned by hand in this
test: first, second, then the supervisor, on working days alone. Easter, Christmas, a leap day and
both changes of the clocks lie among them.
"""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import pytest
from test_six_weeks import SPANS, Estate
from typer.testing import CliRunner

from doorround.cli.app import app
from doorround.domain.judging.severity import Targets
from doorround.domain.schedule.plan import Plan
from doorround.logbook.chats import Chats
from doorround.logbook.defects import read_defects
from doorround.logbook.outbox import Outbox
from doorround.logbook.store import Logbook
from doorround.reminders.nudges import send_nudges

PLAN = Plan(country="GB", region="ENG")
# bank holidays of England in these spans, written out: the program takes them from a library.
# Source: gov.uk/bank-holidays for 2026; for 2027 and 2028 from memory
HOLIDAYS = {
    *(date(2026, *day) for day in ((4, 3), (4, 6), (12, 25), (12, 28))),
    date(2027, 1, 1),
}
Said = tuple[str, str, str, str]
"""Door, defect or look; number of the door; by when; step."""


class BusyEstate(Estate):
    """One in which little is done, so that what waits goes to the supervisor."""

    done = 0.2


class Mail:
    """What is to be said, by plain arithmetic over the estate's ledger. A door, and a repair, is
    said again two days after the first time and goes to the supervisor two days after the second;
    what nobody has goes to the supervisor at once, and again three days past its date.
    """

    def __init__(self, estate: Estate) -> None:
        self.estate = estate
        self.said: dict[tuple[str, str, str], dict[str, date]] = {}

    def of(self, day: date) -> set[Said]:
        if day.weekday() > 4 or day in HOLIDAYS:
            return set()
        told = set[Said]()
        for line in self.estate.ledger.values():
            if (due := line.due(self.estate.began)) <= day:
                told |= self._door(("door", line.number, due.isoformat()), day)
            if line.broken and not line.mended:
                due = line.broken + timedelta(days=7)
                told |= self._defect(("defect", line.number, due.isoformat()), due, day)
            if line.mended:
                look_by = line.mended + timedelta(days=7)
                told |= self._look(("look", line.number, look_by.isoformat()), look_by, day)
        return told

    def _door(self, about: tuple[str, str, str], day: date) -> set[Said]:
        said = self.said.setdefault(about, {})
        if not said:
            return self._say(about, "first", day)
        if "second" not in said:
            waited = day >= said["first"] + timedelta(days=2)
            return self._say(about, "second", day) if waited else set()
        late = day >= said["second"] + timedelta(days=2) and "supervisor" not in said
        return self._say(about, "supervisor", day) if late else set()

    def _defect(self, about: tuple[str, str, str], due: date, day: date) -> set[Said]:
        said = self.said.setdefault(about, {})
        if not said:
            return self._say(about, "first", day)
        late = (day - due).days >= 3 and "supervisor" not in said
        return self._say(about, "supervisor", day) if late else set()

    def _look(self, about: tuple[str, str, str], by: date, day: date) -> set[Said]:
        said = self.said.setdefault(about, {})
        if not said:
            return self._say(about, "first", day)
        if day >= by and "second" not in said and said["first"] < day:
            return self._say(about, "second", day)
        late = (day - by).days >= 3 and "supervisor" not in said
        return self._say(about, "supervisor", day) if late else set()

    def _say(self, about: tuple[str, str, str], step: str, day: date) -> set[Said]:
        self.said[about][step] = day
        return {(*about, step)}


def as_said(logbook: Logbook, points: list[list[str]]) -> set[Said]:
    """What nudges say, by door: their subjects hold defects by number."""
    found = read_defects(logbook, Targets()).all
    told = set[Said]()
    for kind, *subject, step in points:
        if kind == "door":
            _, _, number, due, _ = subject
        else:
            number, due = found[int(subject[0])].door[2], subject[1]
        told.add((kind, number, due, step))
    return told


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    settings = tmp_path / "doorround.toml"
    settings.write_text('[reminders]\ncountry = "GB"\nregion = "ENG"\n')
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path))
    monkeypatch.setenv("DOORROUND_ZONE", "Europe/London")
    monkeypatch.setenv("DOORROUND_SETTINGS", str(settings))
    return tmp_path


@pytest.mark.parametrize("began", SPANS.values(), ids=list(SPANS))
def test_what_is_said_agrees_with_the_ledger_day_by_day(began: date, home: Path) -> None:
    steps = set[str]()
    with Logbook.open(home / "logbook.db", "Europe/London") as logbook:
        estate = BusyEstate(logbook, began, began.toordinal())
        for name in ("Ines", "Sam", "Mona"):
            Chats(logbook).belong(f"telegram/{name}", name)
        mail = Mail(estate)
        for day in (began + timedelta(days=nth) for nth in range(42)):
            wanted = mail.of(day)
            if day.toordinal() % 6 == 0:
                assert as_said(logbook, by_command(day)) == wanted, day
            sent = send_nudges(logbook, PLAN, estate.at(day, 8.5))
            points = [[*each.subject, each.step] for nudge in sent for each in nudge.points]
            assert as_said(logbook, points) == wanted, day
            Outbox(logbook).sent({each.id: "1" for each in Outbox(logbook).deferrable()})
            steps |= {f"{kind} {step}" for kind, _, _, step in wanted}
            estate.live(day)
    assert {"door first", "door second", "door supervisor"} <= steps
    assert {"defect first", "look first"} <= steps


def by_command(day: date) -> list[list[str]]:
    done = CliRunner().invoke(app, ["reminders", "--dry-run", "--on", day.isoformat(), "--json"])
    assert done.exit_code == 0, done.output
    return [each for line in done.stdout.splitlines() for each in json.loads(line)["said"]]


def test_the_holidays_of_the_ledger_are_working_days_else() -> None:
    assert all(day.weekday() < 5 for day in HOLIDAYS)
    spans = [(began, began + timedelta(days=41)) for began in SPANS.values()]
    assert all(any(first <= day <= last for first, last in spans) for day in HOLIDAYS)
