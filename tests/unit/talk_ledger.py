"""Random talks against a ledger kept beside: what was told, in words whose meaning is known here
and not taken from the grammar, and what must hold whatever is said.

`python -m tests.benchmarks.many_talks` drives 10,000 of them; the tests fewer.
"""

from __future__ import annotations

import random
from dataclasses import dataclass

from doorround.channels.talk.second_reading import read_on
from doorround.dialogue.amending import amend, expected_in_change
from doorround.dialogue.early_reply import as_early
from doorround.dialogue.expected_input import ExpectedInput, expected_input
from doorround.dialogue.forwarded import as_forwarded
from doorround.dialogue.turn import start_check
from doorround.dialogue.turn_result import Turn
from doorround.dialogue.windows import goes_on_here
from doorround.domain.check import FREE, Check
from doorround.domain.door import Door
from doorround.domain.input_result import AnyHeard, By, Heard, OffGrammar, Silence, Unsure
from doorround.hearing.session.interpretation import typed
from doorround.understanding.understand import Understanding
from tests.unit.talk_laws import laws
from tests.unit.talk_lines import DOORS, Line, next_line
from tests.unit.visits import (
    CHECKLIST,
    NOON,
    UNDERSTANDING,
    Visit,
)

MAX_READ = 20_000
"""Readings that are remembered at a time, some 80 MB."""


UNDERSTAND = Understanding(CHECKLIST).understand


class Reader:
    """typed(), remembered: most talks say the same at the same question."""

    def __init__(self) -> None:
        self._kept: dict[tuple[object, ...], AnyHeard] = {}

    def read(self, words: str, expected: ExpectedInput, by: By = By.TYPING) -> AnyHeard:
        key = (words, by, expected.offered, expected.signature)
        if key not in self._kept:
            if len(self._kept) >= MAX_READ:
                self._kept.clear()
            self._kept[key] = typed(UNDERSTANDING, words, expected, by)
        return self._kept[key]


READER = Reader()


def heard_of(line: Line, check: Check) -> AnyHeard:
    """A line as it is heard now."""
    if line.kind == "silence":
        return Silence()
    if line.kind == "words" and check.stage not in FREE:
        return OffGrammar(by=By.TYPING, words=line.words)
    heard = READER.read(line.words, expected_input(check))
    if line.kind == "fault" and isinstance(heard, OffGrammar):
        return read_on(heard, UNDERSTAND, check)
    if line.kind == "forward":
        return as_forwarded(check, heard)
    if line.kind == "early":
        return as_early(check, heard)
    if line.doubted and isinstance(heard, Heard):
        return Unsure(guesses=(heard,))
    return heard


class Broken(AssertionError):
    """A law that did not hold, with the talk that broke it."""


@dataclass
class Talk:
    """One talk and its ledger."""

    visit: Visit
    lines: list[Line]

    @classmethod
    def at(cls, door: Door, batches: bool = False) -> Talk:
        """batches: of somebody who is asked about several parts at once."""
        visit = Visit(door)
        visit.turn = start_check("c1", door, "Robin", CHECKLIST, NOON, batches=batches)
        return cls(visit, [])

    def say(self, line: Line) -> None:
        """One line more; raises Broken where a law does not hold after it."""
        before, prompts = self.visit.check, self.visit.turn.say
        self.lines.append(line)
        if line.kind == "edit":
            turn, heard = self._edit(line, before)
        elif line.kind == "window":
            # nobody says anything for this turn
            turn, heard = goes_on_here(before, NOON, "one", "two"), Silence()
        else:
            heard = heard_of(line, before)
            self.visit.take(heard)
            turn = self.visit.turn
        self.visit.turn = turn
        for law, wrong in laws(line, heard, before, prompts, turn):
            if wrong:
                told = "\n".join(f"  {each.words!r} ({each.kind})" for each in self.lines)
                raise Broken(f"{law}: {wrong}\nat {before.open}, {before.stage}\n{told}")

    def _edit(self, line: Line, check: Check) -> tuple[Turn, AnyHeard]:
        answer = list(check.answers.values())[len(self.lines) % len(check.answers)]
        heard = READER.read(line.words, expected_in_change(check, [answer.id]), By.EDIT)
        return amend(check, [answer.id], heard, NOON), heard


def run(seed: int, turns: int = 45) -> Talk:
    """One whole random talk."""
    chance = random.Random(seed)
    talk = Talk.at(chance.choice(DOORS), batches=seed % 2 == 1)
    for _ in range(turns):
        if talk.visit.check.closed:
            break
        before = talk.lines[-1] if talk.lines else None
        talk.say(next_line(talk.visit.check, before, chance))
    return talk
