"""A reminder that had to wait for the network does not arrive at night or on a day off, and is not
said twice.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
import small_visit as visit

from doorround.domain.door import Use
from doorround.domain.schedule.plan import Plan
from doorround.logbook.chats import Chats
from doorround.logbook.due import refuse_access
from doorround.logbook.outbox import OutboundMessage, Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.store import Logbook
from doorround.reminders.ticker import Ticker


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    """Ines minds a corridor door that is due on Monday 2 March 2026; Mona supervises."""
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        for name, role in (("Ines", "caretaker"), ("Mona", "supervisor")):
            logbook.add_person(name, role, visit.at(-9))
            Chats(logbook).belong(f"telegram/{name}", name)
        logbook.add_door(visit.door(use=Use.CORRIDOR), "Mona", visit.at(-5))
        yield logbook


def at(day: int, hour: int, minute: int = 0) -> datetime:
    """That time of a day of March 2026; London is at UTC then."""
    return datetime(2026, 3, day, hour, minute, tzinfo=UTC)


def tick(logbook: Logbook, day: int, hour: int) -> None:
    Ticker(logbook, Plan()).tick(at(day, hour))


def outbounds(logbook: Logbook, name: str, *states: str) -> list[OutboundMessage]:
    return [
        each
        for each in Outbox(logbook).all(f"telegram/{name}")
        if each.state in (states or ("waiting", "sent"))
    ]


def may_come(
    logbook: Logbook, outbound: OutboundMessage, now: datetime, plan: Plan | None = None
) -> bool:
    return Ticker(logbook, plan or Plan()).may_come(outbound, now)


def test_a_nudge_may_come_on_its_day_until_the_quiet_hours_and_no_later(logbook: Logbook) -> None:
    tick(logbook, 2, 9)
    [nudge] = outbounds(logbook, "Ines")
    come = {
        moment: may_come(logbook, nudge, moment)
        for moment in (at(2, 18, 59), at(2, 19), at(3, 6), at(3, 7, 30))
    }
    assert list(come.values()) == [True, False, False, False]


def test_a_summary_may_come_when_the_quiet_hours_end_but_on_no_day_off(logbook: Logbook) -> None:
    tick(logbook, 6, 17)
    [summary] = [
        each for each in outbounds(logbook, "Mona") if each.key.startswith("summary/weekly")
    ]
    come = [
        may_come(logbook, summary, moment)
        for moment in (at(6, 18), at(6, 20), at(7, 12), at(8, 12), at(9, 7))
    ]
    assert come == [True, False, False, False, True]


def test_a_nudge_that_did_not_arrive_is_said_anew_once_and_as_the_first(logbook: Logbook) -> None:
    tick(logbook, 2, 9)
    tick(logbook, 3, 9)
    [nudge] = outbounds(logbook, "Ines", "waiting")
    assert (
        nudge.body.text.startswith("To be checked: 1 door.\n· 14")
        and "1 day late" in nudge.body.text
    )
    Outbox(logbook).sent({nudge.id: "7"})
    tick(logbook, 4, 9)
    tick(logbook, 5, 9)
    assert [each.body.text.split(":")[0] for each in outbounds(logbook, "Ines")] == [
        "To be checked",
        "Still to be checked",
    ]
    assert logbook.verify() == []


def test_one_that_may_have_arrived_is_said_anew_rather_than_not_at_all(logbook: Logbook) -> None:
    tick(logbook, 2, 9)
    [nudge] = outbounds(logbook, "Ines")
    assert Outbox(logbook).sending(nudge.id)
    tick(logbook, 3, 9)
    [anew] = outbounds(logbook, "Ines", "sending", "waiting")
    assert anew.body.text.startswith("To be checked") and not Outbox(logbook).sending(nudge.id)


def test_started_again_on_the_same_day_it_is_not_taken_back(logbook: Logbook) -> None:
    for _ in range(3):
        tick(logbook, 2, 9)
    assert len(outbounds(logbook, "Ines")) == 1


def test_what_is_done_by_then_is_not_said_at_all(logbook: Logbook) -> None:
    tick(logbook, 2, 9)
    refuse_access(logbook, visit.door(), "nobody in", "Ines", at(2, 20))
    tick(logbook, 3, 9)
    assert outbounds(logbook, "Ines") == []
    # tried in vain: said again a week later, by then for the first time
    tick(logbook, 9, 9)
    assert [each.body.text.split(":")[0] for each in outbounds(logbook, "Ines")] == [
        "To be checked"
    ]


def test_the_next_daily_summary_stands_for_those_that_did_not_arrive(logbook: Logbook) -> None:
    for day in (3, 4, 5):
        tick(logbook, day, 17)
    [summary] = outbounds(logbook, "Mona", "waiting")
    assert "\nThursday 5 March, since Tuesday: " in summary.body.text
    Outbox(logbook).sent({summary.id: "7"})
    tick(logbook, 6, 17)
    [weekly] = outbounds(logbook, "Mona", "waiting")
    assert "The week up to Friday 6 March" in weekly.body.text


def test_a_danger_is_held_only_where_the_settings_say_so(logbook: Logbook) -> None:
    Outbox(logbook).put(
        "telegram/Mona", "alarm", 0, Outgoing("ACT NOW", reminder="alarm"), at(2, 20)
    )
    [alert] = outbounds(logbook, "Mona")
    assert [may_come(logbook, alert, moment) for moment in (at(2, 21), at(3, 7), at(7, 8))] == [
        False,
        True,
        True,
    ]


def test_what_is_held_keeps_nothing_behind_it_waiting(logbook: Logbook) -> None:
    outbox = Outbox(logbook)
    outbox.put("telegram/Mona", "a", 0, Outgoing("summary", reminder="summary"), at(2, 20))
    outbox.put("telegram/Mona", "b", 0, Outgoing("an answer"), at(2, 20))
    [held] = outbox.deferrable()
    assert [each.body.text for each in outbox.next_per_chat([held.id])] == ["an answer"]
    assert [each.body.text for each in outbox.next_per_chat()] == ["summary"]
