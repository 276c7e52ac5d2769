"""One visit of an invented caretaker, message by message, at realistic times.

The duration of a visit is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from itertools import groupby
from random import Random

from doorround.dialogue.turn import take_turn
from doorround.dialogue.turn_result import Turn
from doorround.domain.question import Question
from doorround.logbook.store import Logbook
from doorround.sample.answers import answers_to, asked_of, finish

_LOG_SECONDS = 5.5
_SPREAD = 0.4
"""Scale of the time for a full check: half of them take under some four minutes."""
_A_LOOK = 0.4
"""Fraction of that for a short visit."""
_MAX_FINISHES = 4
_MAX_ROUNDS = 4


@dataclass(frozen=True)
class Visitor:
    """Somebody who visits doors."""

    dice: Random

    def walk(self, storeys: float) -> timedelta:
        """Walk to the next door, over that many storeys."""
        dice = self.dice
        return timedelta(seconds=dice.uniform(8, 25) + storeys * dice.uniform(12, 25))

    def visit(self, logbook: Logbook, begun: Turn, wrong: Mapping[str, str]) -> Turn:
        """Answer an open check, face by face, and sign it. wrong: existing faults, by question.
        Returns the last turn.
        """
        chat, turn = f"sample/{begun.check.person}", begun
        logbook.begin(chat, turn)
        at, each = begun.check.started, self._an_answer(turn)
        for _ in range(_MAX_ROUNDS):
            for some in _by_face(asked_of(turn.check)):
                at += each * len(some)
                heard = answers_to(turn.check, some, wrong, self.dice)
                turn = take_turn(turn.check, heard, at)
                logbook.keep(chat, None, turn)
        for _ in range(_MAX_FINISHES):
            if not turn.check.closed:
                at += each / 4
                turn = take_turn(turn.check, finish(), at)
                logbook.keep(chat, None, turn)
        return turn

    def _an_answer(self, begun: Turn) -> timedelta:
        whole = self.dice.lognormvariate(_LOG_SECONDS, _SPREAD)
        if begun.check.repairs:
            whole *= _A_LOOK
        return timedelta(seconds=whole / (len(asked_of(begun.check)) + 0.5))


def _by_face(asked: list[Question]) -> list[list[Question]]:
    """Questions in the order asked, split where the caretaker goes to the other face."""
    return [list(some) for _, some in groupby(asked, key=_is_beyond)]


def _is_beyond(question: Question) -> bool:
    return question.key.endswith(".beyond")
