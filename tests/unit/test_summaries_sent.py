"""When a summary is sent, to whom, and that each check and each change is in exactly one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from unittest.mock import patch

import pytest
import small_visit as visit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from post import deliver

from doorround.domain.defects import ChangeKind, DeedKind
from doorround.domain.door import Use
from doorround.domain.judging.severity import Targets
from doorround.domain.people import Role
from doorround.domain.schedule.plan import Plan
from doorround.domain.summary import Period
from doorround.domain.values import CannotCheck, Value
from doorround.logbook.chats import Chats
from doorround.logbook.defect_deeds import act
from doorround.logbook.defects import read_defects
from doorround.logbook.errors import LogbookError
from doorround.logbook.outbox import Outbox
from doorround.logbook.people import People
from doorround.logbook.period import read_period
from doorround.logbook.store import Logbook
from doorround.messages.summary_picture import STATES
from doorround.reminders.summaries import kinds_of, send_summaries
from doorround.reports.chart import days_and_months
from doorround.reports.summary import Frequency, report
from tests.whole import so_many

# ---- from the logbook to the outbox


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        for name, role in (("Ines", "caretaker"), ("Mona", "supervisor")):
            logbook.add_person(name, role, visit.at(-9))
            Chats(logbook).belong(f"telegram/{name}", name)
        logbook.add_door(visit.door(use=Use.CORRIDOR), "Mona", visit.at(-5))
        yield logbook


def check(logbook: Logbook, day: int, seals: Value = visit.SOUND, hour: float = 8) -> None:
    minute = day * 1440 + (hour - 8) * 60
    visit.keep_check(logbook, visit.door(use=Use.CORRIDOR), f"c{day}", minute, seals)


def sent(logbook: Logbook, day: int, hour: float = 16.5) -> list[str]:
    now = datetime(2026, 3, 2, tzinfo=UTC) + timedelta(days=day, hours=hour)
    texts = [made.summary.text for made in send_summaries(logbook, Plan(), now)]
    deliver(logbook)
    return texts


def test_the_summary_of_a_day_is_as_it_stood_at_its_end(logbook: Logbook) -> None:
    check(logbook, 0, visit.PAINTED)
    [defect] = read_defects(logbook, Plan().defects).open
    act(
        logbook, defect, DeedKind.MADE_GOOD, "Ines", visit.at(1440), "replaced", no_photo="too dark"
    )
    monday, tuesday = (
        report(logbook, Plan(), Frequency.DAY, date(2026, 3, day), None).summary.text
        for day in (2, 3)
    )
    assert monday == "Monday 2 March: 1 check (Ines 1), 1 new defect"
    assert tuesday == "Repaired, to look at: 14 by 10 March\nTuesday 3 March: 1 made good"
    late = report(logbook, Plan(), Frequency.DAY, date(2026, 3, 12), None).summary.text
    assert late.startswith("Late: 14 (3 days)\n")


def test_it_goes_to_the_supervisor_once_at_the_set_hour_on_working_days(logbook: Logbook) -> None:
    check(logbook, 0)
    assert sent(logbook, 0, 15.9) == []
    assert len(sent(logbook, 0)) == 1 and sent(logbook, 0, 17) == []
    [message] = Outbox(logbook).all("telegram/Mona")
    assert message.body.text.startswith("Monday 2 March: 1 check")
    assert message.body.picture["doors"] == dict.fromkeys(STATES, 0) | {"fine": 1}
    assert sent(logbook, 1)[0].startswith("Tuesday 3 March, since Monday 16:30: nothing due")
    assert Outbox(logbook).all("telegram/Mona")[1].body.picture is None
    assert sent(logbook, 5) == [] and sent(logbook, 2, 20) == []
    assert logbook.verify() == []


def test_days_without_the_bot_are_made_up_for_in_one(logbook: Logbook) -> None:
    sent(logbook, 0)
    check(logbook, 1)
    check(logbook, 5, CannotCheck(reason="no access"))
    [text] = sent(logbook, 7)
    assert text == "Monday 9 March, since 2 March 16:30: 1 check (Ines 1), 1 without access"


def test_a_week_and_a_month_end_with_their_own(logbook: Logbook) -> None:
    plan = Plan(country="GB", region="ENG")
    assert kinds_of(plan, date(2026, 3, 5)) == [Frequency.DAY]
    assert kinds_of(plan, date(2026, 3, 6)) == [Frequency.WEEK]
    assert kinds_of(plan, date(2026, 3, 31)) == [Frequency.MONTH]
    assert kinds_of(plan, date(2026, 7, 31)) == [Frequency.WEEK, Frequency.MONTH]
    # Good Friday
    assert kinds_of(plan, date(2026, 4, 2)) == [Frequency.WEEK]
    check(logbook, 0)
    [text] = sent(logbook, 4)
    assert text.split("\n")[0] == "The week up to Friday 6 March: 1 check (Ines 1)"
    assert "Since 23 Feb: checks up from 0 to 1" in text


def test_a_supervisor_hears_of_their_own_sites_only(logbook: Logbook) -> None:
    logbook.add_person("Kim", "supervisor", visit.at(0))
    People(logbook).change_role("Mona", Role.SUPERVISOR, ("Elm House",), "Mona", visit.at(0))
    check(logbook, 0, visit.PAINTED)
    assert sent(logbook, 0) == ["Monday 2 March: nothing due, nothing done, nothing wrong."]


def test_evening_and_weekend_work_is_in_the_next_daily_and_the_next_weekly(
    logbook: Logbook,
) -> None:
    assert len(sent(logbook, 4)) == 1  # the weekly in place of Friday's daily
    check(logbook, 5, hour=10)  # Saturday
    monday = sent(logbook, 7)
    check(logbook, 7, hour=17.5)  # Monday, after the hour of the summary
    tuesday = sent(logbook, 8)
    assert monday == ["Monday 9 March, since Friday 16:30: 1 check (Ines 1)"]
    assert "1 check (Ines 1)" in tuesday[0]
    assert "2 checks (Ines 2)" in sent(logbook, 11)[0]


STEPS = st.lists(
    st.tuples(
        st.sampled_from(("check", "fault", "good", "look", "back", "tick", "lost")),
        st.integers(1, 2000),
    ),
    min_size=1,
    max_size=25,
)


@settings(max_examples=so_many(20, 60), deadline=None, suppress_health_check=list(HealthCheck))
@given(STEPS)
def test_every_check_and_every_change_of_a_defect_is_in_exactly_one_daily(
    steps: list[tuple[str, int]],
) -> None:
    """steps: what happens, and how many minutes after the step before. lost: a tick whose message
    does not arrive.
    """
    told: list[Period] = []

    def keep(*given: object) -> Period:
        told.append(read_period(*given))  # type: ignore[arg-type]
        return told[-1]

    with (
        TemporaryDirectory() as folder,
        Logbook.open(Path(folder) / "logbook.db", "Europe/London") as logbook,
        patch("doorround.reports.summary.read_period", keep),
        patch("doorround.reminders.summaries.kinds_of", lambda plan, day: [Frequency.DAY]),
    ):
        logbook.add_person("Ines", "caretaker", visit.at(-9))
        logbook.add_person("Mona", "supervisor", visit.at(-9))
        Chats(logbook).belong("telegram/Mona", "Mona")
        minute = 0
        dailies = list[Period]()
        waiting = list[Period]()
        for nth, (what, gap) in enumerate([*steps, ("tick", 0)]):
            minute = minute + gap if gap else next_monday(minute)
            if what in ("tick", "lost"):
                made = send_summaries(logbook, Plan(), visit.at(minute))
                waiting = [told[0]] if made else waiting
                if what == "tick":
                    deliver(logbook)
                    dailies = [*dailies, *waiting]
                    waiting = []
                told.clear()
            else:
                happen(logbook, what, nth, minute)
        seen = [each.door for daily in dailies for each in daily.visits]
        doors = [(kept.site, kept.building, kept.door) for kept in logbook.checks()]
        assert sorted(seen) == sorted(doors)
        changes = Counter(
            change.what
            for each in read_defects(logbook, Targets()).all.values()
            for change in each.changes
        )
        assert (
            Counter({what: sum(daily.changed(what) for daily in dailies) for what in ChangeKind})
            == changes
        )


def next_monday(minute: int) -> int:
    """A Monday at half past four, a day later at least."""
    days = (minute // 1440 // 7 + 2) * 7
    return days * 1440 + 8 * 60 + 30


def happen(logbook: Logbook, what: str, nth: int, minute: int) -> None:
    """A check of a door of its own, or something done about the first defect that it can be done
    about.
    """
    if what in ("check", "fault"):
        door = visit.door(str(nth))
        logbook.add_door(door, "Mona", visit.at(minute))
        turn = visit.start(door, id=f"c{nth}", minute=minute)
        logbook.begin("chat", turn)
        turn = visit.answer(
            turn.check, "seals", visit.PAINTED if what == "fault" else visit.SOUND, minute
        )
        logbook.keep("chat", None, turn)
        logbook.keep("chat", None, visit.close(turn.check, minute))
        return
    deed = {"good": DeedKind.MADE_GOOD, "look": DeedKind.LOOKED_AT, "back": DeedKind.REOPENED}[what]
    for defect in read_defects(logbook, Targets()).all.values():
        with suppress(LogbookError):
            by = "Mona" if what == "look" else "Ines"
            act(logbook, defect, deed, by, visit.at(minute), "seals replaced", no_photo="too dark")
            return


def test_a_month_stands_below_its_first_day() -> None:
    assert days_and_months(["27 Feb", "28 Feb", "1 Mar", "2 Mar"]) == [
        "27\nFeb",
        "28\n ",
        "1\nMar",
        "2\n ",
    ]
    assert days_and_months(["Feb", "Mar"]) == ["Feb", "Mar"]
