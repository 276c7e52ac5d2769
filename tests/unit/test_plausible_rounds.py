"""What a supervisor might ask about rounds and years of signed checks: with its numbers, and of
honest people hardly ever.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from doorround.domain.judging.plausibility import GivenAnswer, SignedCheck
from doorround.domain.judging.plausible_rounds import (
    ClockDoubt,
    FollowedDefect,
    came_late,
    clock_in_doubt,
    faster_than_walked,
    never_found_first,
    returns_after_repair,
    same_minutes,
)
from tests.benchmarks.bench_plausible import BENT, measure

NINE = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
MARCH = date(2026, 3, 2)


def check(nth: int, person: str = "Kim", after: float = 0, took: float = 240) -> SignedCheck:
    """Check of door nth, after some seconds, that took so many."""
    begun = NINE + timedelta(seconds=after)
    closing = (
        GivenAnswer("closer.full", "sound", begun),
        GivenAnswer("closer.ajar", "sound", begun),
    )
    return SignedCheck(
        f"c{nth}",
        str(nth),
        "Mill House",
        person,
        begun,
        begun + timedelta(seconds=took),
        closing,
        0,
        "ground",
        MARCH,
    )


def others(*minutes: int) -> list[SignedCheck]:
    return [check(100 + nth, "Sam", took=60 * each) for nth, each in enumerate(minutes)]


def test_checks_that_all_take_the_same_minutes_are_asked_about() -> None:
    run = [check(nth, took=180 + nth) for nth in range(8)]
    (ask,) = same_minutes([*others(2, 3, 4, 5, 6, 7, 8, 9), *run])
    # one of 29 pairs counted: a chance of (1/29)^7, once
    assert ask.question == (
        "8 checks in a row, door 0 to door 7, each took 3 min. Of others' checks 3% take the same;"
        " by chance this comes about 5.8e-11 times. How were they done, Kim?"
    )


def test_where_everybody_takes_the_same_minutes_nothing_is_asked() -> None:
    run = [check(nth, took=180 + nth) for nth in range(8)]
    assert same_minutes([*others(3, 3, 3, 3, 3, 3), *run]) == []
    assert same_minutes(run) == []


@pytest.mark.parametrize(("apart", "asked"), [(9.0, False), (8.9, True)])
def test_a_round_takes_as_long_as_its_walk_and_its_closing_tests(apart: float, asked: bool) -> None:
    """Five doors of one floor: five times 7 s of closing tests, four times 2 s of way: 43 s."""
    walked = [check(nth, after=nth * apart, took=7) for nth in range(5)]
    assert bool(faster_than_walked(walked)) is asked


def test_storeys_count_and_the_round_is_told_with_its_numbers() -> None:
    walked = [
        replace(check(nth, after=nth * 9, took=7), floor=f"floor {nth}", door=f"D{nth}")
        for nth in range(5)
    ]
    # 5 × 7 s + 4 × (2 s + 8 s)
    (ask,) = faster_than_walked(walked)
    assert ask.question == (
        "5 doors of Mill House, on 5 floors, from D0 to D4 in 43 s; to walk there and try the"
        " closers takes at least 75 s. Were they looked at before they were entered, Kim?"
    )


def test_four_doors_are_no_round() -> None:
    assert faster_than_walked([check(nth, after=nth, took=1) for nth in range(4)]) == []


def test_checks_that_come_in_days_later_are_one_question() -> None:
    late = [replace(check(nth), days_late=3) for nth in range(2)]
    (ask,) = came_late([*late, replace(check(7), days_late=1), check(8)])
    assert ask.question == (
        "The check of doors 0, 1 on 2 March 2026 came in 3 days later. Was the telephone without a"
        " signal, Kim?"
    )


def test_a_clock_set_back_is_asked_about_where_checks_were_signed_by_it() -> None:
    doubts = [
        ClockDoubt(NINE, "the clock runs behind the last entry", 1),
        ClockDoubt(NINE, "the clock runs behind the last entry", 0),
    ]
    (ask,) = clock_in_doubt(doubts)
    assert ask.question == (
        "From 2 March 2026, 09:00 UTC, the clock runs behind the last entry; 1 check was signed"
        " meanwhile. What happened to the clock?"
    )


def on(day: int) -> date:
    return date(2026, 3, day)


def test_a_fault_that_came_back_after_two_repairs_is_asked_about() -> None:
    fault = FollowedDefect(
        17,
        "12",
        "Mill House",
        "closer: slams",
        "Kim",
        ((on(3), "Sam"), (on(10), "Sam"), (on(20), "Jo")),
        (on(8), on(19)),
    )
    (ask,) = returns_after_repair([fault])
    assert ask.question == (
        "Door 12, closer: slams: repaired 3 times (Sam 2×, Jo 1×), found again after 5 and 9 days."
        " Is the cause known?"
    )
    assert returns_after_repair([replace(fault, returned=(on(8),))]) == []


def test_who_never_finds_first_what_others_find_is_asked_about() -> None:
    checks = [check(door, person) for door in range(5) for person in ("Kim", "Sam")]
    found = [FollowedDefect(nth, str(nth % 5), "Mill House", "loose", "Sam") for nth in range(8)]
    # two people, and eight times one half
    (ask,) = never_found_first(checks, found)
    assert ask.chance == pytest.approx(2 / 2**8)
    assert ask.question == (
        "Kim: 5 checks of 5 doors on which others were the first to find 8 faults; by chance this"
        " comes about 0.0078 times. Would a round together help?"
    )
    assert never_found_first(checks, found[:7]) == []
    assert never_found_first(checks, [*found, replace(found[0], found_by="Kim")]) == []


def test_doors_that_somebody_never_checked_say_nothing_of_them() -> None:
    checks = [check(door, "Sam") for door in range(8)] + [check(9, "Kim")]
    found = [FollowedDefect(nth, str(nth), "Mill House", "loose", "Sam") for nth in range(8)]
    assert never_found_first(checks, found) == []


def test_honest_years_are_hardly_ever_asked_about_and_bent_ones_are() -> None:
    """The figures of the docs are of 200 years: python -m tests.benchmarks.bench_plausible."""
    in_years, _ = measure(years=6, doors=20, seed=1)
    assert sum(number for rule, number in in_years.items() if rule != "returns") <= 1
    for bent in BENT:
        found, _ = measure(years=1, doors=40, seed=2, bent=bent)
        assert found[bent] == 1, bent
