"""Every message at a check as it was received: typed or tapped words, or a recording and its text.

Pure: reads only its arguments.
"""

from __future__ import annotations

from datetime import datetime

from doorround.domain.check import Check
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.input_result import AnyHeard, Heard, OffGrammar, Unsure
from doorround.messages.answers import said_words


def as_received(check: Check, heard: AnyHeard, now: datetime) -> Entry | None:
    """Entry of one message, whether understood or not; None if the check is closed.

    question: key of the open one, None if there was none. words: as typed or tapped, or as
    recognised under the grammar; transcript: free transcript of a recording. taken_for: what it was
    understood as, "" if it was not.
    """
    if check.closed:
        return None
    first = _first(heard)
    said = first.said if first else ()
    body = {
        "question": check.open,
        "stage": check.stage.value,
        "by": heard.by.value,
        "came_as": heard.kind,
        "words": words_of(heard),
        "transcript": transcript_of(heard),
        "audio_sha256": heard.audio_sha256,
        "taken_for": "; ".join(said_words(each, check.checklist) for each in said),
    }
    number, id = check.door.number, check.id
    return Entry(
        kind=EntryKind.MESSAGE, at=now, person=check.person, door=number, check=id, body=body
    )


def words_of(heard: AnyHeard) -> str:
    """The words as received; "" if there are none."""
    if isinstance(heard, OffGrammar):
        return heard.words or ""
    first = _first(heard)
    return first.words if first else ""


def transcript_of(heard: AnyHeard) -> str:
    """The free transcript of a recording; "" if there is none."""
    if isinstance(heard, OffGrammar):
        return heard.transcript
    first = _first(heard)
    written = [each.hearing.transcript for each in first.said if each.hearing] if first else []
    return ", ".join(dict.fromkeys(filter(None, written)))


def _first(heard: AnyHeard) -> Heard | None:
    """What was heard, or the likeliest guess."""
    if isinstance(heard, Unsure):
        return heard.guesses[0]
    return heard if isinstance(heard, Heard) else None
