"""Judging words: a fault in a caretaker's own words, as a supervisor is asked about it, names it or
dismisses it.
"""

from __future__ import annotations

from doorround.domain.defects import Defect
from doorround.domain.door import Door
from doorround.domain.judging.severity import Severity
from doorround.messages.phrasing import quoted

NOT_NAMED_ANY_MORE = "Only a fault told in somebody's own words needs a name."
NONE = "no fault"
NO_FAULT = ("it is normal for this door", "it was at the wrong door", "it is only dirty")
WORDS_NOT_KEPT = "The words cannot be kept here: this program has no words.toml to write to."


def say_why_none(id: int) -> str:
    return f"Say why defect {id} is no fault."


def named_already(defect: Defect, by: str) -> str:
    """by: who named it."""
    known = f"{defect.what}, {defect.severity}"
    return f"Defect {defect.id} has its name already, from {by}: {known}."


def dismissed_already(id: int, by: str, why: str) -> str:
    """by: who said that it is no fault."""
    return f"Defect {id} is closed: no fault, says {by} ({why}). If it is one, reopen it."


def to_judge(defect: Defect, door: Door, at: str) -> str:
    """Sent to the supervisors. at: local time."""
    where = f", {door.where}" if door.where else ""
    site = f", {door.site}" if door.site else ""
    return (
        f"A person has to judge: door {door.number}{where}{site}\n"
        f"{defect.what[:1].upper()}{defect.what[1:]}.\n"
        f"Reported by {defect.seen_by}, {at}. Which fault is it? The door is not fit until you say."
    )


def which_fault(part: str, words: str) -> str:
    """Question to a supervisor. words: the caretaker's."""
    return f"{part}: {quoted(words)}. Which fault is it? Tap one, or type it."


def no_such_fault(part: str, words: str) -> str:
    """A name that no fault of the part has."""
    return f"{part}: no fault is called {quoted(words)}. Tap one."


def how_grave(part: str, value: str, severity: Severity) -> str:
    """severity: the usual one for such a fault."""
    return f"{part}: {value}. How urgent? As a rule: {severity}."


def named(id: int, part: str, value: str, severity: Severity) -> str:
    return f"Entered. Defect {id} is now {part.lower()}: {value}, {severity}."


def why_none(part: str, words: str) -> str:
    """Before a fault is dismissed."""
    return f"{part}: {quoted(words)}. Why is it no fault? Tap, or type why."


def none(id: int) -> str:
    return f"Entered. Defect {id} is no fault, and is closed."


def words_kept(words: str, value: str) -> str:
    """The caretaker's words are understood from now on."""
    return f"From now on {quoted(words)} is understood as {quoted(value)}."


def too_long_to_keep(keep: str) -> str:
    """keep: the command that keeps words."""
    return (
        "Nobody will say that word for word again. To have a few of the words understood as that"
        f" from now on, say: {keep}: …"
    )


def offer_to_keep(words: str) -> str:
    return f"Shall {quoted(words)} be understood as that from now on?"
