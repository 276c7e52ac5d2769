"""Confirming: hypotheses read back before a yes; entries read back afterwards."""

from __future__ import annotations

from doorround.messages.phrasing import quoted

NOT_THAT = "Not that, then."
THAT_CANNOT_BE = "that can't be right"
NOT_MOVED = "the door must not be moved"


def right(words: str, tap: bool) -> str:
    """One hypothesis. tap: its recording gives a reason to prefer a tap."""
    return f"{words}. Right?{' Please tap.' if tap else ''}"


def right_and_more(heard: str, words: str, fault: bool) -> str:
    """One hypothesis, when more was said. heard: the free transcription. fault: it reports one."""
    ends = ". Right?" if fault else ", and nothing else?"
    return f"“{heard}”, and more that I didn't catch. {words}{ends}"


def said_before(words: str) -> str:
    """A forwarded message: the caretaker's own words, from another moment."""
    return f"You forwarded what you said before. {words}. Is that true here and now?"


def yes_or_no(why: str, words: str) -> str:
    """The same hypothesis again. why: why the reply was not accepted; "" if obvious."""
    return f"{why} Tap or say yes or no: {words}?".strip()


def given_up(words: str) -> str:
    """A read-back that is dropped, since nobody said yes or no to it."""
    return f"{words}: I never got a yes or no, so it is not entered."


def reported_right(words: str) -> str:
    """A report that got neither a yes nor a no, before the signature."""
    return f"You reported this, and I never got a yes or no. {words}. Right?"


def all_unanswered(count: int, reason: str) -> str:
    """Read-back when nothing of the door can be checked. reason: "not checked: no access"."""
    return f"All {count} open questions: {reason}"


_DENIES_ITSELF = ("cannot ", "does not ", "do not ", "is not ", "not ", "won't ")


def not_so(value: str) -> str:
    """What a yes would deny, appended to the read-back: "sound, not split"."""
    told = quoted(value) if value.startswith(_DENIES_ITSELF) else value
    return f", not {told}"


def entered(part: str, value: str) -> str:
    """The entry just made."""
    return f"{part}: {value}."


def judged_again(part: str, value: str) -> str:
    """An earlier answer judged again, now that more is known about the door."""
    return f"Judged again, now that I know more about the door. {part}: {value}."


def stands_already(said: str) -> str:
    """Repetition of a part's current answer."""
    return f"{said}. I have that already."


def nothing_entered(said: str, why: str) -> str:
    """A rejected answer."""
    return f"{said}: {why}, so it is not entered."


def not_answered_yet(part: str, change: str) -> str:
    """Out-of-turn input about a part without an answer. change: its name after "change"."""
    return f"{part}: not answered yet. Say carry on, or change {change}."


def otherwise(part: str, value: str, change: str) -> str:
    """Out-of-turn input about a part with a different answer."""
    return f"{part}: you said {value}, and that stands. To change it, say change {change}."


def kept_as_reported(words: str) -> str:
    """A fault with neither a yes nor a no, as the talk moves on."""
    return f"Noted as reported, not confirmed: {words}. I'll ask again before you sign."
