"""A fault or note that comes after the check is over, when a door is being asked for: kept as a
note. A finished check is never changed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime

from doorround.channels.talk.second_reading import Understand, read_second
from doorround.dialogue.expected_input import ExpectedInput, expected_input
from doorround.dialogue.unconfirmed_faults import is_fault
from doorround.domain.check import Check, Prompt, Stage
from doorround.domain.door_reference import (
    AnyDoorReference,
    DoorCommand,
    DoorReference,
    DoorWord,
    NoSuchDoor,
)
from doorround.domain.input_result import By, Heard, OffGrammar, Unsure
from doorround.domain.values import Command, Word
from doorround.english.number_words import NUMBER_WORDS
from doorround.english.told_late import told_late
from doorround.hearing.session.interpretation import Interpreter, typed
from doorround.logbook.store import Logbook
from doorround.messages import finding_door

ReadDoor = Callable[[str], AnyDoorReference]
"""The door that typed words name."""

Reads = tuple[Interpreter, Understand | None]

MAX_NAME = 6
"""Maximum words of a door's number within a message about it."""


def at_end(check: Check) -> Check:
    """The check as at its summary, where every fault of its door may be told."""
    return check.model_copy(update={"stage": Stage.SUMMARY, "open": None, "pending": None})


def ended_input(logbook: Logbook, chat: str) -> ExpectedInput | None:
    """Input expected at the end of this chat's last check; None if there was none."""
    check = logbook.position(chat)
    return None if check is None else expected_input(at_end(check))


def note_late(
    here: tuple[Logbook, str, str],
    heard: AnyDoorReference,
    reads: Reads,
    read_door: ReadDoor,
    now: datetime,
) -> tuple[AnyDoorReference, tuple[Prompt, ...]]:
    """Enter the message as a note, if it is a fault or a note: on the door it names, else on the
    door of the last check. Returns the remaining input, and what to say first. here: logbook, chat
    and person.
    """
    logbook, chat, person = here
    check = logbook.position(chat)
    if check is None or not isinstance(heard, NoSuchDoor | OffGrammar):
        return heard, ()
    spoken = heard.by is By.VOICE
    words = (heard.transcript if spoken and isinstance(heard, OffGrammar) else heard.words) or ""
    near = heard.nearest[:1] if isinstance(heard, OffGrammar) else ()
    late = find_late(check, words or "".join(each.words for each in near), reads, read_door, near)
    if late is None:
        return heard, ()
    logbook.note_alone(late.text, person, now, late.number or None, heard.audio_sha256)
    again = DoorCommand(by=heard.by, words=late.text, word=DoorWord.REPEAT)
    return again, (Prompt(text=late.line),)


@dataclass(frozen=True)
class LateWords:
    """A fault or note told after a check. number: of the door it is about, "" if the one that it
    names is not in the register. last: whether that is the door checked last.
    """

    text: str
    number: str
    last: bool

    @property
    def line(self) -> str:
        """What the bot says of it."""
        return finding_door.noted_late(self.text, self.number, self.last)


def find_late(
    check: Check, words: str, reads: Reads, read_door: ReadDoor, near: tuple[Heard, ...] = ()
) -> LateWords | None:
    """Words after that check, if they are a fault or note. near: a recording's nearest meaning."""
    kept = _LateWords(check, reads, read_door).kept(words, near)
    return kept and LateWords(*kept, kept[1] == check.door.number)


class _LateWords:
    """Messages after one check."""

    def __init__(self, check: Check, reads: Reads, read_door: ReadDoor) -> None:
        self._check = at_end(check)
        self._reads = reads
        self._read_door = read_door

    def kept(self, words: str, near: tuple[Heard, ...]) -> tuple[str, str] | None:
        """The text to be noted, and the number of the door it is about, "" if that is not in the
        register; None if it is neither a fault nor a note.
        """
        here = self._check.door.number
        if not words:
            return None
        if note := _note(words, self._reads[0]):
            return note, here
        if self._tells_fault(words):
            return words, here
        heard_fault = [each for each in near if self._is_fault(each)]
        for rest, named in _apart(words):
            number = self._number(named)
            if number is not None and (heard_fault or self._tells_fault(rest)):
                return words, number
        if heard_fault:  # a recording, whose transcript may be of anything
            return heard_fault[0].words, here
        rest = told_late(words) or ""
        names = isinstance(self._read_door(rest), OffGrammar | NoSuchDoor) if rest else False
        return (words, here) if names and len(rest.split()) > 1 else None

    def _number(self, named: str) -> str | None:
        """Number of the one door that the words name, "" if they name one that is not in the
        register or may name several; None if they name none.
        """
        found = self._read_door(named)
        if isinstance(found, DoorReference) and found.sure:
            return found.doors[0].number
        tokens = named.lower().removeprefix("door ").split()
        numbered = all(each in NUMBER_WORDS or each.strip("./-").isdigit() for each in tokens)
        return "" if numbered or isinstance(found, DoorReference) else None

    def _tells_fault(self, words: str) -> bool:
        rest = told_late(words)
        text = words if rest is None else rest
        interpreter, understand = self._reads
        expected = expected_input(self._check)
        heard = read_second(typed(interpreter, text, expected), understand, self._check)
        best = heard.guesses[0] if isinstance(heard, Unsure) else heard
        return isinstance(best, Heard) and self._is_fault(best)

    def _is_fault(self, heard: Heard) -> bool:
        return any(is_fault(self._check, said) for said in heard.said)


def _apart(words: str) -> Iterator[tuple[str, str]]:
    """Ways in which a message may consist of what happened and the name of a door: "closer slams on
    301", "301: closer slams". Longest name first.
    """
    tokens = words.strip(" .!").split()
    for count in range(min(MAX_NAME, len(tokens) - 2), 0, -1):
        before, named = tokens[:-count], tokens[-count:]
        if before[-1].lower() in ("on", "at", "of", "for", "in"):
            yield " ".join(before[:-1]).rstrip(","), " ".join(named)
        head = " ".join(tokens[:count])
        named_first = re.sub(r"^(?:on|at|for|in) ", "", head, flags=re.IGNORECASE)
        yield " ".join(tokens[count:]), named_first.rstrip(",:;-")


def _note(words: str, interpreter: Interpreter) -> str:
    """The text after a command to note something; "" if there is none."""
    understood = interpreter.words(words, ExpectedInput(Stage.ASKING))
    value = understood.said[0].value if understood else None
    ordered = isinstance(value, Command) and value.word is Word.NOTE
    return (value.text or "") if isinstance(value, Command) and ordered else ""
