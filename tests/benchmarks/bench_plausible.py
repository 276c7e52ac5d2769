"""How often each question about signed checks is asked of people who did them honestly, and of some
who did not, in randomly simulated years.

Run: python -m tests.benchmarks.bench_plausible [--years 200] [--doors 40] [--seed 1]

Honest people walk the doors in order, take a realistic time, read gaps to half a millimetre, miss
one fault in five, and sometimes have no signal; one repair in twelve does not hold. Each of these
assumptions is common practice, no source.
"""

from __future__ import annotations

import argparse
from collections import Counter
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from random import Random

from doorround.domain.judging.plausibility import (
    GivenAnswer,
    PlausibilityQuestion,
    SignedCheck,
    plausibility_questions,
)
from doorround.domain.judging.plausible_rounds import ClockDoubt, FollowedDefect, round_questions

PEOPLE = ("Ines", "Sam", "Kim")
FIRST = date(2026, 1, 5)
PARTS = ("frame", "leaf", "glass", "sign")
BENT = (
    "too_fast",
    "alike",
    "same_minutes",
    "walk",
    "late",
    "clock",
    "returns",
    "never_first",
)
"""What one of them may do: by the question that it should bring."""


@dataclass
class Followed:
    """A fault of a door as it is followed."""

    fault: FollowedDefect
    seen: bool = False
    repaired: date | None = None
    holds: bool = True


@dataclass
class Year:
    """Draws one year. bent: what Kim does; "" for nothing, as in an honest year."""

    dice: Random
    doors: int
    bent: str = ""
    checks: list[SignedCheck] = field(default_factory=list)
    standing: dict[int, Followed] = field(default_factory=dict)
    faults: list[FollowedDefect] = field(default_factory=list)
    clock: list[ClockDoubt] = field(default_factory=list)

    def live(self) -> tuple[PlausibilityQuestion, ...]:
        """Live through it. Returns what is asked."""
        for nth in range(365):
            day = FIRST + timedelta(days=nth)
            if day.weekday() < 5:
                self._round(nth, day)
        if self.bent == "clock":
            self.clock.append(ClockDoubt(self.checks[0].started, "the clock runs behind", 3))
        faults = [*self.faults, *(each.fault for each in self.standing.values() if each.seen)]
        return (
            *plausibility_questions(self.checks),
            *round_questions(self.checks, faults, self.clock),
        )

    def _round(self, nth: int, day: date) -> None:
        """A fifth of the doors, by whoever has that day."""
        person = PEOPLE[self.dice.randrange(len(PEOPLE))]
        bent = self.bent if person == "Kim" else ""
        at = datetime.combine(day, time(9), UTC) + timedelta(minutes=self.dice.randrange(60))
        late = 3 if bent == "late" else 0
        late = late or (1 if self.dice.random() < 0.02 else 0)
        before = None
        for door in range(nth % 5, self.doors, 5):
            if before is not None and bent != "walk":
                at += self._way(before, door)
            at = self._check(door, person, at, bent, late) + timedelta(seconds=1)
            before = door

    def _way(self, one: int, other: int) -> timedelta:
        storeys = abs(one // 10 - other // 10)
        return timedelta(seconds=self.dice.uniform(8, 25) + storeys * self.dice.uniform(12, 25))

    def _check(self, door: int, person: str, at: datetime, bent: str, late: int) -> datetime:
        found = self._found(door, person, at.date(), bent)
        took = self.dice.lognormvariate(5.5, 0.4)
        if bent == "same_minutes":
            took = 190 + self.dice.random() * 20
        if bent == "too_fast":
            took = 6.0
        if bent == "walk":
            took = 7.5
        signed = at + timedelta(seconds=took)
        answers = self._answers(door, at, took, alike=bent == "alike")
        self.checks.append(
            SignedCheck(
                f"c{len(self.checks)}",
                f"D{door}",
                "Mill House",
                person,
                at,
                signed,
                answers,
                found,
                f"floor {door // 10}",
                at.date(),
                late,
            )
        )
        return signed

    def _answers(
        self, door: int, at: datetime, took: float, alike: bool
    ) -> tuple[GivenAnswer, ...]:
        given = []
        faces = (*(f"{part}.here" for part in PARTS), *(f"{part}.beyond" for part in PARTS))
        for nth, key in enumerate(faces, 1):
            given.append(GivenAnswer(key, "sound", at + timedelta(seconds=took * nth / 13)))
        for nth, key in enumerate(("gaps.sides", "gaps.threshold"), 9):
            true = 2.0 + (door * 7 + nth) % 8 / 2 + self.dice.choice((-0.5, 0, 0, 0.5))
            value = "3 mm" if alike else f"{true:g} mm"
            given.append(GivenAnswer(key, value, at + timedelta(seconds=took * nth / 13)))
        for nth, key in enumerate(("closer.full", "closer.ajar"), 11):
            given.append(GivenAnswer(key, "sound", at + timedelta(seconds=took * nth / 13)))
        return tuple(given)

    def _found(self, door: int, person: str, day: date, bent: str) -> int:
        """What this check finds at a door; faults come, are repaired after some days, and some
        come back.
        """
        known = self.standing.get(door)
        if known and known.repaired and known.holds and day > known.repaired:
            self.faults.append(self.standing.pop(door).fault)
            known = None
        if known is None and self.dice.random() < 0.02:
            known = Followed(
                FollowedDefect(len(self.faults) + door, f"D{door}", "Mill House", "loose", "")
            )
            self.standing[door] = known
        if known is None or bent == "never_first" or self.dice.random() < 0.2:
            return 0
        known.seen = True
        if not known.fault.found_by:
            known.fault = _with(known.fault, found_by=person)
        if known.repaired and day > known.repaired:
            known.fault = _with(known.fault, returned=(*known.fault.returned, day))
            known.repaired = None
        if known.repaired is None:
            known.repaired = day + timedelta(days=self.dice.randrange(1, 12))
            known.holds = self.dice.random() > (0.9 if self.bent == "returns" else 1 / 12)
            mended = (*known.fault.repaired, (known.repaired, "Sam"))
            known.fault = _with(known.fault, repaired=mended)
        return 1


def _with(fault: FollowedDefect, **changed: object) -> FollowedDefect:
    return FollowedDefect(**{**vars(fault), **changed})  # type: ignore[arg-type]


def measure(years: int, doors: int, seed: int, bent: str = "") -> tuple[Counter[str], Counter[str]]:
    """By rule, in how many years it asked at all, and how many questions it asked."""
    in_years, questions = Counter[str](), Counter[str]()
    for nth in range(years):
        asked = [
            each.rule.partition(".")[2] for each in Year(Random(seed + nth), doors, bent).live()
        ]
        in_years.update(set(asked))
        questions.update(asked)
    return in_years, questions


RULES = (
    "too_fast",
    "both_faces",
    "alike",
    "never_faulty",
    "same_minutes",
    "walk",
    "late",
    "clock",
    "returns",
    "never_first",
)


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--years", type=int, default=200)
    options.add_argument("--doors", type=int, default=40)
    options.add_argument("--seed", type=int, default=1)
    given = options.parse_args()
    in_years, questions = measure(given.years, given.doors, given.seed)
    print(f"{given.years} honest years of {given.doors} doors, seed {given.seed}")
    for rule in RULES:
        share = in_years[rule] / given.years
        print(
            f"{rule:13} asked in {share:6.1%} of years, {questions[rule] / given.years:.3f} a year"
        )
    few = max(1, given.years // 10)
    for bent in BENT:
        found, _ = measure(few, given.doors, given.seed, bent)
        print(f"{bent:13} done by one of three: asked in {found[bent] / few:6.1%} of {few} years")


if __name__ == "__main__":
    main()
