"""Offering: candidate meanings of unknown words, and faults in the caretaker's own words."""

from __future__ import annotations

from doorround.messages.phrasing import quoted

NOTHING_OFFERED = "There is nothing to choose from."
SAY_OTHERWISE = "Say it another way, then, or tap “a fault, in my words”."
SAY_IT_DIFFERENTLY = "Say it another way, then."
WHICH_ONE = "Which one? Tap it, or say its number."
SAY_FAULT = "Say or type what is wrong, in your own words."
NO_FAULT = "No fault, then."
OF_WHICH_PART = "Which part is it? Say change and the part's name first."
TO_BE_JUDGED = "Kept in your words. A supervisor has to judge it; until then the door is not fit."
UNSEEN = "a person has to judge it"


def one_of_these(words: str) -> str:
    """The closest meanings of unknown words. words: "" for a recording without any."""
    return f"I don't know {quoted(words)}. Is it one of these?"


def for_which(words: str, parts: list[str]) -> str:
    """Words that fit both the previous part and the current one. parts: their names."""
    either = ", or for ".join(f"“{part}”" for part in parts)
    return f"{quoted(words)}: for {either}?"


def is_it_a_fault(words: str, part: str) -> str:
    """Words never understood, before the signature."""
    return f"{part}: you said {quoted(words)}, which I didn't understand. Is that a fault?"
