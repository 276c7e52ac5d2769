"""A fault that waits for its read-back while the caretaker falls silent reaches the supervisor: as
reported, not confirmed; in the logbook, the summary and, where it is a danger, at once.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from kept_visit import LEAF, Kept, to
from test_danger_alerts import logbook
from visits import CHECKLIST, NOON, PASSES

from doorround.dialogue.turn import start_check
from doorround.domain.check import Stage
from doorround.domain.input_result import By, OffGrammar
from doorround.domain.schedule.plan import Plan
from doorround.logbook.store import Logbook
from doorround.reminders.ticker import Ticker
from doorround.reports.summary import Frequency, report

__all__ = ["logbook"]

DAY = NOON.date()
SPLIT = "Reported, not confirmed: 12, Mill House, first floor: Leaf, this side: split (Robin)"


def told(logbook: Logbook, day: date = DAY) -> list[str]:
    return report(logbook, Plan(), Frequency.DAY, day, None).summary.text.splitlines()


def tick(logbook: Logbook, minutes: float) -> None:
    Ticker(logbook, Plan()).tick(NOON + timedelta(minutes=minutes))


def kinds(logbook: Logbook, kind: str) -> list[dict[str, object]]:
    return [each.body for each in logbook.entries() if each.kind == kind]


def resumed(logbook: Logbook) -> Kept:
    """The visit as the logbook has it by now."""
    visit = Kept(logbook)
    check = logbook.position("chat")
    assert check is not None
    visit.turn = replace(visit.turn, check=check)
    return visit


def waiting(logbook: Logbook) -> Kept:
    visit = Kept(logbook).go_to("leaf.here")
    visit.type("I think it's split")
    assert visit.check.stage is Stage.CONFIRMING
    return visit  # type: ignore[return-value]


def test_it_is_in_the_summary_though_nothing_more_was_said(logbook: Logbook) -> None:
    waiting(logbook)
    tick(logbook, 3)
    assert told(logbook)[0] == SPLIT
    [entry] = kinds(logbook, "reported")
    assert (entry["question"], entry["heard"]) == ("leaf.here", "it's split")


def test_it_is_in_a_summary_that_is_printed_while_no_bot_runs(logbook: Logbook) -> None:
    waiting(logbook)
    assert told(logbook)[0] == SPLIT
    assert not kinds(logbook, "reported")


def test_it_is_entered_once_however_often_it_is_looked_at(logbook: Logbook) -> None:
    waiting(logbook)
    for minutes in (1, 3, 4, 60, 1440):
        tick(logbook, minutes)
    assert len(kinds(logbook, "reported")) == 1


def test_while_the_caretaker_may_still_be_looking_nothing_is_entered(logbook: Logbook) -> None:
    waiting(logbook)
    tick(logbook, 1)
    assert not kinds(logbook, "reported")


def test_the_read_back_stays_open_and_a_yes_enters_the_fault(logbook: Logbook) -> None:
    waiting(logbook)
    tick(logbook, 3)
    at_door = logbook.position("chat")
    assert at_door is not None and at_door.stage is Stage.CONFIRMING
    later = resumed(logbook)
    later.type("yes")
    assert later.meaning("leaf.here") == "split"
    assert SPLIT not in told(logbook)


def test_a_no_later_takes_it_out_of_the_summary(logbook: Logbook) -> None:
    waiting(logbook)
    tick(logbook, 3)
    resumed(logbook).type("no")
    assert [each["heard"] for each in kinds(logbook, "denied")] == ["it's split"]
    assert SPLIT not in told(logbook)


def test_the_day_that_is_past_still_tells_it(logbook: Logbook) -> None:
    waiting(logbook)
    tick(logbook, 3)
    logbook.note_alone("later", "Mona", NOON + timedelta(days=1))
    assert told(logbook)[0] == SPLIT
    assert told(logbook, DAY + timedelta(days=1))[0] == SPLIT


def test_what_was_left_at_an_open_check_and_signed_unconfirmed_is_told_until_the_next_check(
    logbook: Logbook,
) -> None:
    visit = waiting(logbook)
    visit.type("skip")
    assert told(logbook)[0] == SPLIT
    visit.go_to("leaf.here")
    visit.type("skip", "finish check", "finish check")
    assert visit.check.stage is Stage.SIGNED
    assert told(logbook)[0] == SPLIT
    logbook.begin("chat", start_check("c2", LEAF, "Robin", CHECKLIST, NOON))
    again = resumed(logbook)
    again.all_well().type("finish check")
    assert again.check.stage is Stage.SIGNED
    assert SPLIT not in told(logbook)


def test_it_is_told_on_where_the_next_check_leaves_that_part_out(logbook: Logbook) -> None:
    visit = waiting(logbook)
    visit.type("skip", "finish check", "finish check")
    logbook.begin("chat", start_check("c2", LEAF, "Robin", CHECKLIST, NOON))
    again = resumed(logbook).go_to("leaf.here")
    again.type("skip")
    while again.check.open not in (None, "leaf.here"):
        again.type(PASSES[again.check.open])
    again.type("finish check", "finish check")
    assert again.check.stage is Stage.SIGNED
    assert SPLIT in told(logbook)


def test_a_short_visit_that_looked_at_that_very_part_settles_it(logbook: Logbook) -> None:
    visit = waiting(logbook)
    visit.type("skip", "finish check", "finish check")
    assert told(logbook)[0] == SPLIT
    logbook.begin("chat", start_check("c2", LEAF, "Robin", CHECKLIST, NOON))
    again = resumed(logbook).go_to("leaf.here")
    again.type(PASSES["leaf.here"], "finish check", "finish check")
    assert again.check.stage is Stage.SIGNED
    assert SPLIT not in told(logbook)


def test_a_danger_that_nobody_answered_is_told_at_once_with_the_time_it_was_said(
    logbook: Logbook,
) -> None:
    visit = Kept(logbook).go_to("clear")
    visit.type("maybe wedged open")
    tick(logbook, 1)
    assert to(logbook, "Mona") == []
    tick(logbook, 31)
    [alarm] = to(logbook, "Mona")
    assert alarm.startswith("⚠️ REPORTED, NOT CONFIRMED: door 12, ")
    assert "Reported by Robin, 12:00" in alarm
    tick(logbook, 40)
    assert len(to(logbook, "Mona")) == 1


def test_a_pass_that_waits_for_its_read_back_is_nothing_to_tell(logbook: Logbook) -> None:
    visit = Kept(logbook).go_to("leaf.here")
    visit.type("I think it's fine")
    assert visit.check.stage is Stage.CONFIRMING
    tick(logbook, 3)
    assert not kinds(logbook, "reported")
    assert not any("Reported" in line for line in told(logbook))


def test_several_are_told_in_three_lines_and_a_number(logbook: Logbook) -> None:
    visit = waiting(logbook)
    for question, words in (
        ("glass.here", "I think cracked"),
        ("seals", "I think painted"),
        ("hinges.fixings", "maybe loose"),
    ):
        visit.type("skip")
        visit.go_to(question)
        visit.type(words)
    tick(logbook, 3)
    lines = [line for line in told(logbook) if "eported, not confirmed" in line]
    assert len(lines) == 4
    assert lines[3] == "And 1 more reported, not confirmed"


# ---- words that were not understood, and of which nobody says what they mean

BOOT = "someone's put their boot through it"
UNREAD = f"Reported, not confirmed: 12, Mill House, first floor: Leaf, this side: “{BOOT}” (Robin)"


def not_understood(logbook: Logbook, by: By = By.TYPING) -> Kept:
    visit = Kept(logbook).go_to("leaf.here")
    said = {"words": BOOT} if by is By.TYPING else {"transcript": BOOT, "audio_sha256": "ab" * 32}
    visit.take(OffGrammar(by=by, **said))  # type: ignore[arg-type]
    assert visit.check.open == "leaf.here"
    return visit  # type: ignore[return-value]


def test_words_not_understood_reach_the_supervisor_where_nobody_says_more(
    logbook: Logbook,
) -> None:
    not_understood(logbook)
    assert told(logbook)[0] == UNREAD
    tick(logbook, 1)
    assert not kinds(logbook, "reported")
    for minutes in (3, 4, 60):
        tick(logbook, minutes)
    [entry] = kinds(logbook, "reported")
    assert entry["heard"] == BOOT and told(logbook)[0] == UNREAD


def test_words_not_understood_stand_as_the_fault_that_is_made_of_them_later(
    logbook: Logbook,
) -> None:
    not_understood(logbook)
    tick(logbook, 3)
    later = resumed(logbook)
    assert later.check.open == "leaf.here"
    later.type("a fault, in my words")
    assert later.check.reported == ()
    [fault] = later.check.answers["leaf.here"].value.defects
    assert fault.words == BOOT
    later.type("finish check", "finish check")
    assert later.check.stage is Stage.SIGNED and UNREAD not in told(logbook)


def test_words_not_understood_and_left_behind_are_reported_once(logbook: Logbook) -> None:
    not_understood(logbook)
    tick(logbook, 3)
    later = resumed(logbook)
    later.type("skip")
    assert [each.question for each in later.check.reported] == ["leaf.here"]
    assert len(kinds(logbook, "reported")) == 1


def test_a_recording_not_understood_may_be_a_radio_and_is_not_reported(logbook: Logbook) -> None:
    not_understood(logbook, By.VOICE)
    tick(logbook, 3)
    assert not kinds(logbook, "reported")
