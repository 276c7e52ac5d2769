"""A door that is permitted to be locked: being locked is no fault, and it stays locked. Pure."""

from __future__ import annotations

from doorround.domain.check import Check
from doorround.domain.input_result import AnyHeard, Heard, Said, Unsure
from doorround.domain.values import Condition


def without_lock(check: Check, heard: AnyHeard) -> AnyHeard | None:
    """The input without the statement that a door is locked, if it may be.

    None if that was all.
    """
    if not check.door.may_be_kept_locked or not isinstance(heard, Heard | Unsure):
        return heard
    if isinstance(heard, Unsure):
        left = tuple(guess for guess in heard.guesses if without_lock(check, guess) == guess)
        return heard.model_copy(update={"guesses": left}) if left else None
    said = tuple(each for one in heard.said if (each := _bare_of_lock(one)))
    return heard.model_copy(update={"said": said}) if said else None


def _bare_of_lock(said: Said) -> Said | None:
    """The answer without "locked" or "unlocked", said of the doorway; None if nothing is left."""
    if said.question != "clear" or not isinstance(said.value, Condition):
        return said
    if said.partial and "locked" in said.phrase:
        return None
    left = tuple(each for each in said.value.defects if each.name != "locked")
    if left == said.value.defects:
        return said
    return said.model_copy(update={"value": Condition(defects=left)}) if left else None
