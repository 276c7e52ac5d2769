"""A recording that names no door: maybe a fault of the door whose check has just ended."""

from __future__ import annotations

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.door_reference import AnyDoorReference, DoorReference, NoSuchDoor
from doorround.domain.input_result import Heard, OffGrammar, Unsure
from doorround.hearing.audio.sound import Sound
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.grammar.active_grammar import Polarity
from doorround.hearing.grammar.polarity import polarity_of
from doorround.hearing.session.interpretation import Interpreter
from doorround.hearing.session.turn_recogniser import recognise_turn

UNLIKELY = 0.5
"""Probability of a door's name below which a fault that is recognised with confidence goes first.
"""


def hear_late_fault(
    engines: tuple[RecognitionPipeline, Interpreter],
    sound: Sound,
    named: AnyDoorReference,
    ended: ExpectedInput | None,
) -> AnyDoorReference:
    """The door that was recognised; if there is none, the recording recognised again as at the end
    of the check before, with its transcript, and a fault as its nearest meaning. ended: state of
    that check; None if there was none.
    """
    if ended is None or not _may_be_none(named):
        return named
    heard = recognise_turn(*engines, sound, ended)
    best = heard.guesses[0] if isinstance(heard, Unsure) else heard
    fault = isinstance(best, Heard) and polarity_of(best.said, ended) is Polarity.DEFECT
    if not isinstance(named, OffGrammar) and not (fault and heard is best):
        return named
    transcript = heard.transcript if isinstance(heard, OffGrammar) else _written(best)
    return OffGrammar(
        transcript=transcript,
        nearest=(best,) if fault and isinstance(best, Heard) else (),
        advice=getattr(named, "advice", None),
        audio_sha256=sound.sha256,
    )


def _may_be_none(named: AnyDoorReference) -> bool:
    if isinstance(named, DoorReference):
        return not named.sure and named.probability < UNLIKELY
    return isinstance(named, OffGrammar | NoSuchDoor)


def _written(heard: object) -> str:
    """Transcript of what was recognised with confidence or not; "" if there was none."""
    said = heard.said if isinstance(heard, Heard) else ()
    found = (each.hearing.transcript.strip() for each in said if each.hearing)
    return ", ".join(dict.fromkeys(filter(None, found)))
