"""Confirming: what was heard, read back before a yes; and what was entered, read back after it."""

from __future__ import annotations

from doorround.messages.phrasing import quoted

NOT_THAT = "Not that, then."
THAT_CANNOT_BE = "that can't be right"
NOT_MOVED = "the door must not be moved"


def right(words: str, tap: bool) -> str:
    """One guess. tap: its recording gives a reason to want a tap."""
    return f"{words}. Right?{' Please tap.' if tap else ''}"


def right_and_more(heard: str, words: str, fault: bool) -> str:
    """One guess, where more was said. heard: as it was written freely. fault: it tells of one."""
    ends = ". Right?" if fault else ", and nothing else?"
    return f"“{heard}”, and more that I didn't catch. {words}{ends}"


def said_before(words: str) -> str:
    """What was forwarded: the caretaker's own words, of another moment."""
    return f"You forwarded what you said before. {words}. Is that so here and now?"


def yes_or_no(why: str, words: str) -> str:
    """The same guess again. why: why the reply to it was none; "" where that goes without
    saying.
    """
    return f"{why} Tap or say yes or no: {words}?".strip()


def given_up(words: str) -> str:
    """What was read back and is dropped, since nobody said yes or no to it."""
    return f"{words}: I never got a yes or no, so it is not entered."


def reported_right(words: str) -> str:
    """What was reported and got neither a yes nor a no, before the signature."""
    return f"You reported this, and I never got a yes or no. {words}. Right?"


def all_unanswered(count: int, reason: str) -> str:
    """What is read back where nothing of the door can be checked. reason: "not checked: no
    access".
    """
    return f"All {count} open questions: {reason}"


_DENIES_ITSELF = ("cannot ", "does not ", "do not ", "is not ", "not ", "won't ")


def not_so(value: str) -> str:
    """What a yes would deny, behind what is read back: "sound, not split"."""
    told = quoted(value) if value.startswith(_DENIES_ITSELF) else value
    return f", not {told}"


def entered(part: str, value: str) -> str:
    """What was just entered."""
    return f"{part}: {value}."


def judged_again(part: str, value: str) -> str:
    """What an earlier answer means now that more is known of the door."""
    return f"Judged again, now that I know more about the door. {part}: {value}."


def stands_already(said: str) -> str:
    """What was said of a part that has this very answer."""
    return f"{said}. I have that already."


def nothing_entered(said: str, why: str) -> str:
    """An answer that was not taken."""
    return f"{said}: {why}, so it is not entered."


def not_answered_yet(part: str, change: str) -> str:
    """Something said, out of turn, of a part that has no answer. change: its name behind
    "change".
    """
    return f"{part}: not answered yet. Say carry on, or change {change}."


def otherwise(part: str, value: str, change: str) -> str:
    """Something said, out of turn, of a part that has another answer."""
    return f"{part}: you said {value}, and that stands. To change it, say change {change}."


def kept_as_reported(words: str) -> str:
    """A fault that got neither a yes nor a no, as the talk goes on."""
    return f"Noted as reported, not confirmed: {words}. I'll ask again before you sign."
