"""A note at a check: the next message, whatever it is. Pure."""

from __future__ import annotations

from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.turn_steps import go_on
from doorround.domain.check import Stage
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import AnyHeard, BadAudio, Heard, Silence, Unsure
from doorround.domain.values import Command, Word
from doorround.messages import noting


def _is(heard: Heard, word: Word) -> bool:
    value = heard.said[0].value
    return isinstance(value, Command) and value.word is word


def take_note(builder: TurnBuilder, heard: AnyHeard) -> None:
    """Enter the message as a note, with its best-effort transcript and its recording."""
    if isinstance(heard, Silence | BadAudio):
        builder.say(heard.advice if isinstance(heard, BadAudio) else noting.NOTHING_TO_NOTE)
        return
    if isinstance(heard, Heard) and _is(heard, Word.CANCEL):
        builder.say(noting.NO_NOTE)
    else:
        words = heard.guesses[0].words if isinstance(heard, Unsure) else heard.words
        if not words and not heard.audio_sha256:
            builder.say(noting.NOTHING_TO_NOTE)
            return
        builder.enter(EntryKind.NOTED, text=words, audio_sha256=heard.audio_sha256)
        builder.say(noting.noted(words) if words else noting.NOTED_BY_RECORDING)
    builder.set(stage=Stage.ASKING)
    go_on(builder)
