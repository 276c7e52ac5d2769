"""The expected input of a talk in its current state; and whether the pool was full."""

from __future__ import annotations

from doorround.dialogue.expected_input import expected_input
from doorround.domain.check import FREE, Check
from doorround.domain.door_reference import AnyDoorReference
from doorround.domain.input_result import AnyHeard, BadAudio, RecordingProblem
from doorround.hearing.session.recognition_worker import AtQuestion, ListeningTask, Note


def wanted_at(check: Check) -> ListeningTask:
    """The expected input for the pool at this point of a check."""
    return Note() if check.stage in FREE else AtQuestion(expected_input(check))


def is_busy(heard: AnyHeard | AnyDoorReference | None) -> bool:
    """Whether the pool rejected a recording."""
    return isinstance(heard, BadAudio) and heard.problem is RecordingProblem.BUSY
