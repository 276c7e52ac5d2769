"""Whether signed checks could have happened as entered: questions for a supervisor, never an
accusation.

Each question gives its figures. Somebody may have tried the door before starting the check; a good
door may simply be good.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import combinations, groupby

# Minimum time for a closing test: two seconds to open the door fully and three to close it (the
# shortest that the rule sets allow from 90°), one second each from 15°. Common practice, no source.
CLOSING_TESTS_S = {"closer.full": 5.0, "closer.ajar": 2.0}
# Minimum time to go through a door and look at its other side. Common practice, no source.
OTHER_SIDE_S = 1.0
TWO_FACED = ("frame", "leaf", "glass", "sign")
GAPS = ("gaps.sides", "gaps.meeting", "gaps.threshold")
# Minimum run of identical checks before chance is assessed at all.
MIN_ALIKE = 5
# Minimum checks of a door without a fault, likewise.
MIN_FAULTLESS = 5
# Probability threshold for asking; applied after correction for multiple comparisons.
RARE = 0.01


@dataclass(frozen=True)
class GivenAnswer:
    """One answer. at: when received. value: in short, "5 mm". seen: the part was looked at.
    recording, spoken: where it was said, in seconds; None if typed or tapped. message: number of
    the message that gave it; 0 if unknown.
    """

    question: str
    value: str
    at: datetime
    seen: bool = True
    recording: str | None = None
    spoken: tuple[float, float] | None = None
    message: int = 0


@dataclass(frozen=True)
class SignedCheck:
    """One signed check. faults: number of faults found, made good or not. floor: as registered.
    day: local start date. days_late: days between its time and its arrival.
    """

    id: str
    door: str
    building: str
    person: str
    started: datetime
    signed: datetime
    answers: tuple[GivenAnswer, ...]
    faults: int
    floor: str = ""
    day: date | None = None
    days_late: int = 0


@dataclass(frozen=True)
class PlausibilityQuestion:
    """A question for the supervisor. about: ids of checks, or a door. question: its text. chance:
    probability by chance, 0 to 1, corrected for multiple comparisons; None if not a matter of
    chance.
    """

    rule: str
    about: tuple[str, ...]
    question: str
    chance: float | None = None


def plausibility_questions(checks: Sequence[SignedCheck]) -> tuple[PlausibilityQuestion, ...]:
    """All plausibility questions about these checks, given in the order signed."""
    asked: list[PlausibilityQuestion] = []
    for check in checks:
        asked += [*too_fast(check), *both_faces_at_once(check)]
    return (*asked, *alike_in_a_row(checks), *never_faulty(checks))


def too_fast(check: SignedCheck) -> list[PlausibilityQuestion]:
    """A check signed sooner after its start than its closing tests take."""
    done = [
        each.question for each in check.answers if each.seen and each.question in CLOSING_TESTS_S
    ]
    least = sum(CLOSING_TESTS_S[key] for key in dict.fromkeys(done))
    took = (check.signed - check.started).total_seconds()
    if took >= least:
        return []
    question = (
        f"Door {check.door}: signed {took:.0f} s after it was begun; its closing tests alone take"
        f" at least {least:.0f} s. Were they done before, {check.person}?"
    )
    return [PlausibilityQuestion("plausible.too_fast", (check.id,), question)]


def both_faces_at_once(check: SignedCheck) -> list[PlausibilityQuestion]:
    """Both faces of a part answered within a second, by two answers.

    "Both sides fine" in one utterance is one answer, and so is one typed message covering both: it
    was written after both were seen.
    """
    given = {each.question: each for each in check.answers}
    parts = []
    for part in TWO_FACED:
        one = given.get(f"{part}.here")
        other = given.get(f"{part}.beyond")
        if one and other and one.seen and other.seen and _apart(one, other) < OTHER_SIDE_S:
            parts.append(part)
    if not parts:
        return []
    question = (
        f"Door {check.door}: both faces of {', '.join(parts)} were answered within {OTHER_SIDE_S:g}"
        f" s. Was the other side seen, {check.person}?"
    )
    return [PlausibilityQuestion("plausible.both_faces", (check.id,), question)]


def _apart(one: GivenAnswer, other: GivenAnswer) -> float:
    """Seconds between two answers; never small within one utterance."""
    if one.recording is not None and one.recording == other.recording:
        if one.spoken is None or other.spoken is None or one.spoken == other.spoken:
            return math.inf
        return abs(other.spoken[0] - one.spoken[0])
    if one.message and one.message == other.message:
        return math.inf
    return abs((other.at - one.at).total_seconds())


def alike_in_a_row(checks: Sequence[SignedCheck]) -> list[PlausibilityQuestion]:
    """Runs of checks by one person, of different doors, all with identical measured gaps. A repeat
    of a door within the run adds no evidence.

    The base rate of identical gaps is estimated from everybody else's checks; with fewer than two
    of those, nothing is asked. The probability of a run is that rate to the power of its length
    minus one, times the number of possible starting points.
    """
    asked = []
    for person in dict.fromkeys(check.person for check in checks):
        share = _share_alike([check for check in checks if check.person != person])
        measured = [(check, _gaps(check)) for check in checks if check.person == person]
        measured = [(check, gaps) for check, gaps in measured if gaps]
        for _, group in groupby(measured, key=lambda each: each[1]):
            run = [check for check, _ in group]
            length = len({each.door for each in run})
            if share is None or length < MIN_ALIKE:
                continue
            chance = (len(measured) - len(run) + 1) * share ** (length - 1)
            if chance < RARE:
                asked.append(_alike(run, share, chance))
    return asked


def _alike(run: list[SignedCheck], share: float, chance: float) -> PlausibilityQuestion:
    first = run[0]
    last = run[-1]
    values = ", ".join(value for _, value in _gaps(first))
    count = len({each.door for each in run})
    question = (
        f"{count} doors in a row, {first.door} to {last.door}, have the very same gaps"
        f" ({values}). Of others' doors {share:.0%} measure alike; by chance this comes about"
        f" {chance:.2g} times. Were they measured, {first.person}?"
    )
    return PlausibilityQuestion("plausible.alike", tuple(each.id for each in run), question, chance)


def _gaps(check: SignedCheck) -> tuple[tuple[str, str], ...]:
    return tuple(
        (each.question, each.value) for each in check.answers if each.question in GAPS and each.seen
    )


def _share_alike(checks: Iterable[SignedCheck]) -> float | None:
    """Share of pairs of different doors with identical gaps, with one extra match added so that it
    is never 0.
    """
    measured = [(check.door, gaps) for check in checks if (gaps := _gaps(check))]
    pairs = [(one[1], other[1]) for one, other in combinations(measured, 2) if one[0] != other[0]]
    if not pairs:
        return None
    return (sum(1 for one, other in pairs if one == other) + 1) / (len(pairs) + 1)


def never_faulty(checks: Sequence[SignedCheck]) -> list[PlausibilityQuestion]:
    """Doors without a single fault in many checks while other doors in their building have some.

    If this door were like its neighbours, each check of it would find a fault with their rate p;
    none in n checks has probability (1 − p)ⁿ, multiplied by the number of doors tested
    (Bonferroni).
    """
    asked = []
    doors = dict.fromkeys((check.building, check.door) for check in checks)
    for building, door in doors:
        of_door = [check for check in checks if (check.building, check.door) == (building, door)]
        others = [check for check in checks if check.building == building and check.door != door]
        if len(of_door) < MIN_FAULTLESS or any(check.faults for check in of_door) or not others:
            continue
        share = sum(1 for check in others if check.faults) / len(others)
        chance = len(doors) * (1 - share) ** len(of_door)
        if chance < RARE:
            question = (
                f"Door {door}: {len(of_door)} checks without a fault, where {share:.0%} of"
                f" {len(others)} checks of its neighbours had one; of {len(doors)} doors this comes"
                f" about {chance:.2g} times by chance. Is it so good?"
            )
            asked.append(PlausibilityQuestion("plausible.never_faulty", (door,), question, chance))
    return asked
