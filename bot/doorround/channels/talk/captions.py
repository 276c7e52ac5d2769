"""Captions of photos and recordings: kept as notes, and what they tell is taken up."""

from __future__ import annotations

from datetime import datetime

from doorround.channels.talk.late_words import LateWords, ReadDoor, at_end, find_late
from doorround.channels.talk.message_reading import Reads, read_message
from doorround.dialogue.amending import stand_at
from doorround.dialogue.captions import TAKEN_AT, as_caption, note_caption, tells_fault_unread
from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.turn import take_turn
from doorround.domain.check import Check, Prompt, Stage
from doorround.domain.input_result import AnyHeard, OffGrammar
from doorround.english.photo_places import tells_only_where
from doorround.hearing.session.interpretation import typed
from doorround.logbook.store import Logbook
from doorround.messages import noting


class Captions:
    """Those of one chat. Stateless."""

    def __init__(
        self, chat: str, person: str, logbook: Logbook, reads: Reads, read_door: ReadDoor
    ) -> None:
        """read_door: finds the door that typed words name."""
        self._read_door = read_door
        self._chat = chat
        self._person = person
        self._logbook = logbook
        self._reads = reads

    def note(self, id: str, text: str, now: datetime) -> tuple[Prompt, ...]:
        """Enter a caption as a note: in the open check, or else on its own."""
        said = self._logbook.already(self._chat, id)
        if said is not None:
            return said
        if check := self._open():
            return self._logbook.keep(self._chat, id, note_caption(check, text, now), now)
        late = self.late(text)
        door = late.number or None if late else None
        self._logbook.note_alone(text, self._person, now, door)
        return (Prompt(text=late.line if late else noting.caption_noted(text)),)

    def late(self, text: str) -> LateWords | None:
        """A caption after the last check here, if it is a fault of its door, or of one it names."""
        check = self._logbook.position(self._chat)
        return find_late(check, text, self._reads, self._read_door) if check else None

    def take(self, id: str, text: str, shown: str | None, now: datetime) -> tuple[Prompt, ...]:
        """Take up what a caption tells beyond its note, in the open check; empty if that is
        nothing. shown: key of the question that its picture or recording belongs to; "" if that is
        unknown, so that only a fault whose words name its part is taken.
        """
        said = self._logbook.already(self._chat, id)
        check = self._open()
        if said is not None or check is None or check.stage not in TAKEN_AT:
            return said or ()
        if tells_only_where(text):
            return ()
        there = _at_what_is_shown(check, shown)
        read = self._read(there, text)
        meant = as_caption(check, read, shown)
        if isinstance(read, OffGrammar):  # what names another part may be read without a question
            meant = as_caption(check, self._read(at_end(check), text), "")
        if meant is not None:
            return self._logbook.keep(self._chat, id, take_turn(check, meant, now), now)
        return (Prompt(text=noting.ONLY_NOTED),) if tells_fault_unread(there, read) else ()

    def _read(self, there: Check, text: str) -> AnyHeard:
        heard = typed(self._reads[0], text, expected_input(there))
        return read_message(there, heard, self._reads)

    def _open(self) -> Check | None:
        check = self._logbook.position(self._chat)
        return None if check is None or check.closed else check


def _at_what_is_shown(check: Check, shown: str | None) -> Check:
    """The check as if asking about what a picture shows, so that bare words are about that."""
    if shown == "":
        return at_end(check)
    asked = shown in [each.key for each in check.questions]
    return stand_at(check, shown or "") if check.stage is Stage.ASKING and asked else check
