"""The supervisor's summary: ten seconds to read, act now first; a picture that needs no colour;
once, at its hour.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from summary_periods import BUSY, TUESDAY, a_defect, a_due, a_span

from doorround.domain.defects import State
from doorround.domain.judging.severity import Severity
from doorround.domain.summary import Visit
from doorround.messages.summaries import summary_of


def test_a_busy_day_says_what_cannot_wait_first() -> None:
    assert summary_of(BUSY).text.split("\n") == [
        "⚠️ Out of action: 14, ground floor, by the lift: seals painted over since 3 March"
        " (nobody has it)",
        "⚠️ Out of action: 77: leaf off since 1 March",
        "Late: 30 (9 days), 9 (4)",
        "Due today, not done: 1 door",
        "Defect late: 15, seals painted over, 3 days (Sam)",
        "Tuesday 3 March: 11 checks, 1 without access, 2 new defects",
    ]


USUAL = (("9", 4), ("30", 9), ("31", 1), ("5", 1), ("6", 1))


def test_a_usual_day_takes_at_most_45_words() -> None:
    """One door out of action, five late, a repair to look at, eleven checks."""
    out = replace(a_defect(1, Severity.ACT_NOW, to="Sam"), times=1)
    mended = replace(a_defect(2, Severity.SOON, "12"), state=State.MADE_GOOD, look_by=TUESDAY)
    usual = a_span(
        due=[
            a_due(str(number), late) for number, late in ((9, 4), (30, 9), (31, 1), (5, 1), (6, 1))
        ],
        visits=BUSY.visits,
        defects=[out, mended],
        places={("S", "B", "14"): "by the lift"},
        after=1,
    )
    text = summary_of(usual).text
    assert len(text.split()) <= 45, text
    assert text.split("\n")[1:] == [
        "Late: 30 (9 days), 9 (4), 31 (1), 2 more",
        "Repaired, to look at: 12 by 3 March",
        "Tuesday 3 March: 11 checks, 1 without access, 1 new defect",
    ]
    assert " 0 " not in text and "up from" not in text


def test_a_door_that_is_repaired_and_not_looked_at_is_still_told_as_out_of_action() -> None:
    """The door's own message says that it stays so until somebody has looked."""
    grave = replace(a_defect(1, Severity.ACT_NOW), state=State.MADE_GOOD, look_by=TUESDAY)
    soon = replace(a_defect(2, Severity.SOON, "12"), state=State.MADE_GOOD)
    assert grave.out_of_action and not soon.out_of_action
    line = "Repaired, to look at: 14 by 3 March (out of action), 12"
    assert line in summary_of(a_span(defects=[grave, soon], after=1)).text.split("\n")


def test_a_week_tells_who_did_it_who_has_what_and_what_became_better() -> None:
    week = replace(BUSY, long=True, snoozed=(("Sam", date(2026, 3, 5), 2),))
    lines = summary_of(week).text.split("\n")
    assert lines[-4:] == [
        "Snoozed: Sam until 5 March, 2 doors waiting",
        "Tuesday 3 March: 11 checks (Ines 7, Sam 4), 1 without access, 2 new defects",
        "Open: 3 defects (nobody 2, Sam 1 (1 late))",
        "Since 2 Mar: overdue down from 6 to 2, checks down from 30 to 11",
    ]
    assert len(lines) <= 12


def test_its_buttons_lead_to_the_defect_the_door_and_the_person() -> None:
    assert summary_of(BUSY).taps == (
        "give defect 1",
        "defect 2",
        "show door 30",
        "what is due",
        "who is late",
    )


def test_a_bad_day_is_still_read_in_ten_seconds() -> None:
    many = a_span(
        due=[a_due(str(n), n) for n in range(200)],
        visits=[Visit(TUESDAY, ("S", "B", "1"), f"person {n}", True) for n in range(30)],
        defects=[a_defect(n, Severity.ACT_NOW, str(n), f"person {n}") for n in range(60)],
        trend=BUSY.trend,
    )
    text = summary_of(many).text
    # 300 words a minute, a usual pace of reading, is 50 in ten seconds; a number or a name is taken
    # in at a glance
    words = [word for word in text.split() if word.strip("⚠️·,.()×:").isalpha()]
    assert len(words) <= 65 and len(text.split("\n")) <= 12
    assert "And 57 more out of action" in text


def test_a_silent_day_is_one_line() -> None:
    found = summary_of(a_span())
    assert (found.text, found.silent, found.taps) == (
        "Tuesday 3 March: nothing due, nothing done, nothing wrong.",
        True,
        (),
    )
