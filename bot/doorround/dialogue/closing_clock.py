"""Stopwatch: the closing time from "letting go" to "shut". Pure."""

from __future__ import annotations

from fractions import Fraction

from doorround.dialogue.measuring import (
    CLOSING,
    closing_time,
    plausible,
    seconds_between,
    seconds_within,
)
from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.turn_steps import (
    ask_again,
    take_answers,
)
from doorround.domain.input_result import Heard
from doorround.domain.judging.formatting import in_words
from doorround.domain.values import Command
from doorround.messages import buttons, replying


def let_go(builder: TurnBuilder, _command: Command, heard: Heard) -> None:
    """Start timing. If "shut" is in the same recording, take the time from that."""
    if all(each.key != CLOSING for each in builder.check.checklist.question):
        ask_again(builder, replying.NO_CLOSING_TIME, missed=False)
        return
    seconds = seconds_within(heard)
    if seconds is not None:
        _timed(builder, heard, seconds)
        return
    builder.set(let_go=builder.now)
    builder.say(replying.CLOCK_RUNS, taps=(buttons.SHUT,))


def shut(builder: TurnBuilder, _command: Command, heard: Heard) -> None:
    """Stop timing; without "letting go" before it, ask for that."""
    let_go = builder.check.let_go
    if let_go is None:
        ask_again(builder, replying.LET_GO_FIRST, missed=False)
        return
    _timed(builder, heard, seconds_between(let_go, builder.now))


def _timed(builder: TurnBuilder, heard: Heard, seconds: Fraction) -> None:
    """Enter a closing time; ask again if it is implausible."""
    builder.set(let_go=None)
    if not plausible(seconds):
        ask_again(builder, replying.clock_was_wrong(in_words(seconds)), missed=False)
        return
    take_answers(builder, closing_time(heard, seconds), confirmed=False)
