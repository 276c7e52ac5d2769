"""Words that deny, affirm and clear, and what they reach."""

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
"""What makes the opposite of what follows by standing before it."""

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
"""Words that stand in each other's place where one denies what the other says."""

AFFIRMING = ("yes", "yep", "yeah", "aye")

REFUSING = ("no", "nope", "nah")

AROUND_YES_NO = frozenset(
    ["and", "but", "or", "wait", "sorry", "i", "mean", "well", "er", "um", "erm", "oh", "actually"]
)
"""Words around a yes or a no that say nothing by themselves: "no wait, yes"."""

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
"""Beginnings of a pass, in whose place a denial may stand: "not fine this side too" was heard as
"notice fine this side too", a pass of the sign, with 0.99.
"""

SWALLOWED = "a", "an", "the"
"""Words after such a beginning that a denial may swallow: "isn't steel" was heard as "it's an
steel", with 0.99.
"""

DENYING = ("not", "isn't", "aren't")

CLEARING = ("nothing", "not", "no")
"""What clears of a fault by standing before it, whether the grammar knows it there or not."""

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
"""Words that deny the fault behind them: "none painted"."""

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
"""Words that begin a clause of their own, which no "no" before them reaches.

Not "are": "no seals are painted".
"""

DETERMINERS = ("a", "an", "one", "two", "three", "four", "some", "several")
"""So does what is there: "no cracks, a hole by the handle"."""

UN = "un"
"""What turns a word round by standing in it: "damaged", "undamaged"."""

NO = "no"

BARE = ("yes", "no")
"""One word alone that answers: held to the same, whatever it would pass."""

NOTHING_ELSE = ("none", "no", "neither", "nothing")
"""Answers that deny what was asked, and say nothing of a question that was not: "brush, and
none".
"""

BEFORE_PLACE = frozenset(["at", "by", "on", "near"])
"""Words before a place: "a gap at the bottom"."""

EXCEPTING = ("bar", "but")
"""Words that take a place out and sound like those: "tight, bar the bottom"."""

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
"""Words that make an answer less than it was, wherever they stand."""

TAKING_BACK = ("nah", "never", "no", "nope", "not")
"""Words that take an answer back by standing behind it."""


def is_taken_back(text: str, phrase: str) -> bool:
    """Whether a text written freely takes back or limits what the phrase says: "fire exit, nope"
    for "fire exit". A bare yes or no may be written as anything.
    """
    words = re.findall(r"[a-z']+", text.lower())
    said = phrase.split()
    if not words or phrase in BARE:
        return False
    last = words[-1] in TAKING_BACK and words[-1] not in said
    return last or any(word in LIMITING and word not in said for word in words)
