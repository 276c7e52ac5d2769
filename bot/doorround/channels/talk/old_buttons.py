"""Buttons of earlier questions that still have an effect."""

from __future__ import annotations

from datetime import datetime

from doorround.channels.talk.late_words import at_end
from doorround.dialogue.amending import stand_at
from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.measuring import only_made_good
from doorround.dialogue.unconfirmed_faults import is_fault
from doorround.domain.check import Check, Prompt
from doorround.domain.input_result import By, Heard
from doorround.hearing.session.interpretation import Interpreter, typed
from doorround.logbook.store import Logbook
from doorround.messages import finding_door
from doorround.messages.answers import said_words


class OldButtons:
    """Those of one chat. Stateless."""

    def __init__(self, chat: str, person: str, logbook: Logbook, interpreter: Interpreter) -> None:
        self._chat = chat
        self._person = person
        self._logbook = logbook
        self._interpreter = interpreter

    def tells_made_good(self, words: str) -> bool:
        """Whether a button says that a fault in the open check was put right."""
        check = self._logbook.position(self._chat)
        if check is None or check.closed:
            return False
        heard = typed(self._interpreter, words, expected_input(check), By.TAP)
        return isinstance(heard, Heard) and all(only_made_good(each) for each in heard.said)

    def note_late(
        self, words: str, of_check: str | None, question: str | None, now: datetime
    ) -> tuple[Prompt, ...]:
        """Note a fault on a button of the last check here, which is over, with its door; empty if
        it is none. of_check: id of the button's check. question: key of what it answered.
        """
        check = self._logbook.position(self._chat)
        if check is None or not check.closed or check.id != of_check:
            return ()
        fault = self._fault(check, words, question)
        if not fault:
            return ()
        self._logbook.note_alone(fault, self._person, now, check.door.number)
        return (Prompt(text=finding_door.noted_late(fault, check.door.number)),)

    def _fault(self, check: Check, words: str, question: str | None) -> str:
        """The fault on a button, with its part; "" if it is none."""
        there = at_end(check)
        if question in [each.key for each in check.questions]:
            there = stand_at(there, question or "")
        heard = typed(self._interpreter, words, expected_input(there), By.TAP)
        if not isinstance(heard, Heard) or not all(is_fault(check, each) for each in heard.said):
            return ""
        return "; ".join(said_words(each, check.checklist) for each in heard.said)
