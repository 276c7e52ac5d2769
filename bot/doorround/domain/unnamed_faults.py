"""A fault reported in words that no rule parses: kept verbatim until a person has judged it.

Pure.
"""

from __future__ import annotations

import hashlib

from doorround.domain.values import Command, Condition, Defect, Value

PREFIX = "own_words"
"""Name of such a fault, followed by a digest of its words: two faults of one part are two
defects.
"""
AS_KNOWN = {
    "words": "a fault in the caretaker's own words",
    "why": "No rule reads these words, so a person has to judge them.",
    "do_now": "A supervisor looks, and names the fault or says that it is none.",
    "source": "common practice, no source",
}
"""Common properties of every such fault, besides its severity."""

ONLY_RECORDED = "told in a recording"


def own_fault(words: str, audio_sha256: str | None = None) -> Defect:
    """The fault with these words. words: verbatim, "" if there is only a recording."""
    plain = " ".join(words.split())
    key = " ".join(plain.casefold().split()) or (audio_sha256 or "")
    name = f"{PREFIX}_{hashlib.sha256(key.encode()).hexdigest()[:8]}"
    return Defect(name=name, words=plain or ONLY_RECORDED)


def is_own(name: str) -> bool:
    """Whether this is the name of a fault in somebody's own words."""
    return name.startswith(f"{PREFIX}_")


def to_be_judged(value: Value | Command) -> bool:
    """Whether an answer has a fault that a person has to judge."""
    return isinstance(value, Condition) and any(is_own(each.name) for each in value.defects)
