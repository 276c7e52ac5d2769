"""Small words that say nothing about a door: fillers, openings, decoys."""

from __future__ import annotations

LITTLE_WORDS = tuple(
    [
        "what",
        "that",
        "so",
        "hmm",
        "and",
        "the",
        "but",
        "for",
        "you",
        "this",
        "with",
        "have",
        "then",
        "there",
        "when",
        "were",
        "from",
        "who",
        "how",
        "why",
    ]
)
"""Small words of conversation: non-answers often match one of them better than an answer. With them
the Brier score on the tuning half's words, out-of-vocabulary words and silence falls from 0.071 to
0.049. Any number in a row matched noise better than any answer.
"""

DECOYS = ("hmm", "what", "that", "so")
"""Decoys: not answers, but what people say instead of one. Tuning half, ten words: 2.0 % false
accepts of out-of-vocabulary words with the first alone, 1.0 % with two; with all, the highest
probability of yes or no for such a word falls from 0.55 to 0.40 at the same share of answers
rejected. "now" would cost 2.9 % of the answers.
"""

LOST_OPENINGS = frozenset(["it's", "it", "is", "they're", "yeah", "a", "an", "the"])

# "sign's gone" is parsed as "sign gone"; for these the grammar contains the short form itself.
KEPT_SHORT = ("it's", "that's", "there's", "everything's")

SMALL_WORDS = frozenset(["is", "are", "it", "it's", "they", "they're", "and", "the", "a", "an"])
