"""Words that deny, affirm or clear, and their scope."""

from __future__ import annotations

import re

NEGATIONS = (
    "not",
    "no",
    "doesn't",
    "does not",
    "don't",
    "do not",
    "isn't",
    "is not",
    "aren't",
    "are not",
    "won't",
    "will not",
    "wasn't",
    "was not",
    "didn't",
    "did not",
    "haven't",
    "have not",
    "hasn't",
    "has not",
    "can't",
    "can not",
    "cannot",
    "couldn't",
    "could not",
    "never",
    "hardly",
    "no longer",
    "nothing",
    "none",
    "none are",
    "none is",
    "there is no",
    "there are no",
    "there's no",
)
"""Negates what follows it."""

COUNTERPARTS = (
    ("nothing", "something"),
    ("nothing", "anything"),
    ("nothing", "things"),
    ("none", "some"),
    ("none", "all"),
    ("none there", "all there"),
    ("no", "some"),
    ("no", "a"),
    ("no", "the"),
    ("no", "all"),
    ("without", "with"),
    ("without a", "with a"),
    ("without", "with a"),
    ("never", "always"),
    ("isn't", "is"),
    ("isn't", "it's"),
    ("aren't", "are"),
    ("aren't", "they're"),
    ("wasn't", "was"),
    ("doesn't", "does"),
    ("don't", "do"),
    ("won't", "will"),
    ("won't", "it will"),
    ("can't", "can"),
    ("cannot", "can"),
    ("haven't", "have"),
    ("hasn't", "has"),
    ("there isn't", "there is"),
    ("there aren't any", "there are"),
    ("there isn't one", "there is one"),
)
"""Words that replace each other when one denies what the other asserts."""

AFFIRMING = ("yes", "yep", "yeah", "aye")

REFUSING = ("no", "nope", "nah")

AROUND_YES_NO = frozenset(
    ["and", "but", "or", "wait", "sorry", "i", "mean", "well", "er", "um", "erm", "oh", "actually"]
)
"""Words around a yes or a no that mean nothing by themselves: "no wait, yes"."""

PASS_OPENINGS = (
    ("it's",),
    ("it", "is"),
    ("they're",),
    ("they", "are"),
    ("that's",),
    ("that", "is"),
    ("yeah",),
    ("well",),
    ("notice",),
)
"""Beginnings of a pass that a denial may be misheard as: "not fine this side too" was recognised as
"notice fine this side too", a pass of the sign, with 0.99.
"""

SWALLOWED = "a", "an", "the"
"""Words after such a beginning that may swallow a denial: "isn't steel" was recognised as "it's an
steel", with 0.99.
"""

DENYING = ("not", "isn't", "aren't")

CLEARING = ("nothing", "not", "no")
"""Words that clear a fault by preceding it, whether or not the grammar has them there."""

NEGATIVE = (
    "no",
    "not",
    "none",
    "nothing",
    "never",
    "neither",
    "nor",
    "without",
    "cannot",
    "hardly",
    "nobody",
    "nope",
)

DENYING_BEHIND = ("no", "not", "isn't", "aren't", "never", "none", "nothing")
"""Words that deny the fault after them: "none painted"."""

CLAUSES = (
    "it",
    "it's",
    "they",
    "they're",
    "that's",
    "there",
    "there's",
    "somebody",
    "someone",
    "something",
    "but",
)
"""Words that begin a new clause, out of the scope of an earlier "no".

Not "are": "no seals are painted".
"""

DETERMINERS = ("a", "an", "one", "two", "three", "four", "some", "several")
"""So does a stated presence: "no cracks, a hole by the handle"."""

UN = "un"
"""Affixes that reverse a word's meaning: "damaged", "undamaged"."""

NO = "no"

BARE = ("yes", "no")
"""Single-word answers: subject to the same test, whatever they would pass."""

NOTHING_ELSE = ("none", "no", "neither", "nothing")
"""Answers that deny what was asked, and nothing about a question that was not: "brush,
and none".
"""

BEFORE_PLACE = frozenset(["at", "by", "on", "near"])
"""Words before a location: "a gap at the bottom"."""

EXCEPTING = ("bar", "but")
"""Words that exclude a location and sound like those: "tight, bar the bottom"."""

LIMITING = (
    "almost",
    "although",
    "apart",
    "bar",
    "barely",
    "but",
    "except",
    "half",
    "hardly",
    "if",
    "maybe",
    "mostly",
    "nearly",
    "only",
    "partly",
    "sometimes",
    "though",
    "unless",
    "until",
    "usually",
)
"""Words that weaken an answer, wherever they occur."""

TAKING_BACK = ("nah", "never", "no", "nope", "not")
"""Words that retract an answer when they follow it."""


def is_taken_back(text: str, phrase: str) -> bool:
    """Whether a transcription retracts or limits what the phrase says: "fire exit, nope" for "fire
    exit". A bare yes or no is exempt, since it may be transcribed as anything.
    """
    words = re.findall(r"[a-z']+", text.lower())
    said = phrase.split()
    if not words or phrase in BARE:
        return False
    last = words[-1] in TAKING_BACK and words[-1] not in said
    return last or any(word in LIMITING and word not in said for word in words)
