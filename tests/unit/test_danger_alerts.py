"""A danger reaches every supervisor of the site at once, and once: when it is sure, or stands for
two minutes.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from kept_visit import LEAF, Kept, outbounds, to
from visits import CHECKLIST, NOON

from doorround.channels.messenger.query_handler import QueryHandler
from doorround.dialogue.turn import start_check
from doorround.domain.alerts import Reach, dangers, sure_dangers
from doorround.domain.defects import DeedKind
from doorround.domain.query import read_query
from doorround.domain.schedule.plan import Plan
from doorround.logbook.chats import Chats
from doorround.logbook.defect_deeds import act
from doorround.logbook.defects import read_defects
from doorround.logbook.people import People
from doorround.logbook.store import Logbook
from doorround.messages.alerts import for_supervisors
from doorround.messages.summaries import SHORT_CAUTION
from doorround.messages.summing_up import who_is_told
from doorround.reminders.alerts import Alerts
from doorround.reminders.ticker import Ticker


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    """Two supervisors, one of whom is of another site, and a caretaker who checks door 12 of Alder
    House.
    """
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        for name, role in (("Robin", "caretaker"), ("Mona", "supervisor"), ("Olu", "supervisor")):
            logbook.add_person(name, role, NOON)
            Chats(logbook).belong(f"telegram/{name}", name)
        logbook.add_door(LEAF, "Mona", NOON)
        logbook.begin("chat", start_check("c1", LEAF, "Robin", CHECKLIST, NOON))
        yield logbook


def test_what_may_still_be_taken_back_waits_for_the_next_answer(logbook: Logbook) -> None:
    visit = Kept(logbook).go_to("closer.full")
    visit.type("does not latch")
    assert to(logbook, "Mona") == []
    visit.type("no, closes fully", "yes")
    assert to(logbook, "Mona") == []
    visit.type("change closer", "does not latch", "closes fully")
    [told] = to(logbook, "Mona")
    assert to(logbook, "Olu") == [told] and to(logbook, "Robin") == []


def test_it_says_door_fault_what_to_do_and_who_found_it_and_leads_to_the_defect(
    logbook: Logbook,
) -> None:
    Kept(logbook).go_to("closer.full").type("does not latch", "closes fully")
    [outbound] = outbounds(logbook, "Mona")
    [defect] = read_defects(logbook, Plan().defects).open
    assert outbound.body.text.split("\n") == [
        f"⚠️ ACT NOW: door 12, {LEAF.where}, Alder House",
        f"Closer: {defect.finding.what}.",
        for_supervisors(defect.finding.do_now),
        "Found by Robin, 12:00. The door is out of action until it is fit again.",
        SHORT_CAUTION,
    ]
    assert outbound.body.taps == (f"defect {defect.id}", "show door 12")


def test_what_is_confirmed_by_a_yes_does_not_wait(logbook: Logbook) -> None:
    visit = Kept(logbook).go_to("closer.full")
    visit.type("does not latch")
    key = "closer.full"
    sure = visit.check.answers[key].model_copy(update={"confirmed": True})
    confirmed = visit.check.model_copy(update={"answers": {**visit.check.answers, key: sure}})
    assert not sure_dangers(visit.check) and list(sure_dangers(confirmed))


def test_nothing_goes_out_twice_however_often_it_is_looked_at(logbook: Logbook) -> None:
    visit = Kept(logbook).go_to("closer.full")
    visit.type("does not latch", "closes fully", "finish", "finish")
    for later in range(5):
        Alerts(logbook, Plan()).after_turn(visit.check, NOON + timedelta(hours=later))
        Ticker(logbook, Plan()).tick(NOON + timedelta(hours=later))
    assert sum("ACT NOW" in text for text in to(logbook, "Mona")) == 1


def test_a_caretaker_who_falls_silent_is_not_waited_for(logbook: Logbook) -> None:
    Kept(logbook).go_to("closer.full").type("does not latch")
    alerts = Alerts(logbook, Plan())
    assert alerts.tick(NOON + timedelta(seconds=119)) == 0
    assert alerts.tick(NOON + timedelta(seconds=120)) == 2
    assert alerts.tick(NOON + timedelta(seconds=180)) == 0


def test_what_was_told_in_the_silence_is_taken_back_too(logbook: Logbook) -> None:
    visit = Kept(logbook).go_to("closer.full")
    visit.type("does not latch")
    Alerts(logbook, Plan()).tick(NOON + timedelta(minutes=3))
    visit.type("no, closes fully", "yes")
    assert [text.split(":")[0] for text in to(logbook, "Mona")] == ["⚠️ ACT NOW", "Door 12"]


def test_what_was_found_more_than_a_day_ago_is_left_to_the_reminders(logbook: Logbook) -> None:
    Kept(logbook).go_to("closer.full").type("does not latch")
    assert Alerts(logbook, Plan()).tick(NOON + timedelta(hours=24)) == 0


def test_whoever_was_told_hears_that_it_was_taken_back_or_put_right_and_that_it_came_again(
    logbook: Logbook,
) -> None:
    visit = Kept(logbook).go_to("closer.full")
    visit.type("does not latch", "closes fully", "change closer", "closes fully", "yes")
    assert to(logbook, "Mona")[1].endswith(". Robin has taken that back.")
    visit.type("change closer", "does not latch", "closes fully")
    assert [text.split(":")[0] for text in to(logbook, "Mona")] == [
        "⚠️ ACT NOW",
        "Door 12",
        "⚠️ ACT NOW",
    ]


def test_a_wedge_moved_at_once_alarms_nobody_and_one_moved_later_is_said_to_be_moved(
    logbook: Logbook,
) -> None:
    visit = Kept(logbook)
    assert visit.check.open == "clear"
    visit.type("wedged open", "no, wedge removed")
    assert to(logbook, "Mona") == []


def test_a_defect_made_good_and_seen_again_is_told_again(logbook: Logbook) -> None:
    visit = Kept(logbook).go_to("closer.full")
    visit.type("does not latch")
    visit.all_well().type("finish")
    [defect] = read_defects(logbook, Plan().defects).open
    act(
        logbook,
        defect,
        DeedKind.MADE_GOOD,
        "Mona",
        NOON + timedelta(hours=1),
        "latch eased",
        no_photo="too dark",
    )
    later = NOON + timedelta(days=1)
    turn = start_check("c2", LEAF, "Robin", CHECKLIST, later)
    logbook.begin("chat", turn)
    again = Kept(logbook)
    again.turn = turn
    again.go_to("closer.full").type("does not latch", "closes fully")
    assert sum("ACT NOW" in text for text in to(logbook, "Mona")) == 2


def test_the_number_told_lives_on_after_the_spot_and_the_signature(logbook: Logbook) -> None:
    visit = Kept(logbook)
    visit.type("hooked open")
    Alerts(logbook, Plan()).tick(NOON + timedelta(minutes=3))
    [outbound] = outbounds(logbook, "Mona")
    number = int(outbound.body.taps[0].removeprefix("defect "))
    mona = People(logbook).person("Mona")

    def ask(words: str) -> str:
        told = QueryHandler(logbook, Plan()).answer(mona, read_query(words), NOON)  # type: ignore[arg-type]
        assert told is not None
        return told.say[0].text

    assert ask(f"give defect {number} to Robin").startswith("Robin now has defect")
    visit.type("no, unhooked it", "yes")
    assert "Robin has put that right on the spot" in to(logbook, "Mona")[1]
    told = ask(f"defect {number}")
    assert (
        told.startswith(f"Defect {number}, door 12")
        and "closed, 2 March 2026 by Robin, on the spot" in told
    )
    assert "assigned to Robin" in told
    visit.all_well().type("finish")
    assert ask(f"defect {number}") == told


def test_the_time_of_finding_is_told_and_not_that_of_telling(logbook: Logbook) -> None:
    Kept(logbook).go_to("closer.full").type("does not latch")
    Alerts(logbook, Plan()).tick(NOON + timedelta(hours=13))
    [told] = to(logbook, "Mona")
    assert "Found by Robin, 2 March 12:00." in told


def test_the_signature_says_who_is_told_or_that_nobody_is(logbook: Logbook) -> None:
    alerts = Alerts(logbook, Plan())
    visit = Kept(logbook).go_to("closer.full")
    assert alerts.reach(visit.check, NOON) == Reach(("Mona", "Olu"))
    night = NOON.replace(hour=22)
    assert alerts.reach(visit.check, night).at_once
    assert not Alerts(logbook, Plan(danger_breaks_quiet=False)).reach(visit.check, night).at_once


def test_a_danger_that_stands_since_an_earlier_check_is_not_said_to_be_on_its_way(
    logbook: Logbook,
) -> None:
    visit = Kept(logbook).go_to("closer.full")
    visit.type("does not latch")
    visit.all_well().type("finish")
    turn = start_check("c2", LEAF, "Robin", CHECKLIST, NOON + timedelta(days=1))
    logbook.begin("chat", turn)
    again = Kept(logbook)
    again.turn = turn
    again.go_to("closer.full").type("does not latch", "closes fully")
    assert sum("ACT NOW" in text for text in to(logbook, "Mona")) == 1
    reach = again.alerts.reach(again.check, NOON)
    assert reach.known == frozenset(dangers(again.check)) != frozenset()
    assert "had a message about the danger already" in who_is_told(reach, dangers(again.check))
    assert "on its way to Mona and Olu" in who_is_told(reach, {"leaf.missing"})


@pytest.mark.parametrize(
    ("do_now", "left"),
    [
        ("Do not swing the door. Tell the supervisor at once.", "Do not swing the door."),
        ("Push it shut and tell the supervisor at once.", "Push it shut."),
        (
            "Move it now if that is safe, else tell the supervisor at once.",
            "Move it now if that is safe.",
        ),
        ("Tell the supervisor at once; keep the door shut.", "Keep the door shut."),
        ("Lock it.", "Lock it."),
    ],
)
def test_a_supervisor_is_not_told_to_tell_the_supervisor(do_now: str, left: str) -> None:
    assert for_supervisors(do_now) == left


def test_no_fault_of_the_checklist_tells_the_supervisor_to_tell_the_supervisor() -> None:
    texts = [for_supervisors(fault.do_now) for fault in CHECKLIST.defect]
    assert [
        text
        for text in texts
        if "tell the supervisor" in text.lower() or text.startswith((",", ";"))
    ] == []
