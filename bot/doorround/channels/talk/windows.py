"""One person's checks outside the current chat: put aside for another door, or open in another
window.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from doorround.dialogue.door_search import SearchTurn, ask_for_check
from doorround.dialogue.turn import take_turn
from doorround.dialogue.turn_result import Turn
from doorround.dialogue.windows import (
    TakeOver,
    ask_to_take_over,
    goes_on_here,
    may_take_over,
    with_told,
)
from doorround.domain.check import Prompt
from doorround.domain.door import Door
from doorround.domain.door_reference import AnyDoorReference
from doorround.domain.input_result import By, Heard, Said
from doorround.domain.values import Command, Word
from doorround.logbook.chats import Chats
from doorround.logbook.open_checks import (
    OpenCheck,
    at_door,
    move_check,
    open_checks,
    put_aside,
)
from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.store import Logbook

_RESUME = Said(question=None, value=Command(word=Word.RESUME), phrase=Word.RESUME.value)


class Windows:
    """As seen from one chat. Stateless."""

    def __init__(self, chat: str, person: str, logbook: Logbook) -> None:
        self._chat = chat
        self._person = person
        self._logbook = logbook

    def paused(self) -> tuple[Door, ...]:
        """Doors whose check was put aside, most recent first."""
        return tuple(each.check.door for each in self._elsewhere() if each.aside)

    def open_elsewhere(self, declined: tuple[str, ...] = ()) -> OpenCheck | None:
        """The check open in another window. declined: ids of those that stay there."""
        there = (each for each in self._elsewhere() if not each.aside)
        return next((each for each in there if each.check.id not in declined), None)

    def at(self, door: Door) -> OpenCheck | None:
        """The open check of a door, in whichever window."""
        return next(
            (each for each in self._elsewhere() if at_door(self._logbook, each, door)), None
        )

    def _elsewhere(self) -> list[OpenCheck]:
        return [
            each for each in open_checks(self._logbook, self._person) if each.talk != self._chat
        ]

    def begin_or_ask(
        self, door: Door, takes: str, incoming: str | None, now: datetime
    ) -> tuple[Prompt, ...] | None:
        """Resume the open check of a door, or ask whether to; None if there is none. takes: id of
        the one confirmed.
        """
        there = self.at(door)
        if there is None:
            return None
        if there.aside or there.check.id == takes:
            return self._take_up(there, incoming, now)
        sought = ask_for_check(may_take_over(there.check))
        return self._logbook.keep_search(self._chat, incoming, sought, now)

    def ask_first(
        self,
        wanted: Door | None,
        declined: tuple[str, ...] = (),
        heard: AnyDoorReference | None = None,
    ) -> SearchTurn | None:
        """Whether to continue here the check open in another window, if there is one. wanted: the
        door that was named here. heard: what was said here before the question.
        """
        there = self.open_elsewhere(declined)
        if there and wanted and at_door(self._logbook, there, wanted):
            wanted = None
        if there is None:
            return None
        asked = may_take_over(there.check, wanted)
        told = len(str(getattr(heard, "words", None) or "").split()) > 1  # more than "hello"
        return ask_for_check(with_told(asked, heard) if heard and told else asked, declined)

    def leave(
        self, turn: Turn, sought: SearchTurn, incoming: str, now: datetime
    ) -> tuple[Prompt, ...]:
        """Put this chat's check aside, and ask which door: one transaction."""
        with self._logbook.writing():
            say = self._logbook.keep(
                self._chat, incoming, replace(turn, say=(*turn.say, *sought.say)), now
            )
            put_aside(self._logbook, self._chat, now)
            self._logbook.keep_search(self._chat, None, sought, now)
            return say

    def _take_up(self, there: OpenCheck, incoming: str | None, now: datetime) -> tuple[Prompt, ...]:
        with self._logbook.writing():
            told = self._told(there)
            check = move_check(self._logbook, there, self._chat, self._person, now)
            if there.aside:
                heard = Heard(by=By.TYPING, said=(_RESUME,), words=Word.RESUME.value)
                turn = replace(take_turn(check, heard, now), message=None)
            else:
                turn = goes_on_here(check, now, there.talk, self._chat, told)
            say = self._logbook.keep(self._chat, incoming, turn, now)
            if not there.aside:
                self._tell(there, now)
            return say

    def _told(self, there: OpenCheck) -> tuple[str, ...]:
        """What was said here instead of a yes or no to taking this check over."""
        search = self._logbook.door_search(self._chat)
        taking = search.taking if search else None
        return taking.told if taking and taking.check == there.check.id else ()

    def _tell(self, there: OpenCheck, now: datetime) -> None:
        """Notify the first window, if it can be written to; its next message gets the same question
        and does not answer the check.
        """
        asked = TakeOver(check=there.check.id, door=there.check.door, left=True)
        sought = ask_for_check(asked)
        self._logbook.keep_search(there.talk, None, sought, now)
        chats = Chats(self._logbook)
        if chats.person(there.talk) is None:
            return
        prompt = ask_to_take_over(asked)
        line = Outgoing(prompt.text, prompt.taps, question=True, confirms=True)
        turn = chats.move_on(there.talk)
        key = "/".join((there.talk, "taken_over", there.check.id, str(turn)))
        Outbox(self._logbook).put(there.talk, key, turn, line, now)
