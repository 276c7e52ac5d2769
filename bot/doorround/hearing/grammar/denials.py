"""Negations of a phrase within the grammar: "touches the floor" → "doesn't touch the floor",
"nothing in the way" → "something in the way", "locked" → "unlocked".

One negation is added, removed or replaced by its counterpart, so the relation is symmetric.
"""

from __future__ import annotations

from collections.abc import Iterator

from doorround.english.denials import (
    AFFIRMING,
    CLEARING,
    COUNTERPARTS,
    DENYING,
    NEGATIONS,
    PASS_OPENINGS,
    SWALLOWED,
    UN,
)
from doorround.hearing.grammar.active_grammar import ActiveGrammar, Polarity
from doorround.hearing.grammar.phrase_list import said_in
from doorround.hearing.grammar.phrase_numbers import numbers_in

MAX_CLEARED = 2
"""Number of final words examined for a fault: "i think loose", "top hinge loose"."""

MIN_BARED = 5
"""Words of up to this many letters keep their "un": "under", "undo"."""

Words = tuple[str, ...]
_NEGATING = tuple(tuple(negation.split()) for negation in NEGATIONS)
_SWAPS = tuple(
    swap
    for one, other in COUNTERPARTS
    for swap in (
        (tuple(one.split()), tuple(other.split())),
        (tuple(other.split()), tuple(one.split())),
    )
)


def denials(phrase: str, grammar: ActiveGrammar) -> list[str]:
    """Negations of the phrase that the grammar accepts, likeliest confusion first: a negation
    added or removed, its counterpart, "un". Noise over one syllable can turn one into the other.
    """
    whole = said_in(grammar)
    words = tuple(phrase.split())
    return [
        " ".join(said)
        for said in dict.fromkeys(_turned_over(words))
        if said != words and whole.accepts(said)
    ]


def unsaid(phrase: str, grammar: ActiveGrammar) -> list[str]:
    """Negations of a phrase that the grammar does not accept: "undamaged" → "damaged" at a part
    whose faults have other names, "fine" → "not fine", "loose" → "nothing loose", and the reverse.
    If they did not compete, they would be recognised as the phrase itself: "damaged" was, with
    1.00, and "nothing loose" as "loose", with 0.92.
    """
    whole = said_in(grammar)
    words = tuple(phrase.split())
    polarity = grammar.polarity(phrase)
    if polarity is Polarity.NEITHER:
        return []
    passing = polarity is Polarity.PASS
    others = dict.fromkeys(
        (*_bared(words), *_denied(_corrected(words, grammar)))
        if passing
        else _cleared(words, grammar)
    )
    return [" ".join(said) for said in others if said and not whole.accepts(said)]


def _bared(words: Words) -> Iterator[Words]:
    if words[0] == "nothing":
        yield ("something", *words[1:])
    for place, word in enumerate(words):
        before = words[:place]
        after = words[place:]
        if word.startswith(UN) and len(word) > MIN_BARED:
            yield (*before, word.removeprefix(UN), *after[1:])
        for negation in _NEGATING:
            if after[: len(negation)] == negation:
                yield (*before, *after[len(negation) :])


def _cleared(words: Words, grammar: ActiveGrammar) -> Iterator[Words]:
    """Phrases that deny the fault at the end of these words, without the words before it."""
    ends = (words[-length:] for length in range(1, min(MAX_CLEARED, len(words)) + 1))
    for fault in ends:
        denied = any(fault[: len(negation)] == negation for negation in _NEGATING) or fault[
            0
        ].startswith(UN)
        if (
            denied
            or numbers_in(" ".join(fault))
            or grammar.polarity(" ".join(fault)) is not Polarity.DEFECT
        ):
            continue
        for clearing in CLEARING:
            yield (clearing, *fault)
        if fault[0].endswith(("ed", "en")):
            yield (UN + fault[0], *fault[1:])


def _corrected(words: Words, grammar: ActiveGrammar) -> Words:
    """The words after the "no" of a correction: "no, fine" is a pass after another answer, and
    sounds like "not fine".
    """
    rest = words[1:]
    return (
        rest
        if words[0] == "no" and rest and grammar.polarity(" ".join(rest)) is Polarity.PASS
        else words
    )


def _denied(words: Words) -> Iterator[Words]:
    """Nothing for a number or a yes: nobody says "not three"."""
    if numbers_in(" ".join(words)) or any(
        words[: len(negation)] == negation for negation in _NEGATING
    ):
        return
    rest = next(
        (words[len(subject) :] for subject in PASS_OPENINGS if words[: len(subject)] == subject),
        words,
    )
    if not rest or rest[0] in AFFIRMING:
        return
    bare = rest[1:] if rest[0] in SWALLOWED else ()
    for denying in DENYING:
        yield (denying, *rest)
        if bare:
            yield (denying, *bare)


def _turned_over(words: Words) -> Iterator[Words]:
    for place in range(len(words)):
        before = words[:place]
        after = words[place:]
        for said in _without(after):
            yield (*before, *said)
        for said in _swapped(after):
            yield (*before, *said)
        yield (*before, _prefixed(after[0]), *after[1:])
        for negation in _NEGATING:
            for verb in _bare(after[0]):
                yield (*before, *negation, verb, *after[1:])


def _without(words: Words) -> Iterator[Words]:
    """The words without their leading negation; the verb after it is inflected: "doesn't touch" →
    "touches".
    """
    for negation in _NEGATING:
        if words[: len(negation)] != negation:
            continue
        left = words[len(negation) :]
        yield left
        for ending in ("s", "es") if left else ():
            yield (left[0] + ending, *left[1:])


def _swapped(words: Words) -> Iterator[Words]:
    for one, other in _SWAPS:
        if words[: len(one)] == one:
            yield (*other, *words[len(one) :])


def _prefixed(word: str) -> str:
    return word.removeprefix(UN) if word.startswith(UN) else UN + word


def _bare(word: str) -> dict[str, None]:
    return dict.fromkeys((word, word.removesuffix("s"), word.removesuffix("es")))
