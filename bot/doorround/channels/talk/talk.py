"""One caretaker's talk on any channel: input → understood → a turn → stored → what to say."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Collection
from datetime import datetime
from pathlib import Path

from doorround.channels.talk.asides import as_question
from doorround.channels.talk.captions import Captions
from doorround.channels.talk.door_selection import Answers, DoorSelection
from doorround.channels.talk.exchange import Incoming, TalkReply
from doorround.channels.talk.late_words import ended_input, note_late
from doorround.channels.talk.listening import wanted_at
from doorround.channels.talk.message_hearing import MessageHearing
from doorround.channels.talk.message_reading import read_message
from doorround.channels.talk.old_buttons import OldButtons
from doorround.channels.talk.photo_cleaning import photos_beside
from doorround.channels.talk.playback import cut, write_clip
from doorround.channels.talk.second_reading import Understand, hear_change
from doorround.dialogue.amending import amend, amend_note, stand_at
from doorround.dialogue.early_reply import as_sent
from doorround.dialogue.photos import Photo, take_photo
from doorround.dialogue.turn import take_turn
from doorround.domain.alerts import Reach
from doorround.domain.check import Check, Clip, Prompt, Stage
from doorround.domain.checklist import Checklist
from doorround.domain.door import Door
from doorround.domain.door_reference import (
    AnyDoorReference,
    AskedQuery,
    DoorCommand,
    DoorReference,
    NewDoorWords,
    NoSuchDoor,
)
from doorround.domain.input_result import AnyHeard, BadAudio, By, Heard, Unsure
from doorround.domain.schedule.intervals import Intervals
from doorround.hearing.audio.sound import UnusableAudio
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.session.interpretation import Interpreter
from doorround.hearing.session.worker_pool import Pool
from doorround.logbook.store import Logbook
from doorround.messages import receiving


class Talk:
    """The talk of one chat.

    Stateless: its state is in the logbook.
    """

    def __init__(
        self,
        chat: str,
        person: str,
        logbook: Logbook,
        interpreter: Interpreter,
        pipeline: Callable[[], RecognitionPipeline],
        recordings: Path,
        longest_note_s: float = 180.0,
        checklist: Checklist | None = None,
        intervals: Intervals | None = None,
        reach: Callable[[Check, datetime], Reach] | None = None,
        answers: Answers | None = None,
        understand: Understand | None = None,
    ) -> None:
        """checklist: for checks that the caretaker begins by naming a door; without one, only
        begin() does. intervals, answers: see DoorSelection. reach: recipients of danger alerts;
        None for nobody. understand: the second understanding; without one, only the grammar is
        used.
        """
        self.chat = chat
        self.person = person
        self._logbook = logbook
        self._interpreter = interpreter
        self._recordings = recordings
        self._longest_note_s = longest_note_s
        self._checklist = checklist
        self._reach = reach
        self._answers = answers
        self._understand = understand
        self._hearing = MessageHearing(
            person, logbook, interpreter, pipeline, recordings, longest_note_s
        )
        self.old_buttons = OldButtons(chat, person, logbook, interpreter)
        self._finder = DoorSelection(
            chat, person, logbook, interpreter.grammar_set, pipeline, intervals, answers
        )
        reads = (interpreter, understand)
        self.captions = Captions(chat, person, logbook, reads, self._read_door)

    @property
    def check(self) -> Check | None:
        """This talk's current check."""
        check = self._logbook.position(self.chat)
        return None if check is None or check.closed else check

    @property
    def photos(self) -> Path:
        """The folder of the photos."""
        return photos_beside(self._recordings)

    def begin(self, door: str | Door, checklist: Checklist, now: datetime) -> TalkReply:
        """Start a check of a door, by its number or register entry.

        Raises LogbookError for an unknown door or while another check is open.
        """
        found = self._logbook.door(door) if isinstance(door, str) else door
        turn = self._finder.starter.start(found, checklist, now)
        return TalkReply(self._logbook.begin(self.chat, turn))

    def begin_at(
        self, door: Door, now: datetime, look: bool = False, by_label: bool = True
    ) -> TalkReply:
        """Start a check of the door whose label was scanned, or resume its open one; if one is open
        in another window, ask first. look: a short visit to repairs.

        Raises LogbookError while another check is open here, and if no repair is waiting for a
        look.
        """
        assert self._checklist is not None
        say = self._finder.arrive(door, self._checklist, now, by_label and not look, look)
        return TalkReply(say, asks_door=self.check is None)

    def ask_door(self, now: datetime) -> TalkReply:
        """Ask which door; the answer may be spoken, typed or tapped.

        Raises LogbookError during an open check.
        """
        return TalkReply(self._finder.ask(now), asks_door=True)

    def take(self, incoming: Incoming, now: datetime) -> TalkReply:
        """Process one message. Idempotent: a repeated one changes nothing and gets the same reply.

        While no check is open, it is taken as the name of a door.
        """
        said = self._logbook.already(self.chat, incoming.id)
        if said is not None:
            return TalkReply(said)
        check = self.check
        if check is None:
            return self._find(incoming, now)
        return self.reply(incoming, self.hear(incoming, check), check, now)

    def reply(self, incoming: Incoming, heard: AnyHeard, check: Check, now: datetime) -> TalkReply:
        """The turn for a message's result in this check, stored."""
        # only a signature names the recipients; it follows the summary, or a last read-back there
        ending = check.stage in (Stage.SUMMARY, Stage.CONFIRMING)
        reach = self._reach(check, now) if self._reach and ending else None
        heard = as_question(check, heard, self._answers, self.person, now)
        heard = read_message(check, heard, (self._interpreter, self._understand))
        heard = as_sent(check, heard, forwarded=incoming.forwarded, early=incoming.early)
        turn = take_turn(check, heard, now, reach)
        if turn.aside and self._checklist is not None:
            return TalkReply(self._finder.leave(turn, incoming.id, now), heard, asks_door=True)
        return TalkReply(self._logbook.keep(self.chat, incoming.id, turn, now), heard)

    async def listen_pooled(
        self, incoming: Incoming, pool: Pool, question: str | None = None
    ) -> AnyHeard | AnyDoorReference | None:
        """The slow phase of take(): the pool's result for a recording. Stores nothing but the
        recording.

        None if there is nothing to recognise: typed or tapped, already processed, or no door is
        being asked for. question: key of the one it answers, if not the open one.
        """
        recording = incoming.recording
        if recording is None:
            return None
        self.keep(recording)
        check = self._standing_at(question)
        if self._logbook.already(self.chat, incoming.id) is not None or (
            check is None and self._checklist is None
        ):
            return None
        return await pool.hear(
            recording, self._finder.wanted if check is None else wanted_at(check)
        )

    def take_heard(
        self,
        incoming: Incoming,
        heard: AnyHeard | AnyDoorReference | None,
        now: datetime,
        question: str | None = None,
    ) -> TalkReply:
        """The quick phase: the turn on listen_pooled()'s result, stored. Never waits, so it fits
        into a transaction.

        No other message of this chat may come between the two phases. question: as given to
        listen_pooled().
        """
        said = self._logbook.already(self.chat, incoming.id)
        if said is not None:
            return TalkReply(said)
        check = self._standing_at(question)
        if check is None:
            if isinstance(heard, Heard | Unsure):
                # the check was taken over from this chat during recognition of its answer
                heard = BadAudio(advice=receiving.GONE_ELSEWHERE)
            return self.take(incoming, now) if heard is None else self._found(incoming, heard, now)
        if heard is None:
            heard = self.hear(incoming, check)
        if isinstance(heard, DoorReference | NoSuchDoor | DoorCommand | AskedQuery | NewDoorWords):
            # a check was handed over to this chat during recognition of a door's name
            heard = BadAudio(advice=receiving.ANOTHER_DOOR, audio_sha256=heard.audio_sha256 or "")
        return self.reply(incoming, heard, check, now)

    def _standing_at(self, question: str | None) -> Check | None:
        check = self.check
        return check if check is None or question is None else stand_at(check, question)

    def keep(self, recording: bytes) -> None:
        """Store a recording."""
        self._hearing.keep(recording)

    def amend(
        self, id: str, text: str, answers: Collection[str], now: datetime, waits: bool = False
    ) -> tuple[Prompt, ...]:
        """A message that gave these answers (ids) was edited to a text. In the open check. waits:
        its words await a yes.
        """
        check = self.check
        assert check is not None
        heard = hear_change(text, check, answers, waits, (self._interpreter, self._understand))
        return self._logbook.keep(self.chat, id, amend(check, answers, heard, now, waits), now)

    def amend_note(
        self, id: str, text: str, note: int | None, photo: str | None, now: datetime
    ) -> tuple[Prompt, ...]:
        """A note (number of its entry), or a photo's caption, was edited to a text.

        In the open check.
        """
        check = self.check
        assert check is not None
        noted = self._hearing.note_words(text) if photo is None else text.strip()
        return self._logbook.keep(self.chat, id, amend_note(check, noted, note, photo, now), now)

    def photographed(
        self, id: str, photo: Photo, question: str | None, now: datetime
    ) -> tuple[Prompt, ...]:
        """Enter a stored photo in the open check. question: key of its subject; None: the open
        question.
        """
        said = self._logbook.already(self.chat, id)
        if said is not None:
            return said
        check = self.check
        assert check is not None
        return self._logbook.keep(self.chat, id, take_photo(check, photo, question, now), now)

    def _read_door(self, words: str) -> AnyDoorReference:
        return self._finder.which.read(words)

    def hear(self, incoming: Incoming, check: Check) -> AnyHeard:
        """The result of a message at this point of a check."""
        return self._hearing.hear(incoming, check)

    def clip(self, clip: Clip) -> bytes:
        """A message's audio clip, OGG/Opus. Raises RecordingGoneError."""
        return cut(clip, self._recordings, self._longest_note_s)

    def clip_file(self, clip: Clip) -> Path:
        """The same as a file in the folder `clips` beside the recordings."""
        return write_clip(clip, self._recordings, self._recordings.parent / "clips")

    def _find(self, incoming: Incoming, now: datetime) -> TalkReply:
        if self._checklist is None:
            return TalkReply((Prompt(text=receiving.NO_DOOR_OPEN),))
        try:
            sound = None if incoming.recording is None else self._hearing.sound(incoming.recording)
            by = By.TAP if incoming.tapped else By.TYPING
            heard = self._finder.hear(incoming.text, by, sound)
            if sound is not None:
                ended = ended_input(self._logbook, self.chat)
                heard = self._hearing.late_fault(sound, heard, ended)
        except UnusableAudio as bad:
            heard = BadAudio(
                advice=str(bad), audio_sha256=hashlib.sha256(incoming.recording or b"").hexdigest()
            )
        return self._found(incoming, heard, now)

    def _found(self, incoming: Incoming, heard: AnyDoorReference, now: datetime) -> TalkReply:
        assert self._checklist is not None
        with self._logbook.writing():
            reads = (self._interpreter, self._understand)
            here = (self._logbook, self.chat, self.person)
            heard, noted = note_late(here, heard, reads, self._read_door, now)
            say = self._finder.take(heard, incoming.id, self._checklist, now)
        return TalkReply((*noted, *say), heard)
