"""Understands a message in an open check: typed, tapped or recorded."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path

from doorround.channels.talk.blob_store import keep_file
from doorround.channels.talk.exchange import Incoming
from doorround.dialogue.expected_input import ExpectedInput, expected_input
from doorround.domain.check import FREE, Check, Stage
from doorround.domain.door_reference import AnyDoorReference
from doorround.domain.input_result import AnyHeard, BadAudio, By, Silence
from doorround.domain.values import Command, Word
from doorround.hearing.audio.reader_process import read_apart
from doorround.hearing.audio.sound import Sound, UnusableAudio
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.session.interpretation import Interpreter, typed
from doorround.hearing.session.late_recordings import hear_late_fault
from doorround.hearing.session.recognition_worker import note
from doorround.hearing.session.turn_recogniser import recognise_turn
from doorround.logbook.recordings import remember
from doorround.logbook.store import Logbook


class MessageHearing:
    """Recognises one person's messages; a recording is stored before recognition."""

    def __init__(
        self,
        person: str,
        logbook: Logbook,
        interpreter: Interpreter,
        pipeline: Callable[[], RecognitionPipeline],
        recordings: Path,
        longest_note_s: float,
    ) -> None:
        """recordings: the folder where they are stored under their hash."""
        self._person = person
        self._logbook = logbook
        self._interpreter = interpreter
        self._pipeline = pipeline
        self._recordings = recordings
        self._longest_note_s = longest_note_s

    def keep(self, recording: bytes) -> None:
        """Store a recording."""
        digest = hashlib.sha256(recording).hexdigest()
        remember(self._logbook, digest, self._person)
        keep_file(self._recordings, digest, recording)

    def hear(self, incoming: Incoming, check: Check) -> AnyHeard:
        """The result of a message at this point of a check."""
        if incoming.recording is not None:
            return self._listen(incoming.recording, check)
        by = By.TAP if incoming.tapped else By.TYPING
        if not (incoming.text or "").strip():
            return Silence(by=by)
        return typed(self._interpreter, incoming.text or "", expected_input(check), by)

    def note_words(self, text: str) -> str:
        """The words of a note, without a leading command to note them."""
        understood = self._interpreter.words(text, ExpectedInput(Stage.ASKING))
        value = understood.said[0].value if understood else None
        ordered = isinstance(value, Command) and value.word is Word.NOTE and value.text
        return ordered or text.strip()

    def sound(self, recording: bytes) -> Sound:
        """The recording ready for recognition, once stored. Raises UnusableAudio."""
        self.keep(recording)
        return read_apart(recording, self._longest_note_s)

    def late_fault(
        self, sound: Sound, named: AnyDoorReference, ended: ExpectedInput | None
    ) -> AnyDoorReference:
        """As hear_late_fault()."""
        engines = (self._pipeline(), self._interpreter)
        return hear_late_fault(engines, sound, named, ended)

    def _listen(self, recording: bytes, check: Check) -> AnyHeard:
        try:
            sound = self.sound(recording)
        except UnusableAudio as bad:
            return BadAudio(advice=str(bad), audio_sha256=hashlib.sha256(recording).hexdigest())
        if check.stage in FREE:
            return note(self._pipeline(), sound)
        return recognise_turn(self._pipeline(), self._interpreter, sound, expected_input(check))
