"""How an answer or message was received, in words. Pure."""

from __future__ import annotations

import re

from doorround.domain.answers import Answer
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import By
from doorround.logbook.records import EventRecord


def how(entry: EventRecord, known: Answer | None = None) -> str:
    """How an answer was heard: 'voice 0.97 "two screws missing" at 0:14', 'typed "3 mm"'. known:
    the answer, if already read.

    Empty for any other entry.
    """
    if entry.kind is EntryKind.MESSAGE:
        return _CAME_BY[By(entry.body["by"])]
    if entry.kind is not EntryKind.ANSWERED:
        return ""
    answer = known or Answer.model_validate(entry.body)
    spoken = f"voice {answer.probability:.2f}"
    by = spoken if answer.by is By.VOICE else _CAME_BY[answer.by]
    place = f" at {_clock(answer.spoken[0])}" if answer.spoken and answer.spoken[0] else ""
    transcript = answer.hearing.transcript if answer.hearing else ""
    written = f' of "{transcript}"' if transcript and _plain(transcript) != answer.heard else ""
    return f'{by} "{answer.heard}"{written}{place}' + (", confirmed" if answer.confirmed else "")


_CAME_BY = {
    By.VOICE: "voice",
    By.TAP: "tapped",
    By.TYPING: "typed",
    By.EDIT: "message changed to",
    By.FORWARD: "forwarded",
}


def _plain(text: str) -> str:
    return re.sub(r"[^a-z' ]", "", text.lower())


def _clock(seconds: float) -> str:
    return f"{int(seconds // 60)}:{int(seconds % 60):02d}"


_NOT_READ = {
    "unsure": ", not sure",
    "off_grammar": ", not understood",
    "silence": ", nothing heard",
    "bad_audio": ", could not be used",
}


def message_words(entry: EventRecord) -> str:
    """A message as received: 'Message, not understood: "lunch"'."""
    body = entry.body
    words = body["words"] or body["transcript"]
    recording = f"recording {body['audio_sha256'][:8]}" if body["audio_sha256"] else ""
    came = f'"{words}"' if words else recording or "without words"
    return f"Message{_NOT_READ.get(body['came_as'], '')}: {came}"
