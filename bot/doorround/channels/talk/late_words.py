"""A fault or note typed after the check is over, when a door is being asked for: kept as a note."""

from __future__ import annotations

from datetime import datetime

from doorround.channels.talk.second_reading import Understand, read_second
from doorround.dialogue.expected_input import ExpectedInput, expected_input
from doorround.dialogue.unconfirmed_faults import is_fault
from doorround.domain.check import Check, Prompt, Stage
from doorround.domain.door_reference import AnyDoorReference, DoorCommand, DoorWord, NoSuchDoor
from doorround.domain.input_result import By, Heard, OffGrammar, Unsure
from doorround.domain.values import Command, Word
from doorround.hearing.session.interpretation import Interpreter, typed
from doorround.logbook.store import Logbook
from doorround.messages import finding_door


def note_late(
    logbook: Logbook,
    chat: str,
    person: str,
    heard: AnyDoorReference,
    reads: tuple[Interpreter, Understand | None],
    now: datetime,
) -> tuple[AnyDoorReference, tuple[Prompt, ...]]:
    """Enter the words as a note on the door of the last check, if they are a fault of it or a note;
    returns the remaining input, and what to say first. A finished check is never changed.
    """
    check = logbook.position(chat)
    words = heard.words if isinstance(heard, NoSuchDoor | OffGrammar) else None
    if check is None or not words or heard.by is By.VOICE:
        return heard, ()
    note = _note(words, reads[0])
    if not (note or _tells_fault(check, words, *reads)):
        return heard, ()
    logbook.note_alone(note or words, person, now, check.door.number)
    again = DoorCommand(by=heard.by, words=words, word=DoorWord.REPEAT)
    return again, (Prompt(text=finding_door.noted_late(note or words, check.door.number)),)


def _note(words: str, interpreter: Interpreter) -> str:
    """The text after a command to note something; "" if there is none."""
    understood = interpreter.words(words, ExpectedInput(Stage.ASKING))
    value = understood.said[0].value if understood else None
    ordered = isinstance(value, Command) and value.word is Word.NOTE
    return (value.text or "") if isinstance(value, Command) and ordered else ""


def _tells_fault(
    check: Check, words: str, interpreter: Interpreter, understand: Understand | None
) -> bool:
    at_end = check.model_copy(update={"stage": Stage.SUMMARY, "open": None, "pending": None})
    heard = read_second(typed(interpreter, words, expected_input(at_end)), understand, at_end)
    best = heard.guesses[0] if isinstance(heard, Unsure) else heard
    return isinstance(best, Heard) and any(is_fault(at_end, said) for said in best.said)
