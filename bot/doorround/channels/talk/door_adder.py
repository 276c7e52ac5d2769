"""Adds a door to the register in a talk, and begins its first check."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from doorround.channels.talk.check_starter import CheckStarter
from doorround.dialogue.door_search import DoorSearch, SearchTurn
from doorround.dialogue.new_door import (
    NewDoorTurn,
    begin_new_door,
    new_door_words,
    read_back_of,
    take_new_door,
)
from doorround.domain.check import Prompt
from doorround.domain.checklist import Checklist
from doorround.domain.door import Door
from doorround.domain.door_reference import (
    AnyDoorReference,
    DoorCommand,
    DoorWord,
    NewDoorWords,
    adds_door,
)
from doorround.logbook.errors import DoorExistsError, UnknownDoorError
from doorround.logbook.store import Logbook
from doorround.messages import buttons, new_door


class DoorAdder:
    """For one chat. Stateless."""

    def __init__(self, chat: str, person: str, logbook: Logbook, starter: CheckStarter) -> None:
        self._chat = chat
        self._person = person
        self._logbook = logbook
        self._starter = starter

    def take(
        self,
        standing: DoorSearch,
        heard: AnyDoorReference,
        place: tuple[tuple[Door, ...], tuple[str, ...]],
        incoming: str,
        checklist: Checklist,
        now: datetime,
    ) -> tuple[Prompt, ...]:
        """Advance the dialogue that adds a door, and begin its check once added: one transaction.
        place: doors of the register, and sites of this person.
        """
        turn = self._adding(standing, heard, place)
        # a spoken yes or no is accepted at the read-back
        offered = () if turn.adding is None else read_back_of(turn)
        stands = DoorSearch(adding=turn.adding, said=turn.say, offered=offered)
        with self._logbook.writing():
            if (said := self._logbook.already(self._chat, incoming)) is not None:
                return said
            if turn.door is None:
                sought = SearchTurn(stands, turn.say)
                return self._logbook.keep_search(self._chat, incoming, sought, now)
            try:
                self._logbook.add_door(turn.door, self._person, now)
            except (DoorExistsError, UnknownDoorError) as error:
                sorry = SearchTurn(DoorSearch(), (Prompt(text=str(error)),))
                return self._logbook.keep_search(self._chat, incoming, sorry, now)
            begun = self._starter.start(turn.door, checklist, now)
            say = (*begun.say[:1], Prompt(text=new_door.SEND_PHOTO), *begun.say[1:])
            return self._logbook.begin(self._chat, replace(begun, say=say), incoming, now)

    def _adding(
        self,
        standing: DoorSearch,
        heard: AnyDoorReference,
        place: tuple[tuple[Door, ...], tuple[str, ...]],
    ) -> NewDoorTurn:
        register, sites = place
        adding = standing.adding
        words = _words(heard, bool(standing.offered))
        if words is None and adding is not None:
            asked = (each for each in standing.said if each.text != new_door.TYPE_IT)
            return NewDoorTurn(adding, (Prompt(text=new_door.TYPE_IT), *asked))
        number = new_door_words(words or "")
        if adding is None or number is not None:
            before = self._logbook.position(self._chat)
            beside = before.door if before else None
            return begin_new_door(number or "", beside, register, sites)
        return take_new_door(adding, words or "", register)


def _words(heard: AnyDoorReference, read_back: bool) -> str | None:
    """Typed text, or spoken "new door" and yes or no at the read-back. None for any other speech:
    names and numbers are not recognised by voice.
    """
    if isinstance(heard, NewDoorWords):
        return heard.words
    if adds_door(heard):
        return str(DoorWord.NEW)
    answers = {DoorWord.YES: "yes", DoorWord.NO: buttons.CANCEL} if read_back else {}
    return answers.get(heard.word) if isinstance(heard, DoorCommand) else None
