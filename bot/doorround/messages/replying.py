"""Replying: to what was not understood, and to the words that work at every question."""

from __future__ import annotations

from doorround.domain.check import Stage
from doorround.messages.phrasing import quoted

NOT_UNDERSTOOD = "not understood"
HEARD_NOTHING = "I heard nothing."
DID_NOT_UNDERSTAND = "I did not understand that."
NOT_SURE_HEARD = "I am not sure I heard you."
NOT_SURE_SAID = "I am not sure what you said."
CAME_BEFORE = "That recording came before, and is dealt with. Say it anew if you mean it again."
LOCK_ALLOWED = "A cupboard, a riser or a plant room may be locked: that is no fault here."
NOTHING_TO_PLAY = "There is nothing to play."
FIRST_QUESTION = "This is the first question."
NOTHING_TO_SKIP = "There is nothing to skip."
LEFT_AS_IT_WAS = "Left as it was."
SKIPPED = "Skipped. I will come back to it."
NOTHING_TO_UNDO = "There is nothing to undo. Say change and the part's name."
TAKEN_BACK = "Taken back."
NOTHING_TO_CONFIRM = "There is nothing to confirm."
EACH_PART = "Each part by itself, please. Only what was looked at can be fine."
ALL_ANSWERED = "Every part has its answer. Say change and the part's name."
NOT_CANCELLED = "Not cancelled."
NO_CLOSING_TIME = "This check does not ask for the closing time."
CLOCK_RUNS = "The clock runs. Tap or say shut when it is shut."
LET_GO_FIRST = "Say letting go first, then shut."
READING = "From now on I read the questions aloud. To end it: stop reading."
NOT_READING = "I read no questions aloud any more."
YOUR_LAST_RECORDING = "Your last recording."


def no_answer_here(words: str) -> str:
    return f"{quoted(words)} is no answer here."


def closed(stage: Stage) -> str:
    """Something said to a check that is signed or cancelled."""
    return f"This check is {stage}. Begin another door."


def left_unanswered(part: str) -> str:
    """A question that was skipped twice."""
    return f"{part} stays open: not checked."


def no_answer_yet(part: str) -> str:
    """ "change …" of a part that has no answer. part: in small letters."""
    return f"There is no answer yet about the {part}."


def paused(door: str) -> str:
    return f"Paused at door {door}. Nothing is lost. Say carry on when you are back."


def resumed(door: str) -> str:
    return f"Back at door {door}."


def cancelled(door: str) -> str:
    return f"Cancelled. Door {door} is not checked."


def clock_was_wrong(seconds: str) -> str:
    """A closing time that no door takes."""
    took = f"That would be {seconds} seconds, so the clock was wrong."
    return f"{took} Once more: letting go, then shut. Or say the seconds."


def missed_within(times: str) -> str:
    """Stretches of a recording that were not understood. times: "0:09 to 0:11"."""
    return f"I did not understand what you said at {times}."


def played(time: str) -> str:
    """Before such a stretch is played."""
    return f"At {time} you said this."
