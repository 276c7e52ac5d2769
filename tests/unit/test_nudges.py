"""Who is reminded of what, when: first, second, then the supervisor; nothing twice, nothing by
night.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
import small_visit as visit
from post import deliver

from doorround.domain.defects import DeedKind
from doorround.domain.door import Use
from doorround.domain.schedule.nudges import Nudge
from doorround.domain.schedule.plan import Plan
from doorround.domain.values import CannotCheck, Value
from doorround.logbook.alert_log import Alert, put_alert
from doorround.logbook.chats import Chats
from doorround.logbook.defect_deeds import act, put_out
from doorround.logbook.defects import read_defects
from doorround.logbook.due import refuse_access
from doorround.logbook.errors import LogbookError
from doorround.logbook.handover import hand_over
from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.recordings import own_data
from doorround.logbook.reminder_log import snooze, take_days_off
from doorround.logbook.store import Logbook
from doorround.reminders.calendar import is_free
from doorround.reminders.nudges import nudges_of, send_nudges

MONDAY = date(2026, 3, 2)
PLAN = Plan(country="GB", region="ENG")


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    """Two caretakers, a supervisor, and a corridor door that is checked on Monday by Ines."""
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        for name, role in (("Ines", "caretaker"), ("Sam", "caretaker"), ("Mona", "supervisor")):
            logbook.add_person(name, role, visit.at(-9))
            Chats(logbook).belong(f"telegram/{name}", name)
        logbook.add_door(visit.door(use=Use.CORRIDOR), "Mona", visit.at(-5))
        check(logbook, 0)
        yield logbook


def check(logbook: Logbook, day: int, seals: Value = visit.SOUND) -> None:
    visit.keep_check(logbook, visit.door(use=Use.CORRIDOR), f"c{day}", day * 1440, seals)


def tick(logbook: Logbook, day: int, hour: float = 9, plan: Plan = PLAN) -> list[tuple[str, str]]:
    """Who is written to at that hour of the so-many-th day, and the first line."""
    midnight = datetime(2026, 3, 2, tzinfo=UTC) + timedelta(days=day)
    sent = [
        (nudge.to, nudge.text.split("\n")[0])
        for nudge in send_nudges(logbook, plan, midnight + timedelta(hours=hour))
    ]
    deliver(logbook)
    return sent


def days(logbook: Logbook, *which: int) -> dict[int, list[tuple[str, str]]]:
    return {day: told for day in which if (told := tick(logbook, day))}


def test_first_to_the_minder_then_again_then_to_the_supervisor_and_no_more(
    logbook: Logbook,
) -> None:
    # due on Monday the 9th; the 14th and 15th are a weekend
    assert days(logbook, *range(22)) == {
        7: [("Ines", "To be checked: 1 door.")],
        9: [("Ines", "Still to be checked: 1 door.")],
        11: [("Mona", "Not checked after two reminders: 1 door.")],
    }


def test_every_message_is_in_the_outbox_and_the_chain(logbook: Logbook) -> None:
    tick(logbook, 7)
    [outbound] = Outbox(logbook).all("telegram/Ines")
    assert outbound.body.text == "To be checked: 1 door.\n· 14, East, 1"
    assert outbound.body.taps == ("next door", "snooze")
    assert logbook.entries()[-1].kind == "reminded"
    assert logbook.verify() == []


def test_a_check_ends_it_and_begins_it_anew(logbook: Logbook) -> None:
    assert days(logbook, 7)
    check(logbook, 7)
    assert days(logbook, *range(8, 14)) == {}
    assert days(logbook, 14) == {14: [("Ines", "To be checked: 1 door.")]}


def test_after_days_of_downtime_there_is_one_message(logbook: Logbook) -> None:
    for nth in range(40):
        logbook.add_door(visit.door(str(100 + nth), use=Use.CORRIDOR), "Mona", visit.at(nth))
    [(to, line)] = tick(logbook, 29)
    assert (to, line) == ("Ines", "To be checked: 41 doors.")
    [outbound] = Outbox(logbook).all("telegram/Ines")
    assert all(str(100 + nth) in outbound.body.text for nth in range(40))
    assert tick(logbook, 29, 9.5) == []


@pytest.mark.parametrize("hour", [0, 6.99, 7.5, 19, 23.9])
def test_nothing_goes_out_before_the_hour_or_in_quiet_hours(logbook: Logbook, hour: float) -> None:
    assert tick(logbook, 7, hour) == []
    assert tick(logbook, 7, 12) != []


def test_hours_are_those_of_the_site_on_both_sides_of_a_clock_change(logbook: Logbook) -> None:
    # 27 March is a Friday in winter time, 30 March a Monday in summer time
    friday = datetime(2026, 3, 27, tzinfo=UTC)
    monday = datetime(2026, 3, 30, tzinfo=UTC)
    assert send_nudges(logbook, PLAN, friday + timedelta(hours=7.9)) == []
    assert len(send_nudges(logbook, PLAN, friday + timedelta(hours=8))) == 1
    assert send_nudges(logbook, PLAN, monday + timedelta(hours=6.9)) == []
    assert len(send_nudges(logbook, PLAN, monday + timedelta(hours=7))) == 1
    # 23 October is a Friday in summer time, 26 October a Monday in winter time
    friday = datetime(2026, 10, 23, tzinfo=UTC)
    monday = datetime(2026, 10, 26, tzinfo=UTC)
    assert send_nudges(logbook, PLAN, friday + timedelta(hours=6.9)) == []
    assert len(send_nudges(logbook, PLAN, friday + timedelta(hours=7))) == 1
    assert send_nudges(logbook, PLAN, monday + timedelta(hours=7.9)) == []
    assert len(send_nudges(logbook, PLAN, monday + timedelta(hours=8))) == 1


def test_a_door_that_is_out_of_action_is_called_so_in_the_reminder(logbook: Logbook) -> None:
    put_out(logbook, visit.door(use=Use.CORRIDOR), "leaf taken off", "Mona", visit.at(1440))
    tick(logbook, 7)
    [outbound] = Outbox(logbook).all("telegram/Ines")
    assert "· 14" in outbound.body.text and outbound.body.text.endswith("OUT OF ACTION")


def test_a_defect_leads_on_by_a_button_and_is_not_said_again_on_the_day_of_its_alarm(
    logbook: Logbook,
) -> None:
    check(logbook, 2, visit.PAINTED)
    [defect] = read_defects(logbook, PLAN.defects).open
    alert = Alert("alarm/x", "Mona", defect.door, defect.finding.rule, "0.0", "c2", "painted")
    put_alert(logbook, alert, "telegram/Mona", Outgoing("ACT NOW"), visit.at(2 * 1440))
    assert tick(logbook, 2) == []
    assert [to for to, _ in tick(logbook, 3)] == ["Mona"]
    assert Outbox(logbook).all("telegram/Mona")[-1].body.taps == (f"defect {defect.id}", "snooze")


def test_weekends_and_public_holidays_are_left_alone() -> None:
    assert [is_free(PLAN, date(2026, 4, day)) for day in (2, 3, 4, 5, 6, 7)] == [
        False,
        True,
        True,
        True,
        True,
        False,
    ]
    assert not is_free(Plan(days_off=frozenset()), date(2026, 4, 3))


def test_somebody_away_is_stood_in_for(logbook: Logbook) -> None:
    take_days_off(
        logbook, "Ines", MONDAY + timedelta(days=7), MONDAY + timedelta(days=9), "Ines", visit.at(5)
    )
    assert days(logbook, 7) == {7: [("Mona", "To be checked: 1 door.")]}
    with pytest.raises(LogbookError, match="cannot stand in"):
        take_days_off(logbook, "Ines", MONDAY, MONDAY, "Ines", visit.at(5), "Ines")
    later = MONDAY + timedelta(days=9)
    take_days_off(logbook, "Ines", later, later, "Ines", visit.at(5), "Sam")
    assert days(logbook, 9) == {9: [("Sam", "Still to be checked: 1 door.")]}
    with pytest.raises(LogbookError, match="Sam is away from 2026-03-02 to 2026-03-03 too"):
        take_days_off(logbook, "Sam", MONDAY, MONDAY + timedelta(days=1), "Sam", visit.at(5))
        take_days_off(logbook, "Ines", MONDAY, MONDAY, "Ines", visit.at(5), "Sam")


def test_a_round_handed_over_goes_to_the_other(logbook: Logbook) -> None:
    hand_over(logbook, "Ines", "Sam", "Mona", visit.at(1440))
    assert days(logbook, 7) == {7: [("Sam", "To be checked: 1 door.")]}


def test_who_cannot_be_written_to_is_stood_in_for(logbook: Logbook) -> None:
    Chats(logbook).unreachable("telegram/Ines", "blocked")
    assert days(logbook, 7) == {7: [("Sam", "To be checked: 1 door.")]}


def test_a_snooze_puts_off_and_forgets_nothing(logbook: Logbook) -> None:
    snooze(logbook, "Ines", 2, visit.at(7 * 1440))
    assert days(logbook, 7, 8) == {}
    assert days(logbook, 9, 11) == {
        9: [("Ines", "To be checked: 1 door.")],
        11: [("Ines", "Still to be checked: 1 door.")],
    }
    with pytest.raises(LogbookError, match="At most 3 days in a row"):
        snooze(logbook, "Ines", 30, visit.at(30 * 1440))


def test_nobody_snoozes_without_end(logbook: Logbook) -> None:
    """Three days in a row, whatever the steps; and no door stays unsaid three days past its day."""
    snooze(logbook, "Ines", 2, visit.at(5 * 1440))
    snooze(logbook, "Ines", 1, visit.at(7 * 1440))
    with pytest.raises(LogbookError, match="You have had them"):
        snooze(logbook, "Ines", 1, visit.at(8 * 1440))
    assert days(logbook, 7) == {}
    # Monday the 9th was the day; left alone again from the 10th to the 13th
    snooze(logbook, "Ines", 3, visit.at(9 * 1440))
    assert days(logbook, 9, 10) == {10: [("Ines", "To be checked: 1 door.")]}


def test_a_repair_is_to_be_looked_at_and_said_so_until_it_was(logbook: Logbook) -> None:
    """Made good on Wednesday by Ines: Sam is told, again on the seventh day, then Mona."""
    check(logbook, 1, visit.PAINTED)
    [defect] = read_defects(logbook, PLAN.defects).open
    minute = 2 * 1440
    act(
        logbook, defect, DeedKind.MADE_GOOD, "Ines", visit.at(minute), "redone", no_photo="too dark"
    )
    line = "Repaired by Ines, to be looked at: door 14, seals painted over, "
    found = days(logbook, 2, 3, 8, 9, 10, 11, 14, 15)
    looks = [(day, *each) for day, told in found.items() for each in told if "looked" in each[1]]
    assert looks == [
        (2, "Sam", f"{line}by 11 March."),
        (9, "Sam", f"{line}by 11 March."),
        (14, "Mona", f"{line}5 days late."),
    ]


def test_a_door_out_of_action_for_long_is_not_nagged_as_unchecked(logbook: Logbook) -> None:
    put_out(logbook, visit.door(use=Use.CORRIDOR), "leaf taken off", "Mona", visit.at(1440))
    assert days(logbook, 7) and days(logbook, 9, 11, 14) == {}


def test_access_refused_is_tried_again_after_a_week(logbook: Logbook) -> None:
    refuse_access(logbook, visit.door(), "nobody in", "Ines", visit.at(7 * 1440))
    assert days(logbook, *range(7, 14)) == {}
    assert days(logbook, 14) == {14: [("Ines", "To be checked: 1 door.")]}
    check(logbook, 14, CannotCheck(reason="no access"))
    assert days(logbook, *range(15, 21)) == {}
    assert tick(logbook, 21) != []


def test_a_defect_is_followed_until_somebody_has_it_and_does_it(logbook: Logbook) -> None:
    check(logbook, 1, visit.PAINTED)
    told = {2: [("Mona", "Defect, door 14, seals painted over, by 10 March, nobody has it.")]}
    assert days(logbook, 2, 3) == told
    [defect] = read_defects(logbook, PLAN.defects).open
    act(
        logbook,
        defect,
        DeedKind.ASSIGNED,
        "Mona",
        visit.at(3 * 1440),
        to="Sam",
        by=date(2026, 3, 11),
        why="the part is ordered",
    )
    found = days(logbook, 3, 4, 7, 9, 10, 11, 14)
    mine = {day: [each for each in told if "seals" in each[1]] for day, told in found.items()}
    assert {day: each for day, each in mine.items() if each} == {
        3: [("Sam", "Defect, door 14, seals painted over, by 11 March.")],
        9: [("Sam", "Defect, door 14, seals painted over, by 11 March.")],
        14: [("Mona", "Defect, door 14, seals painted over, 5 days late.")],
    }


def test_a_dry_run_writes_nothing(logbook: Logbook) -> None:
    before = len(logbook.entries())
    first: list[Nudge] = nudges_of(logbook, PLAN, MONDAY + timedelta(days=7), visit.at(0))
    assert [nudge.to for nudge in first] == ["Ines"]
    assert len(logbook.entries()) == before
    assert Outbox(logbook).all("telegram/Ines") == []


def test_what_was_written_to_somebody_is_part_of_their_own_data(
    logbook: Logbook, tmp_path: Path
) -> None:
    tick(logbook, 7)
    take_days_off(logbook, "Ines", MONDAY, MONDAY, "Mona", visit.at(5))
    kinds = [entry["kind"] for entry in own_data(logbook, "Ines", tmp_path, visit.at(9))["entries"]]
    assert {"reminded", "days off"} <= set(kinds)
    assert "reminded" not in [
        entry["kind"] for entry in own_data(logbook, "Sam", tmp_path, visit.at(9))["entries"]
    ]
