"""Plausibility of rounds, weeks and years of signed checks: questions for a supervisor about
patterns that no single check shows. Never an accusation.

Each question gives its figures; `python -m tests.benchmarks.bench_plausible` measures how often
each is asked about honest people.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby, pairwise
from math import prod

from doorround.domain.judging.plausibility import (
    CLOSING_TESTS_S,
    MIN_ALIKE,
    RARE,
    PlausibilityQuestion,
    SignedCheck,
)
from doorround.english.floors import storey

# Between two doors on a floor: a brisk walk without stopping. Common practice, no source.
NEXT_DOOR_S = 2.0
# Per storey of stairs, likewise. Common practice, no source.
STOREY_S = 8.0
# Minimum doors in a round. Common practice, no source.
MIN_ROUND = 5
# A phone may have no signal for a day. Common practice, no source.
LATE_DAYS = 2
# Minimum recurrences after repair before asking. Common practice, no source.
MIN_RETURNS = 2
MAX_NAMED = 6


@dataclass(frozen=True)
class FollowedDefect:
    """A followed-up defect. found_by: who found it first. repaired: when it was reported as made
    good, and by whom. returned: days on which it was found again afterwards.
    """

    id: int
    door: str
    building: str
    what: str
    found_by: str
    repaired: tuple[tuple[date, str], ...] = ()
    returned: tuple[date, ...] = ()


@dataclass(frozen=True)
class ClockDoubt:
    """A period in which the clock was in doubt. since: as logged. why: in words. checks: how many
    were signed in it.
    """

    since: datetime
    why: str
    checks: int


def round_questions(
    checks: Sequence[SignedCheck], faults: Sequence[FollowedDefect], clock: Sequence[ClockDoubt]
) -> tuple[PlausibilityQuestion, ...]:
    """All plausibility questions about these checks together, given in the order signed."""
    return (
        *same_minutes(checks),
        *faster_than_walked(checks),
        *came_late(checks),
        *clock_in_doubt(clock),
        *returns_after_repair(faults),
        *never_found_first(checks, faults),
    )


def same_minutes(checks: Sequence[SignedCheck]) -> list[PlausibilityQuestion]:
    """Runs of checks by one person with identical durations in whole minutes.

    The base rate of equal durations is estimated from everybody else's checks; with fewer than two
    of those, nothing is asked. The probability of a run is computed as for identical gaps.
    """
    asked = []
    for person in dict.fromkeys(check.person for check in checks):
        share = _share_of_same([_minutes(each) for each in checks if each.person != person])
        mine = [each for each in checks if each.person == person]
        for minutes, group in groupby(mine, key=_minutes):
            run = list(group)
            if share is None or len(run) < MIN_ALIKE:
                continue
            chance = (len(mine) - len(run) + 1) * share ** (len(run) - 1)
            if chance < RARE:
                asked.append(_same(run, minutes, share, chance))
    return asked


def _minutes(check: SignedCheck) -> int:
    return int((check.signed - check.started).total_seconds() // 60)


def _share_of_same(minutes: list[int]) -> float | None:
    """Share of pairs with equal durations, with one extra match added so that it is never 0."""
    pairs = len(minutes) * (len(minutes) - 1) // 2
    same = sum(number * (number - 1) // 2 for number in Counter(minutes).values())
    return (same + 1) / (pairs + 1) if pairs else None


def _same(
    run: list[SignedCheck], minutes: int, share: float, chance: float
) -> PlausibilityQuestion:
    question = (
        f"{len(run)} checks in a row, door {run[0].door} to door {run[-1].door}, each took"
        f" {minutes} min. Of others' checks {share:.0%} take the same; by chance this comes about"
        f" {chance:.2g} times. How were they done, {run[0].person}?"
    )
    return PlausibilityQuestion(
        "plausible.same_minutes", tuple(each.id for each in run), question, chance
    )


def faster_than_walked(checks: Sequence[SignedCheck]) -> list[PlausibilityQuestion]:
    """One person's rounds through one building in a day that took less time than the walking and
    the closing tests.
    """
    rounds = defaultdict[tuple[str, str, date], list[SignedCheck]](list)
    for check in checks:
        rounds[check.person, check.building, _day(check)].append(check)
    asked = []
    for (person, building, _), some in rounds.items():
        walked = sorted(some, key=lambda each: each.started)
        if len({each.door for each in walked}) < MIN_ROUND:
            continue
        took = (walked[-1].signed - walked[0].started).total_seconds()
        least = _least_seconds(walked)
        if took < least:
            floors = len({each.floor for each in walked})
            question = (
                f"{len(walked)} doors of {building or 'one building'}, {_floors(floors)}, from"
                f" {walked[0].door} to {walked[-1].door} in {_duration(took)}; to walk there and"
                f" try the closers takes at least {_duration(least)}. Were they looked at before"
                f" they were entered, {person}?"
            )
            asked.append(
                PlausibilityQuestion("plausible.walk", tuple(each.id for each in walked), question)
            )
    return asked


def _day(check: SignedCheck) -> date:
    return check.day or check.started.date()


def _least_seconds(walked: list[SignedCheck]) -> float:
    tests = sum(
        CLOSING_TESTS_S[key]
        for check in walked
        for key in {each.question for each in check.answers if each.seen} & set(CLOSING_TESTS_S)
    )
    return tests + sum(_way(one, other) for one, other in pairwise(walked))


def _way(one: SignedCheck, other: SignedCheck) -> float:
    if one.door == other.door:
        return 0.0
    return NEXT_DOOR_S + STOREY_S * abs(storey(one.floor) - storey(other.floor))


def _floors(count: int) -> str:
    return "on one floor" if count == 1 else f"on {count} floors"


def _duration(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds < 120 else f"{seconds / 60:.0f} min"


def came_late(checks: Sequence[SignedCheck]) -> list[PlausibilityQuestion]:
    """Checks that reached the logbook days after their timestamp, one question per person
    and day.
    """
    late = defaultdict[tuple[str, date], list[SignedCheck]](list)
    for check in checks:
        if check.days_late >= LATE_DAYS:
            late[check.person, _day(check)].append(check)
    asked = []
    for (person, day), some in late.items():
        most = max(each.days_late for each in some)
        question = (
            f"{_doors(some)} on {_spoken(day)} came in {most} days later. Was the telephone without"
            f" a signal, {person}?"
        )
        asked.append(
            PlausibilityQuestion("plausible.late", tuple(each.id for each in some), question)
        )
    return asked


def clock_in_doubt(doubts: Sequence[ClockDoubt]) -> list[PlausibilityQuestion]:
    """Periods in which the clock was in doubt and checks were signed."""
    return [
        PlausibilityQuestion(
            "plausible.clock",
            (),
            f"From {_spoken(each.since.date())}, {each.since:%H:%M} UTC, {each.why};"
            f" {each.checks} {'check was' if each.checks == 1 else 'checks were'} signed meanwhile."
            " What happened to the clock?",
        )
        for each in doubts
        if each.checks
    ]


def returns_after_repair(faults: Sequence[FollowedDefect]) -> list[PlausibilityQuestion]:
    """Defects that recurred repeatedly after repairs."""
    asked = []
    for fault in faults:
        days = [gap for gap in _days_until_back(fault) if gap is not None]
        if len(days) < MIN_RETURNS:
            continue
        names = Counter(name for _, name in fault.repaired)
        who = ", ".join(f"{name} {number}×" for name, number in names.items())
        question = (
            f"Door {fault.door}, {fault.what}: repaired {len(fault.repaired)} times ({who}), found"
            f" again after {_after(days)}. Is the cause known?"
        )
        asked.append(PlausibilityQuestion("plausible.returns", (fault.door,), question))
    return asked


def _after(days: list[int]) -> str:
    shown = " and ".join(map(str, days[:MAX_NAMED]))
    left = len(days) - MAX_NAMED
    return f"{shown} days" + (f", and {left} times more" if left > 0 else "")


def _days_until_back(fault: FollowedDefect) -> Iterator[int | None]:
    """Days from each repair until the defect was found again; None if it held."""
    for nth, (day, _) in enumerate(fault.repaired):
        end = fault.repaired[nth + 1][0] if nth + 1 < len(fault.repaired) else date.max
        back = [each for each in fault.returned if day <= each <= end]
        yield (back[0] - day).days if back else None


def never_found_first(
    checks: Sequence[SignedCheck], faults: Sequence[FollowedDefect]
) -> list[PlausibilityQuestion]:
    """People who were never first to find a fault on doors where others were.

    If somebody made the share w of a door's checks and all checkers were equal, each fault there
    would be found first by somebody else with probability 1 − w, and all of them with the product
    of these, multiplied by the number of people tested (Bonferroni).
    """
    number = defaultdict[tuple[str, str], Counter[str]](Counter)
    for check in checks:
        number[check.building, check.door][check.person] += 1
    people = list(dict.fromkeys(check.person for check in checks))
    asked = []
    for person in people:
        shared = {
            door
            for door, of_door in number.items()
            if of_door[person] and of_door.total() > of_door[person]
        }
        here = [each for each in faults if (each.building, each.door) in shared]
        if not here or any(each.found_by == person for each in here):
            continue
        others = (_share_of_others(number[each.building, each.door], person) for each in here)
        chance = len(people) * prod(others)
        if chance < RARE:
            mine = sum(number[door][person] for door in shared)
            asked.append(_never(person, mine, len(shared), len(here), chance))
    return asked


def _share_of_others(of_door: Counter[str], person: str) -> float:
    return 1 - of_door[person] / of_door.total()


def _never(
    person: str, checks: int, doors: int, faults: int, chance: float
) -> PlausibilityQuestion:
    question = (
        f"{person}: {checks} checks of {doors} doors on which others were the first to find"
        f" {faults} faults; by chance this comes about {chance:.2g} times. Would a round together"
        " help?"
    )
    return PlausibilityQuestion("plausible.never_first", (person,), question, chance)


def _doors(some: Iterable[SignedCheck]) -> str:
    numbers = list(dict.fromkeys(each.door for each in some))
    more = f" and {len(numbers) - MAX_NAMED} more" if len(numbers) > MAX_NAMED else ""
    doors = "door" if len(numbers) == 1 else "doors"
    return f"The check of {doors} {', '.join(numbers[:MAX_NAMED])}{more}"


def _spoken(day: date) -> str:
    return f"{day.day} {day:%B %Y}"
