"""Replying: to input that was not understood, and to the words that work at every question."""

from __future__ import annotations

from collections.abc import Sequence

from doorround.domain.check import Stage
from doorround.messages.phrasing import counted, quoted

NOT_UNDERSTOOD = "not understood"
HEARD_NOTHING = "I didn't hear anything."
EMPTY = "There was nothing in that message."
DID_NOT_UNDERSTAND = "I didn't understand that."
TWO_ANSWERS = "Those were two different answers."
NOT_SURE_HEARD = "I'm not sure I heard you."
NOT_SURE_SAID = "I'm not sure what you said."
CAME_BEFORE = "I've already dealt with that recording. If you mean it again, say it again."
LOCK_ALLOWED = "A cupboard, riser or plant room may be kept locked: that's not a fault here."
NOTHING_TO_PLAY = "There is nothing to play."
FIRST_QUESTION = "This is the first question."
NOTHING_TO_SKIP = "There is nothing to skip."
LEFT_AS_IT_WAS = "Left as it was."
SKIPPED = "Skipped. I'll come back to it."
NOTHING_TO_UNDO = "There is nothing to undo. Say change and the part's name."
NOTHING_TO_CONFIRM = "There is nothing to confirm."
EACH_PART = "One part at a time, please. Only what you've looked at can be fine."
ALL_ANSWERED = "Every part has an answer. To change one, say change and the part's name."
NOT_CANCELLED = "Not cancelled."
EVERY_DOOR_HAS_ONE = "That is a fact of every door. Say not known if you can't tell."
NO_CLOSING_TIME = "This check doesn't ask for the closing time."
CLOCK_RUNS = "The clock is running. Tap or say shut when it's shut."
LET_GO_FIRST = "Say letting go first, then shut."
READING = "From now on I'll read the questions aloud. To stop, say stop reading."
NOT_READING = "I've stopped reading the questions aloud."
YOUR_LAST_RECORDING = "Your last recording."


def no_answer_here(words: str | None, asked_later: bool = False) -> str:
    """Words that answer nothing now; None if there were none. asked_later: they are stored, and
    shown again before the signature.
    """
    if words is None:
        return DID_NOT_UNDERSTAND
    later = " I'll ask about it before you sign." if asked_later else ""
    return f"{quoted(words)} doesn't answer this.{later}"


def closed(stage: Stage) -> str:
    """Input to a check that is signed or cancelled."""
    return f"This check is {stage}. Start another door."


def left_unanswered(part: str, optional: bool = False) -> str:
    """A question skipped twice, or an optional one skipped once."""
    return f"{part}: another time." if optional else f"{part}: down as not checked."


def no_answer_yet(part: str) -> str:
    """ "change …" for a part without an answer. part: in lower case."""
    return f"There is no answer about the {part} yet."


def paused(door: str) -> str:
    return f"Paused at door {door}. Nothing is lost. Say carry on when you're back."


def put_aside(door: str, count: int, later: int) -> str:
    """A check left for another door. count: questions answered; later: those to come."""
    return (
        f"Door {door} is paused, {count} of {count + later} answered. Nothing is lost. Name door"
        f" {door} again to carry on there."
    )


def goes_on_here(door: str, count: int, later: int) -> str:
    """A check open in another window, taken over into this one."""
    return f"Door {door} goes on here: {count} of {count + later} answered."


def resumed(door: str) -> str:
    return f"Back at door {door}."


def cancelled(door: str) -> str:
    return f"Cancelled. Door {door} is not checked."


def clock_was_wrong(seconds: str) -> str:
    """A closing time that is not plausible."""
    took = f"That would be {seconds} seconds, which can't be right."
    return f"{took} Try again: letting go, then shut. Or say the seconds."


def missed_within(times: str) -> str:
    """Segments of a recording that were not understood. times: "0:09 to 0:11"."""
    return f"I didn't catch what you said at {times}."


def played(time: str) -> str:
    """Before playing such a segment."""
    return f"At {time} you said this."


def taken_back(said: str) -> str:
    """What an "undo" removed."""
    return f"Taken back: {said}."


def progress(count: int, left: int, parts: Sequence[str], more: int) -> str:
    """Progress of a check. count: questions answered; left: unanswered; parts: of them; more: parts
    not listed here.
    """
    if not left:
        return f"All {count} answered."
    rest = f" And {counted(more, 'part')} more: ask again." if more else ""
    return f"{count} of {count + left} answered. Left: {'; '.join(parts)}.{rest}"


def hurried(count: int, seconds: str) -> str:
    """Before the signature, if the answers came faster than anybody can look at a door."""
    return (
        f"{count} taps came within {seconds} seconds. Was each part looked at? If so, say finish"
        " check once more; else go back."
    )
