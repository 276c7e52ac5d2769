"""Scope of a negation: "no cracks or splits", "all there none painted". A fault within it is never
entered as a fault.

A fault after a negation is accepted only where a new clause begins: at a part's name, at "but
it's", at a full stop.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from enum import Enum

from doorround.english.denials import (
    CLAUSES,
    DENYING_BEHIND,
    DETERMINERS,
    NEGATIVE,
)
from doorround.hearing.grammar.grammar_nfa import GrammarNfa, Match
from doorround.hearing.lexicon.tokeniser import Readings

_PLACES = re.compile(r"(?<=\s)(?=\S)|(?<=[,;:.!?])(?=[A-Za-z])")
_FULL_STOPS = ".;!?"
_DASHES = ("-", "–", "—")


class NegationScope(Enum):
    """How far a negation extends beyond the answer that contains it."""

    OVER = "nothing more is denied"
    WORD = 'whatever follows at once on a bare "none": "none painted", "none loose beading"'
    NEXT = 'what follows at once, or with "or": "no seals painted"'
    CLAUSE = 'what follows up to a comma: "no damage and cracks"'
    SENTENCE = 'a list, commas too: "no holes, dents"'


def negative(word: str) -> bool:
    """Whether a word is a negation: "not", "isn't"."""
    return word in NEGATIVE or word.endswith("n't")


def denies(words: Sequence[str]) -> bool:
    """Whether any of these words is a negation."""
    return any(negative(word) for word in words)


def scope_of(words: Sequence[str], sound: bool, partial: bool) -> NegationScope:
    """Scope of the negation in an answer. sound: the answer passes its part; partial: it does so by
    denying one fault.
    """
    if not denies(words):
        return NegationScope.OVER
    if len(words) == 1 or (words[0] == "none" and not sound):
        return NegationScope.WORD
    return (
        NegationScope.SENTENCE if partial else NegationScope.CLAUSE if sound else NegationScope.NEXT
    )


def behind_filler(reach: NegationScope, words: Sequence[str]) -> NegationScope:
    """The scope that remains after filler words: "and", "er", "but it's"."""
    if set(CLAUSES).intersection(words) or (
        reach in (NegationScope.WORD, NegationScope.NEXT) and "and" in words
    ):
        return NegationScope.OVER
    return reach


def behind_sign(reach: NegationScope, sign: str) -> NegationScope:
    """The scope that remains after a comma or full stop in typed text."""
    if not sign:
        return reach
    return reach if sign == "," and reach is NegationScope.SENTENCE else NegationScope.OVER


def denied(reach: NegationScope, words: Sequence[str], names_part: bool) -> bool:
    """Whether a preceding negation applies to a fault in these words. names_part: the words
    identify the part, as in "two screws missing".
    """
    if reach in (NegationScope.OVER, NegationScope.WORD):
        return reach is NegationScope.WORD
    if words[0] in CLAUSES or words[0] in DETERMINERS:
        return False
    return not (reach is NegationScope.NEXT and names_part)


_ADDED = {"defect=altered", "defect=hardware", "defect=plain_grille"}
"""Faults named by an object: "no cat flap" says that there is none, not that the leaf is fine."""


def denied_faults(tokens: Readings, place: int, faults: GrammarNfa) -> Iterator[Match]:
    """Denied faults such as "no splits or rot" from token `place` on, if they are all of one part.

    faults: network of the faults' phrases.
    """
    begin = place + 1
    if place >= len(tokens) or tokens[place][0][0] not in DENYING_BEHIND:
        return
    ends = {begin: 0}
    while ends:
        start, repairs = ends.popitem()
        for match in faults.matches(tokens, start):
            if not _plain(match, [token[0][0] for token in tokens[start : match.end]]):
                continue
            if tokens[place][0][0] == "no" and not _ADDED.isdisjoint(match.tags):
                continue
            yield Match(match.end, ("sound", "partial"), repairs + match.repairs)
            if match.end < len(tokens) and tokens[match.end][0][0] == "or":
                ends[match.end + 1] = repairs + match.repairs


def _plain(match: Match, words: Sequence[str]) -> bool:
    """Whether the fault's denial is unambiguous, unlike "not one screw missing", "not painted at
    the top", "not unmarked".
    """
    qualified = any(tag == "n" or tag.startswith(("where=", "face=")) for tag in match.tags)
    return not qualified and not denies(words) and not words[0].startswith("un")


def pieces(text: str) -> list[str]:
    """Typed text split at spaces and punctuation. The pieces join to the original text."""
    return _PLACES.split(text)


def sign_behind(piece: str) -> str:
    """The separator at the end of a piece: "," or "."; "" for none."""
    bare = piece.strip()
    if bare in _DASHES or bare.endswith(tuple(_FULL_STOPS)) or "\n" in piece:
        return "."
    return "," if bare.endswith((",", ":")) else ""
