"""Doors, and a visit that is typed, for the tests of what may be said and of the talk."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from doorround.config.resources import load_checklist
from doorround.dialogue.expected_input import ExpectedInput, expected_input
from doorround.dialogue.turn import start_check, take_turn
from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Check
from doorround.domain.checklist import Checklist, Question
from doorround.domain.door import Door
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.input_result import AnyHeard, By
from doorround.domain.judging.rule_sets import SETS
from doorround.domain.values import (
    CannotCheck,
    Choice,
    Command,
    Condition,
    Count,
    Defect,
    DoesNotApply,
    Measure,
    NotMeasured,
    Value,
    YesNo,
)
from doorround.hearing.session.interpretation import typed
from tests.read_once import BOOK as BOOK
from tests.read_once import UNDERSTANDING
from tests.unit.passes import PASSES

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
CHECKLIST = load_checklist()
_KNOWN: dict[str, Any] = {
    "building": "Mill House",
    "floor": "first floor",
    "use": "corridor in constant use",
    "rating": "FD30S",
    "leaves": "one",
    "leaf_width_mm": 926,
    "leaf_height_mm": 2040,
    "leaf_mass_kg": 45,
    "material": "timber",
    "glazing": "wired",
    "seals": "intumescent with brush or fin",
    "seals_in": "frame",
    "hinges": 3,
    "closer": "overhead",
    "hold_open": "none",
    "latch": "latch",
    "threshold_seal": "none",
    "operation": "hinged",
    "screens": "none",
    "first_side": "this side",
}


def door(number: str = "12", **fields: Any) -> Door:
    """A corridor door of which everything is known, but for what a test says."""
    return Door.model_validate({**_KNOWN, "number": number, **fields})


# Between them these doors hear every question of the routine check.
CORRIDOR = door()
HELD_OPEN = door(
    "14", hold_open="alarm-linked", glazing="clear fire-resisting", threshold_seal="fitted"
)
CUPBOARD = door(
    "R3",
    use="cupboard",
    rating="FD30",
    glazing="none",
    seals="plain intumescent",
    closer="none, kept locked",
    latch="lock",
)
LOCKED_STAIR = door("S1", use="stair", closer="none, kept locked")
UNKNOWN = Door(number="231")
PAIR = door("P1", leaves="pair")
LATCHED_PAIR = door("P2", leaves="pair", latch="latch", screens="beside")
FLAT = door("F4", use="flat entrance", letter_plate="fitted")
NEW_FLAT = door("F5", use="flat entrance", letter_plate=None)
FLATS = CHECKLIST.under(SETS["england-flats"])
NFPA = CHECKLIST.under(SETS["nfpa-80"])
# Whoever has a stopwatch and a force gauge is asked what they measure.
MEASURED = CHECKLIST.under(
    CHECKLIST.rules.model_copy(update={"gauges": ("stopwatch", "force gauge", "ruler")})
)
SIXTY = door("60", rating="FD60S")
# Between them these visits hear every question of every set of rules.
EVERYWHERE = (
    *((each, CHECKLIST) for each in (HELD_OPEN, CUPBOARD, PAIR, LOCKED_STAIR, LATCHED_PAIR)),
    *((each, FLATS) for each in (FLAT, NEW_FLAT)),
    (CORRIDOR, NFPA),
    (UNKNOWN, CHECKLIST),
    (SIXTY, MEASURED),
)


def visit_at(key: str) -> Visit:
    """A visit that stands at this question, of the first door and set of rules that hear it."""
    fire_door, checklist = next(
        each for each in EVERYWHERE if each[1].asks(each[1].ask(key), each[0])
    )
    return Visit(fire_door, checklist=checklist).go_to(key)


@dataclass
class Stand:
    """Where a visit stands of which each answer was a pass; and the next, once somebody went there.
    Equal visits go the same way: some thousand tests walk to their question.
    """

    turn: Turn
    next: Stand | None = None


# with the checklist, so that no other ever has its id
_begun: dict[tuple[Door, int, bool], tuple[Checklist, Stand]] = {}


class Visit:
    """One visit at one door, said by typing."""

    def __init__(
        self, door: Door = CORRIDOR, *, terse: bool = False, checklist: Checklist = CHECKLIST
    ) -> None:
        key = (door, id(checklist), terse)
        if key not in _begun:
            begun = start_check("c1", door, "Robin", checklist, NOON, terse=terse)
            _begun[key] = checklist, Stand(begun)
        self._stand: Stand | None = _begun[key][1]
        self.turn: Turn = self._stand.turn
        self.entered: list[Entry] = list(self.turn.enter)

    def take(self, heard: AnyHeard) -> list[str]:
        """One thing heard; what the bot says to it."""
        self.turn = take_turn(self.check, heard, NOON)
        self.entered += self.turn.enter
        return self.said

    def type(self, *lines: str) -> list[str]:
        """Some lines typed one after the other; what the bot says to the last."""
        for line in lines:
            self.take(typed(UNDERSTANDING, line, expected_input(self.check)))
        return self.said

    def tap(self, phrase: str) -> list[str]:
        return self.take(typed(UNDERSTANDING, phrase, expected_input(self.check), By.TAP))

    def go_to(self, key: str) -> Visit:
        """Answer as if all were well until this question is open."""
        while self.check.open != key:
            assert self.check.open is not None, f"{key} is never asked here"
            self._pass(PASSES[self.check.open])
        return self

    def all_well(self) -> Visit:
        """Answer all that is left as if all were well."""
        while self.check.open is not None:
            self._pass(PASSES[self.check.open])
        return self

    def _pass(self, words: str) -> None:
        """Type this, or stand where it led before."""
        stand = self._stand
        if stand is None or stand.turn is not self.turn:
            self.type(words)
            return
        if stand.next is None:
            self.type(words)
            stand.next = Stand(self.turn)
        else:
            self.turn = stand.next.turn
            self.entered += self.turn.enter
        self._stand = stand.next

    @property
    def check(self) -> Check:
        return self.turn.check

    @property
    def said(self) -> list[str]:
        return [prompt.text for prompt in self.turn.say]

    def meaning(self, key: str) -> str | None:
        """The answer in force at a question, in short; None where there is none."""
        answer = self.check.answers.get(key)
        return in_short(answer.value) if answer else None

    def kinds(self) -> list[EntryKind]:
        return [entry.kind for entry in self.entered]


def at(key: str) -> ExpectedInput:
    """What may be said when this question is open and nothing else was asked."""
    return ExpectedInput(Visit().check.stage, CHECKLIST.ask(key))


def understood(text: str, now: ExpectedInput) -> list[tuple[str | None, str]] | None:
    """(question, meaning) of each thing said; None for what doesn't answer this."""
    words = UNDERSTANDING.words(text, now)
    return [(said.question, in_short(said.value)) for said in words.said] if words else None


def in_short(value: Value | Command) -> str:
    """A meaning on one line, as tests/unit/phrases.toml writes it."""
    match value:
        case Condition(defects=defects):
            return "; ".join(", ".join(_parts(defect)) for defect in defects) or "sound"
        case Count(number=number):
            return str(number)
        case Measure(amount=amount, unit=unit, spots=spots):
            places = ", ".join(
                f"{each.edge} {each.place} {each.amount}".replace("  ", " ").strip()
                for each in spots
            )
            return f"{amount} {unit}" + (f": {places}" if any(each.place for each in spots) else "")
        case YesNo(yes=yes):
            return "yes" if yes else "no"
        case Choice(chosen=chosen):
            return f"is {chosen}"
        case CannotCheck() | DoesNotApply() | NotMeasured():
            reason = getattr(value, "reason", None)
            return value.kind.replace("_", " ") + (f": {reason}" if reason else "")
        case Command(word=word, about=about):
            return f"do {word} {about}" if about else f"do {word}"


def _parts(defect: Defect) -> Iterator[str]:
    if defect.made_good:
        yield "made good"
    yield f"{defect.count} {defect.name}" if defect.count is not None else defect.name
    yield from (part for part in (defect.where, defect.face) if part)


def ask(key: str) -> Question:
    return CHECKLIST.ask(key)
