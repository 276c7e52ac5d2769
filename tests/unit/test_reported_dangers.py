"""A danger that got neither a yes nor a no is told as reported."""

from __future__ import annotations

from datetime import timedelta

from kept_visit import LEAF, Kept, to
from test_danger_alerts import logbook
from visits import NOON, Visit

from doorround.domain.schedule.plan import Plan
from doorround.logbook.defects import read_defects
from doorround.logbook.store import Logbook
from doorround.reminders.ticker import Ticker

__all__ = ["logbook"]


def test_a_danger_that_got_neither_yes_nor_no_is_told_as_reported_once_and_taken_back_when_denied(
    logbook: Logbook,
) -> None:
    visit = Kept(logbook).go_to("clear")
    visit.type("maybe wedged open")
    assert to(logbook, "Mona") == []
    visit.type("skip")
    [told] = to(logbook, "Mona")
    assert (
        told.startswith("⚠️ REPORTED, NOT CONFIRMED: door 12, ") and "Doorway: wedged open." in told
    )
    assert "If so: Take the wedge away now" in told and "Reported by Robin, 12:00" in told
    assert to(logbook, "Olu") == [told] and to(logbook, "Robin") == []
    assert not read_defects(logbook, Plan().defects).open
    Ticker(logbook, Plan()).tick(NOON + timedelta(minutes=5))
    assert to(logbook, "Mona") == [told]
    visit.type("finish", "no")
    assert to(logbook, "Mona")[1:] == ["Door 12: doorway: wedged open. Robin has taken that back."]


def test_a_reported_danger_that_is_confirmed_is_told_as_one_and_taken_back_once(
    logbook: Logbook,
) -> None:
    visit = Kept(logbook).go_to("clear")
    visit.type("maybe wedged open", "skip")
    visit.type("change doorway", "wedged open", "skip")
    heads = [text.partition(":")[0] for text in to(logbook, "Mona")]
    assert heads == ["⚠️ REPORTED, NOT CONFIRMED", "⚠️ ACT NOW"]
    visit.type("change doorway", "took the wedge out", "yes")
    assert to(logbook, "Mona")[2:] == [
        "Door 12: doorway: wedged open. Robin has put that right on the spot."
    ]


def test_what_was_reported_where_no_messenger_was_is_told_by_the_next_minute_with_its_own_time(
    logbook: Logbook,
) -> None:
    visit = Visit(LEAF).go_to("clear")
    for words in ("maybe wedged open", "skip"):
        visit.type(words)
        logbook.keep("chat", None, visit.turn)
    ticker = Ticker(logbook, Plan())
    ticker.tick(NOON + timedelta(minutes=1))
    assert to(logbook, "Mona") == []
    ticker.tick(NOON + timedelta(minutes=31))
    [told] = to(logbook, "Mona")
    assert "NOT CONFIRMED" in told and "Robin, 12:00" in told
