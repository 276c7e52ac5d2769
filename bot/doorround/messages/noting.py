"""Noting: notes, photos and captions, and edited messages."""

from __future__ import annotations

from doorround.domain.check import Stage
from doorround.messages.phrasing import quoted

NOTHING_TO_NOTE = "I didn't hear anything. Say or type the note."
NO_NOTE = "No note, then."
NOTED_BY_RECORDING = "Noted. The recording is kept."
NOTE_TAKEN_BACK = "Note taken back."
ONLY_NOTED = "I kept that as a note only. If it tells a fault, say or type what is wrong."
CHANGED_SINCE = "That answer has been changed since. Say change and the part's name."
ONLY_ANSWERS = "Editing a message can only change its answer. Send that as a new message."
UNCHANGED = "That's what I have already."


def noted(words: str) -> str:
    """words: complete, as entered."""
    return f"Noted: “{words}”."


def caption_noted(words: str) -> str:
    """words: shortened if long."""
    return f"Noted: {quoted(words)}."


def note_changed(words: str) -> str:
    return f"Note changed: {quoted(words)}."


def photos_kept(count: int, about: str, caption: str) -> str:
    """about: the part, or "door 12". caption: words sent with it."""
    photos = "Photo" if count == 1 else f"{count} photos"
    return f"{photos} kept with {about}." + (f" {caption_noted(caption)}" if caption else "")


def change_waits(stage: Stage) -> str:
    """A message edited while the check is paused, or is about to be cancelled."""
    state = "being cancelled" if stage is Stage.CANCELLING else stage
    return f"The check is {state}. Carry on with it, then edit your message."


def read_back_dropped(words: str | None) -> str:
    """A message edited to something that is not an answer, while its read-back awaited a yes."""
    that = quoted(words) if words else "That"
    return f"{that} doesn't answer this, so I've dropped what I read back."


def no_longer_says(part: str) -> str:
    """An answer that the edited message no longer gives."""
    return f"{part}: taken back, since your message no longer says it."


def changed_to_no_answer(
    words: str | None, parts: str, value: str, asked_later: bool = False
) -> str:
    """A message edited to something that does not answer its questions. asked_later: it is shown
    again before the signature.
    """
    that = quoted(words) if words else "That"
    later = " I'll ask about it before you sign." if asked_later else ""
    return f"{that} doesn't answer {parts}. What you said before stands: {value}.{later}"
