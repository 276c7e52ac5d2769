"""How often a door is checked, and why: the strictest interval wins, and the reason is told."""

from datetime import date

import pytest

from doorround.domain.door import Use
from doorround.domain.schedule.due import DoorStatus, due_day, outweighed
from doorround.domain.schedule.intervals import AppliedRule, HouseInterval, Intervals, strictest
from doorround.domain.schedule.recurrence import Recurrence, read_recurrence

LAST = date(2026, 1, 31)


@pytest.mark.parametrize(
    ("words", "last", "due"),
    [
        ("weekly", LAST, date(2026, 2, 7)),
        ("2 weeks", LAST, date(2026, 2, 14)),
        ("10 days", LAST, date(2026, 2, 10)),
        ("monthly", LAST, date(2026, 2, 28)),
        ("every 3 months", LAST, date(2026, 4, 30)),
        ("yearly", date(2024, 2, 29), date(2025, 2, 28)),
        # RFC 5545: the first Monday of the month; the last Friday; a fixed day, which skips months
        # that lack it
        ("FREQ=MONTHLY;BYDAY=1MO", LAST, date(2026, 2, 2)),
        ("RRULE:FREQ=MONTHLY;BYDAY=-1FR", LAST, date(2026, 2, 27)),
        ("FREQ=MONTHLY;BYMONTHDAY=31", LAST, date(2026, 3, 31)),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=MO", LAST, date(2026, 2, 9)),
        ("FREQ=YEARLY;BYMONTH=6;BYMONTHDAY=1", LAST, date(2026, 6, 1)),
    ],
)
def test_an_interval_counts_from_the_last_check(words, last, due):
    assert read_recurrence(words).after(last) == due


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("now and then", "is not an interval"),
        ("0 weeks", "is not an interval"),
        ("400 years", "is not an interval"),
        ("FREQ=HOURLY", "FREQ must be one of"),
        ("FREQ=WEEKLY;COUNT=3", "Leave COUNT and UNTIL out"),
        ("FREQ=WEEKLY;BYDAY=XX", "is not a rule of RFC 5545"),
        ("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30", "is not a rule of RFC 5545"),
        ("FREQ=YEARLY;INTERVAL=20", "more than ten years"),
    ],
)
def test_what_is_no_interval_is_refused_in_words(words, says):
    with pytest.raises(ValueError, match=says):
        read_recurrence(words)


@pytest.mark.parametrize(
    ("use", "intervals", "due", "why"),
    [
        (
            Use.CORRIDOR,
            Intervals(),
            date(2026, 2, 7),
            "in constant use (common practice, no source)",
        ),
        (
            Use.CUPBOARD,
            Intervals(),
            date(2026, 2, 28),
            "seldom opened: cupboard (common practice, no source)",
        ),
        (None, Intervals(), date(2026, 2, 28), "not known yet"),
        (Use.CORRIDOR, Intervals((AppliedRule.FLATS,)), date(2026, 2, 7), "in constant use"),
        (Use.FLAT_ENTRANCE, Intervals((AppliedRule.FLATS,)), date(2027, 1, 31), "regulation 10)"),
        (
            Use.FLAT_ENTRANCE,
            Intervals((AppliedRule.NFPA, AppliedRule.FLATS)),
            date(2027, 1, 31),
            "NFPA 80, section 5.2 (secondary)",
        ),
        (
            Use.STAIR,
            Intervals(uses={Use.STAIR: Recurrence(6, "month")}),
            date(2026, 2, 28),
            "stair (a default",
        ),
        (
            Use.STAIR,
            Intervals(uses={Use.STAIR: Recurrence(1, "week")}),
            date(2026, 2, 7),
            "own setting",
        ),
        (
            Use.CUPBOARD,
            Intervals(doors={"R3": Recurrence(3, "day")}),
            date(2026, 2, 3),
            "set for door R3",
        ),
    ],
)
def test_the_strictest_wins_and_says_why(use, intervals, due, why):
    on, reason = strictest(intervals.reasons(use, "R3"), LAST)
    assert on == due
    assert why in str(reason)


def test_law_holds_even_where_a_setting_is_longer():
    intervals = Intervals(
        (AppliedRule.FLATS,), {Use.LOBBY: Recurrence(1, "year")}, {"9": Recurrence(2, "year")}
    )
    by_law = [
        reason
        for reason in intervals.reasons(Use.LOBBY, "9")
        if reason.source.startswith("Fire Safety")
    ]
    assert [str(reason.every) for reason in by_law] == ["every 3 months"]
    assert strictest(intervals.reasons(Use.LOBBY, "9"), LAST)[0] <= by_law[0].every.after(LAST)


def status(use: Use) -> DoorStatus:
    return DoorStatus("9", "", "", "", "", use, LAST, LAST)


QUARTERLY = HouseInterval(Recurrence(3, "month"), "nobody uses it", "Mona")


@pytest.mark.parametrize(
    ("rules", "own", "every", "aside"),
    [
        # no law: the responsible person's own interval counts, longer or shorter
        ((), Recurrence(3, "month"), "every 3 months", "every month"),
        ((), Recurrence(2, "week"), "every 2 weeks", None),
        ((), QUARTERLY, "every 3 months", "every month"),
        # guidance is stricter: only a reason outweighs it
        ((AppliedRule.FLATS,), Recurrence(6, "month"), "every 3 months", "every month"),
        (
            (AppliedRule.FLATS,),
            HouseInterval(Recurrence(6, "month"), "bricked up", "Mona"),
            "every 6 months",
            "every month",
        ),
        ((AppliedRule.FLATS,), Recurrence(1, "week"), "every week", None),
    ],
)
def test_whose_interval_counts_for_a_stair(rules, own, every, aside):
    intervals = Intervals(rules, {Use.STAIR: own})
    on, reason = due_day(status(Use.STAIR), intervals)
    set_aside = outweighed(status(Use.STAIR), on, intervals)
    assert (str(reason.every), set_aside and str(set_aside.every)) == (every, aside)


def test_a_house_interval_says_whose_it_is_and_why():
    reason = due_day(status(Use.STAIR), Intervals((), {Use.STAIR: QUARTERLY}))[1]
    assert str(reason) == (
        "every 3 months: set for stair, because: nobody uses it (set by Mona, the responsible"
        " person)"
    )
